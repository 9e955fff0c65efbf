"""A file held by one process: let go when that process ends, in whatever way it ends."""

from __future__ import annotations

import errno
import os
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import BinaryIO

from ringgeom.errors import OutputError

PATIENCE_S = 60.0
"""Another run writes for a second or two; one that takes longer hangs, and is told of."""

PAUSE_S = 0.02

LONGEST_NAME = 200
"""Bytes of a name that are used beside it: file systems take 255."""

if sys.platform == "win32":
    import msvcrt

    FAR = 1 << 30

    def taken(handle: int) -> bool:
        """Hold an open file without waiting; False if another process holds it."""
        os.lseek(handle, FAR, os.SEEK_SET)
        try:
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
        finally:
            os.lseek(handle, 0, os.SEEK_SET)
        return True

else:
    import fcntl

    NO_HOLDING = (errno.ENOLCK, errno.EOPNOTSUPP, errno.ENOSYS)
    """Some disks of other machines know no holding: there the last run wins."""

    def taken(handle: int) -> bool:
        """Hold an open file without waiting; False if another process holds it."""
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError as error:
            return error.errno in NO_HOLDING
        return True


def hidden_beside(path: Path, word: str) -> Path:
    """A hidden name beside a file, whatever that is called."""
    name = path.name.encode(errors="surrogateescape")[:LONGEST_NAME].decode(errors="ignore")
    return path.with_name(f".{name}.{word}")


@contextmanager
def held(path: Path) -> Iterator[BinaryIO]:
    """Hold a file by its name, made if it is not there.

    What it says at first is what a run that was killed has left in it. In the end it is taken
    away, unless it still says something.

    Raises
    ------
    OutputError
        Another process holds it for longer than one waits.
    OSError
        It cannot be made.
    """
    begun = time.monotonic()
    while (file := _held_now(path)) is None:
        if time.monotonic() - begun > PATIENCE_S:
            raise OutputError(
                f"another run is writing to {path.parent} and does not end; wait for it or end it"
            )
        time.sleep(PAUSE_S)
    try:
        yield file
    finally:
        with suppress(OSError):
            if file.seek(0, os.SEEK_END) == 0:
                if sys.platform == "win32":
                    # there an open file cannot be taken away; one that another opened is left
                    file.close()
                os.unlink(path)
        file.close()


def _held_now(path: Path) -> BinaryIO | None:
    """The file, if no other process holds it."""
    never_a_link = getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_BINARY", 0)
    file = os.fdopen(os.open(path, os.O_RDWR | os.O_CREAT | never_a_link, 0o644), "r+b")
    with suppress(FileNotFoundError):
        # the run before may have taken it away after it was opened here
        if taken(file.fileno()) and os.path.samestat(os.fstat(file.fileno()), path.stat()):
            return file
    file.close()
    return None
