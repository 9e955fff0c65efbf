"""Writing a set of files so that an interruption leaves the old ones or the new, never half.

Everything is first written into a hidden folder beside its place, then each file is moved in
with one rename. One run at a time writes into a folder. What it is about to move is noted in
the file that it holds meanwhile, so that the next run can take back what a killed one has begun.
Files that an earlier run of the same job wrote and this one did not are taken away: a wax of a
part that is gone must not be printed.
"""

from __future__ import annotations

import json
import os
import shutil
import tempfile
from collections.abc import Callable, Iterable, Mapping
from contextlib import suppress
from pathlib import Path
from typing import BinaryIO

from ringgeom.errors import OutputError
from ringgeom.output.held import held
from ringgeom.output.unbroken import unbroken

LIST_NAME = "job.json"
HELD = ".writing"
STAGE = ".part-"
NEW, KEPT = "new", "kept"

UNFINISHED = "unfinished-do-not-print.txt"
"""Lies in the folder while files are moved, and after a run that was killed just then."""

SAID = (
    "A run was ended while it put its files here: some are of the earlier design, some of the\n"
    "later one. Do not print or cast from them. Run the same command again: it puts the folder\n"
    "in order, and this note goes.\n"
)

Content = bytes | bytearray
Finished = Callable[[frozenset[str]], Mapping[str, Content]]


def write_files(folder: Path, finished: Finished) -> list[Path]:
    """Write named files into a folder, all or none.

    Parameters
    ----------
    folder : Path
        Made if it is not there.
    finished : callable
        Given the names that the last run listed as its own, all files by their relative path;
        `job.json` among them lists what belongs to the job.

    Returns
    -------
    list of Path
        The files written.

    Raises
    ------
    OutputError
        The folder or a file cannot be written, or another run does not end; nothing was changed.
    """
    made: list[Path] = []
    try:
        _make(folder, made)
        with held(folder / HELD) as note:
            return _all(folder, note, finished)
    except BaseException as error:
        for one in reversed(made):
            with suppress(OSError):
                one.rmdir()
        if isinstance(error, OSError):
            reason = error.strerror or str(error)
            said = f"{folder} cannot be written: {reason}; choose another --out"
            raise OutputError(said) from None
        raise


def _all(folder: Path, note: BinaryIO, finished: Finished) -> list[Path]:
    """Everything, by the run that holds the folder."""
    _settle(folder, note)
    before = written_before(folder)
    files = finished(before)
    try:
        stage = Path(tempfile.mkdtemp(prefix=STAGE, dir=folder))
        for name, content in files.items():
            _put(stage / NEW / name, content)
        listed = set(json.loads(files[LIST_NAME])["files"])
        gone = [name for name in sorted(before - listed) if (folder / name).is_file()]
        for name in (*files, *gone):
            _keep(folder / name, stage / KEPT / name)
        # from here on a run that is killed is taken back by the next one
        _note(note, {"stage": stage.name, "files": list(files), "gone": gone})
        with unbroken():
            (folder / UNFINISHED).write_text(SAID, encoding="utf-8", newline="\n")
            for name in gone:
                (folder / name).unlink()
            for name in files:
                target = folder / name
                target.parent.mkdir(parents=True, exist_ok=True)
                os.replace(stage / NEW / name, target)
    finally:
        with unbroken():
            _settle(folder, note)
    return [folder / name for name in files]


def _put(place: Path, content: Content) -> None:
    place.parent.mkdir(parents=True, exist_ok=True)
    with place.open("wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())


def _note(note: BinaryIO, plan: dict[str, object]) -> None:
    """Note what is about to be moved; half a note is none, and then nothing was moved."""
    note.seek(0)
    note.write(json.dumps(plan).encode())
    note.flush()
    os.fsync(note.fileno())


def _settle(folder: Path, note: BinaryIO) -> None:
    """Finish a run that moved all its files, take back one that did not; clear what is left.

    What is noted is forgotten when all is done, so that it can be tried again.
    """
    note.seek(0)
    try:
        plan = json.loads(note.read())
        stage, names, gone = folder / plan["stage"], plan["files"], plan["gone"]
        ours = stage.name.startswith(STAGE) and all(_inside(folder, name) for name in names)
    except (ValueError, KeyError, TypeError):
        ours = False
    if ours and stage.is_dir():
        waiting = {name for name in names if (stage / NEW / name).exists()}
        if waiting:
            _take_back(folder, stage, names, waiting)
            for name in gone:
                if _inside(folder, name) and not (folder / name).exists():
                    os.replace(stage / KEPT / name, folder / name)
        else:
            _take_away(folder, [name for name in gone if _inside(folder, name)])
    with suppress(FileNotFoundError):
        (folder / UNFINISHED).unlink()
    note.seek(0)
    note.truncate()
    for left in folder.glob(f"{STAGE}*"):
        shutil.rmtree(left, ignore_errors=True)


def _take_back(folder: Path, stage: Path, names: list[str], waiting: set[str]) -> None:
    """Files that were there before put back in their place, others taken away."""
    for name in names:
        if name in waiting:
            _rid_of_empty(folder, name)
        elif (stage / KEPT / name).exists():
            os.replace(stage / KEPT / name, folder / name)
        else:
            _take_away(folder, [name])


def _make(folder: Path, made: list[Path]) -> None:
    """Make a folder and those above it, telling which were not there."""
    missing = []
    while not folder.is_dir():
        missing.append(folder)
        folder = folder.parent
    for one in reversed(missing):
        # another run may make it at the same moment
        one.mkdir(exist_ok=True)
        made.append(one)


def _keep(target: Path, place: Path) -> None:
    """A second name for a file that is about to be replaced, if there is one."""
    if target.is_dir():
        raise OutputError(f"{target} is a folder, where a file should go")
    above = next(one for one in target.parents if one.exists())
    if not above.is_dir():
        raise OutputError(f"{above} is a file, where a folder should go")
    if not target.exists():
        return
    if not target.stat().st_mode & 0o222:
        raise OutputError(f"{target} is kept from being changed")
    place.parent.mkdir(parents=True, exist_ok=True)
    try:
        os.link(target, place)
    except OSError:
        shutil.copy2(target, place)


def written_before(folder: Path) -> frozenset[str]:
    """Names that the last run listed as its own, as far as they lie in the folder."""
    try:
        listed = json.loads((folder / LIST_NAME).read_text(encoding="utf-8"))["files"]
        return frozenset(name for name in listed if isinstance(name, str) and _inside(folder, name))
    except (OSError, ValueError, KeyError, TypeError):
        return frozenset()


def _inside(folder: Path, name: str) -> bool:
    return (folder / name).resolve().is_relative_to(folder.resolve())


def _take_away(folder: Path, names: Iterable[str]) -> None:
    for name in names:
        with suppress(OSError):
            (folder / name).unlink()
        _rid_of_empty(folder, name)


def _rid_of_empty(folder: Path, name: str) -> None:
    """Take away the folder of a file within `folder`, if nothing is in it."""
    if (parent := (folder / name).parent) != folder:
        with suppress(OSError):
            parent.rmdir()
