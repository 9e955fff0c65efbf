"""The pictures of a job as files in its folder, beside what is there."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ringgeom.asked import file_word
from ringgeom.output.folder import LIST_NAME, Content, write_files
from ringgeom.output.json import job_json, json_text
from ringgeom.output.pictures import Pictures, pictures

if TYPE_CHECKING:
    from ringgeom.jobs import Job

FOLDER = "pictures/"


def _quiet(step: str) -> None:
    """Say nothing."""


def picture_files(job: Job, found: Pictures) -> dict[str, Content]:
    """Every picture by its path in the job's folder."""
    word = file_word(job.design.job.name).encode()[:200].decode(errors="ignore")
    return {f"{FOLDER}{word}_{one.view}.png": one.png for one in found.pictures}


def write_pictures(
    job: Job,
    out: str | Path = "exports",
    views: Sequence[str] = (),
    *,
    turntable: bool = False,
    beside: Mapping[str, Content] | None = None,
    told: Callable[[str], None] = _quiet,
) -> tuple[list[Path], Pictures]:
    """Make pictures as `pictures` does, and write them into the job's folder under `out`.

    Pictures of an earlier run stay if they are of the very same design, else they are taken
    away.

    Parameters
    ----------
    beside : mapping, optional
        Files to write beside the pictures, by their names; their paths come last.

    Raises
    ------
    InputError, StopError, ShapeError
        As in `pictures`; nothing is written.
    OutputError
        The folder cannot be written; nothing is changed.
    """
    found = pictures(job, views, turntable=turntable, told=told)
    files = picture_files(job, found)
    files.update({f"{FOLDER}{name}": content for name, content in (beside or {}).items()})
    folder = Path(out) / file_word(job.design.job.name)
    data = json.loads(json_text(job_json(job)))

    def finished(before: frozenset[str]) -> Mapping[str, Content]:
        same = _without_files(folder) == data
        others = {name for name in before if same or not name.startswith(FOLDER)}
        listed = {**data, "files": sorted({*files, *others, LIST_NAME})}
        return files | {LIST_NAME: json_text(listed).encode("utf-8")}

    told("writing")
    paths = write_files(folder, finished)
    return [path for path in paths if path.name != LIST_NAME], found


def _without_files(folder: Path) -> Any:
    """What the last run wrote of its job, without the list of its files; None if it is lost."""
    try:
        data = json.loads((folder / LIST_NAME).read_text(encoding="utf-8"))
        data.pop("files", None)
    except (OSError, ValueError, AttributeError):
        return None
    return data
