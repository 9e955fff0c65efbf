"""One file by itself: written beside and renamed, so that it is the old one or the new one."""

from __future__ import annotations

import os
import sys
import tempfile
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import BinaryIO

from ringgeom.errors import OutputError
from ringgeom.output.held import hidden_beside, taken


def write_file(path: Path, content: bytes) -> None:
    """Write a file whole; an older one of the name is replaced at once.

    Raises
    ------
    OutputError
        It cannot be written; an old file is untouched.
    """
    write_pieces(path, (content,))


def write_pieces(path: Path, pieces: Iterable[bytes]) -> None:
    """Write a file piece by piece as they come, then put it in the place of an older one.

    Raises
    ------
    OutputError
        It cannot be written; an old file is untouched.
    """
    try:
        path = path.resolve()
        mode = path.stat().st_mode & 0o777 if path.exists() else 0o644
    except (OSError, RuntimeError) as error:
        # a link that leads back to itself is a RuntimeError to Python 3.11 and 3.12
        raise _refusal(path, error) from None
    if not mode & 0o222:
        raise OutputError(f"{path} cannot be written: it is kept from being changed")
    try:
        with _beside(path, mode) as (beside, file):
            for piece in pieces:
                file.write(piece)
            _ready(file)
            os.replace(beside, path)
    except OSError as error:
        raise _refusal(path, error) from None


def write_new_file(path: Path, text: str) -> None:
    """Write a text file whole under a name that is free; no file is ever overwritten.

    Raises
    ------
    OutputError
        The file exists already, or cannot be written.
    """
    try:
        if path.exists():
            raise OutputError(f"{path} exists already; choose another name")
        with _beside(path, 0o644) as (beside, file):
            file.write(text.encode())
            _ready(file)
            try:
                os.link(beside, path)
            except OSError:
                # some sticks know no second names: the name is taken first, and is ours then
                path.open("xb").close()
                _moved_to_own(beside, path)
    except OSError as error:
        raise _refusal(path, error) from None


def _moved_to_own(beside: Path, path: Path) -> None:
    """A file moved to a name that was just taken; let go of again if that fails."""
    try:
        os.replace(beside, path)
    except BaseException:
        path.unlink()
        raise


@contextmanager
def _beside(path: Path, mode: int) -> Iterator[tuple[Path, BinaryIO]]:
    """A hidden file beside a path, held while it is written, and gone in the end.

    Those that killed runs have left beside the same path are taken away.
    """
    start = hidden_beside(path, "part-").name
    with suppress(OSError):
        for left in path.parent.iterdir():
            if left.name.startswith(start):
                _clear(left)
    file, beside = _made(start, path.parent)
    try:
        with file:
            os.chmod(beside, mode)
            yield beside, file
    finally:
        with suppress(OSError):
            beside.unlink()


def _made(start: str, folder: Path) -> tuple[BinaryIO, Path]:
    """A new file, held; made again if another run took it for a dead one's in that moment."""
    while True:
        handle, name = tempfile.mkstemp(prefix=start, dir=folder)
        file = os.fdopen(handle, "wb")
        if taken(handle) and os.path.exists(name):
            return file, Path(name)
        file.close()


def _clear(left: Path) -> None:
    """Take a file away if no living process holds it."""
    with suppress(OSError), left.open("r+b") as file:
        if taken(file.fileno()):
            if sys.platform == "win32":
                file.close()
            left.unlink()


def _ready(file: BinaryIO) -> None:
    """All of it on the disk, to be renamed; it stays held where an open file can be renamed."""
    file.flush()
    os.fsync(file.fileno())
    if sys.platform == "win32":
        file.close()


def _refusal(path: Path, error: Exception) -> OutputError:
    reason = getattr(error, "strerror", None) or error
    return OutputError(f"{path} cannot be written: {reason}")
