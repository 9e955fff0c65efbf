"""Pictures as JSON: which there are, where, and whether they are rendered or drawn."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from ringgeom.output.pictures import Pictures


def pictures_json(job: str, paths: Sequence[Path], found: Pictures) -> dict[str, Any]:
    """The pictures of a job in the order asked for; `words` tell why some are drawn."""
    count = len(found.pictures)
    return {
        "job": job,
        "rendered": found.rendered,
        "pictures": [
            {"view": one.view, "file": str(path), "rendered": one.rendered}
            for path, one in zip(paths[:count], found.pictures, strict=True)
        ],
        "beside": [str(path) for path in paths[count:]],
        "words": list(found.words),
    }
