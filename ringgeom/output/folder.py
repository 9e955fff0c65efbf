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
STAGE = ".part-"

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
    run = _Run(folder)
    try:
        return run.all(files)
    except OSError as error:
        run.undo()
        reason = error.strerror or str(error)
        raise OutputError(f"{folder} cannot be written: {reason}; choose another --out") from None
    except BaseException:
        run.undo()
        raise
    finally:
        run.clear()


class _Run:
    """One writing of a folder, that can be taken back until it is done."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.stage: Path | None = None
        self.made: list[Path] = []
        self.moved: list[tuple[Path, Path | None]] = []

    def all(self, files: Mapping[str, Content]) -> list[Path]:
        self._make(self.folder)
        _clear_dead(self.folder)
        self.stage = Path(tempfile.mkdtemp(prefix=f"{STAGE}{os.getpid()}-", dir=self.folder))
        new, kept = self.stage / "new", self.stage / "kept"
        for name, content in files.items():
            place = new / name
            place.parent.mkdir(parents=True, exist_ok=True)
            with place.open("wb") as file:
                file.write(content)
                file.flush()
                os.fsync(file.fileno())
        old = written_before(self.folder)
        for name in files:
            target = self.folder / name
            if target.is_dir():
                raise OutputError(f"{target} is a folder, where a file should go")
            self._make(target.parent)
        for name in files:
            target = self.folder / name
            self.moved.append((target, _kept(target, kept / name)))
            os.replace(new / name, target)
        _take_away(self.folder, old - set(json.loads(files[LIST_NAME])["files"]))
        self.made.clear()
        self.moved.clear()
        return [self.folder / name for name in files]

    def _make(self, folder: Path) -> None:
        """Make a folder and those above it, remembering which were not there."""
        missing = []
        while not folder.is_dir():
            missing.append(folder)
            folder = folder.parent
        for one in reversed(missing):
            # another run may make it at the same moment
            one.mkdir(exist_ok=True)
            self.made.append(one)

    def undo(self) -> None:
        """Put back what was there, and take away what was not."""
        for target, kept in reversed(self.moved):
            with suppress(OSError):
                if kept is not None:
                    os.replace(kept, target)
                elif target.is_file():
                    target.unlink()
        self.clear()
        for folder in reversed(self.made):
            with suppress(OSError):
                folder.rmdir()

    def clear(self) -> None:
        if self.stage is not None:
            shutil.rmtree(self.stage, ignore_errors=True)


def _clear_dead(folder: Path) -> None:
    """Take away what runs that were killed have left; a run that still lives keeps its own."""
    for left in folder.glob(f"{STAGE}*"):
        owner = left.name.removeprefix(STAGE).split("-")[0]
        if not (owner.isdigit() and _lives(int(owner))):
            shutil.rmtree(left, ignore_errors=True)


def _lives(process: int) -> bool:
    try:
        os.kill(process, 0)
    except (ProcessLookupError, OverflowError):
        return False
    except OSError:
        return True
    return True


def _kept(target: Path, place: Path) -> Path | None:
    """A second name for a file that is about to be replaced; None if there is none."""
    if not target.exists():
        return None
    place.parent.mkdir(parents=True, exist_ok=True)
    try:
        os.link(target, place)
    except OSError:
        shutil.copy2(target, place)
    return place


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
