"""Writing a set of files so that an interruption leaves the old ones or the new, never half.

Everything is first written into a hidden folder beside its place, then each file is moved
in with one rename. Files that an earlier run of the same job wrote and this one did not
are taken away: a wax of a part that is gone must not be printed.
"""

from __future__ import annotations

import json
import os
import shutil
import tempfile
from collections.abc import Iterable, Mapping
from contextlib import suppress
from pathlib import Path

from ringgeom.errors import OutputError

LIST_NAME = "job.json"

Content = bytes | bytearray


def write_files(folder: Path, files: Mapping[str, Content]) -> list[Path]:
    """Write named files into a folder, all or none.

    Parameters
    ----------
    folder : Path
        Made if it is not there.
    files : mapping
        Relative path to content; `job.json` among them lists what belongs to the job.

    Returns
    -------
    list of Path
        The files written.

    Raises
    ------
    OutputError
        The folder or a file cannot be written; nothing was changed.
    """
    stage: Path | None = None
    made = _missing(folder)
    try:
        folder.mkdir(parents=True, exist_ok=True)
        stage = Path(tempfile.mkdtemp(prefix=".part-", dir=folder))
        for name, content in files.items():
            place = stage / name
            place.parent.mkdir(parents=True, exist_ok=True)
            with place.open("wb") as file:
                file.write(content)
                file.flush()
                os.fsync(file.fileno())
        for name in files:
            target = folder / name
            if target.is_dir():
                raise OutputError(f"{target} is a folder, where a file should go")
            target.parent.mkdir(parents=True, exist_ok=True)
        old = written_before(folder)
        for name in files:
            os.replace(stage / name, folder / name)
        _take_away(folder, old - set(json.loads(files[LIST_NAME])["files"]))
    except OSError as error:
        _undo(made)
        reason = error.strerror or str(error)
        raise OutputError(f"{folder} cannot be written: {reason}; choose another --out") from None
    finally:
        if stage is not None:
            shutil.rmtree(stage, ignore_errors=True)
    return [folder / name for name in files]


def _missing(folder: Path) -> list[Path]:
    """Folders that writing would make, innermost first."""
    found = []
    while not folder.exists() and folder != folder.parent:
        found.append(folder)
        folder = folder.parent
    return found


def _undo(made: Iterable[Path]) -> None:
    for folder in made:
        with suppress(OSError):
            for left in folder.glob(".part-*"):
                shutil.rmtree(left, ignore_errors=True)
            folder.rmdir()


def written_before(folder: Path) -> set[str]:
    """Names that the last run listed as its own, as far as they lie in the folder."""
    try:
        listed = json.loads((folder / LIST_NAME).read_text(encoding="utf-8"))["files"]
        return {name for name in listed if isinstance(name, str) and _inside(folder, name)}
    except (OSError, ValueError, KeyError, TypeError):
        return set()


def _inside(folder: Path, name: str) -> bool:
    return (folder / name).resolve().is_relative_to(folder.resolve())


def _take_away(folder: Path, names: Iterable[str]) -> None:
    for name in names:
        with suppress(OSError):
            (folder / name).unlink()
            (folder / name).parent.rmdir()
