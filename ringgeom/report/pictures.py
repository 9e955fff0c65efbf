"""What a person reads of the pictures that were made."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from ringgeom.output.pictures import Pictures
from ringgeom.terminal import say


def tell_pictures(paths: Sequence[Path], found: Pictures) -> None:
    """Every file, and why some are drawn; what lies beside the pictures comes last."""
    count = len(found.pictures)
    for path, one in zip(paths[:count], found.pictures, strict=True):
        say(str(path) if one.rendered else f"{path} (drawn)")
    for path in paths[count:]:
        say(str(path))
    for words in found.words:
        say(f"note: {words}")
