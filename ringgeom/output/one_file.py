"""One file by itself: written beside and renamed, so that it is the old one or the new one."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterable
from contextlib import suppress
from pathlib import Path

from ringgeom.errors import OutputError


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
        if not mode & 0o222:
            raise OutputError(f"{path} cannot be written: it is kept from being changed")
        handle, beside = tempfile.mkstemp(prefix=".part-", dir=path.parent)
    except (OSError, RuntimeError) as error:
        # a link that leads back to itself is a RuntimeError to Python 3.11 and 3.12
        raise _refusal(path, error) from None
    try:
        with os.fdopen(handle, "wb") as file:
            for piece in pieces:
                file.write(piece)
        os.chmod(beside, mode)
        os.replace(beside, path)
    except BaseException as error:
        with suppress(OSError):
            os.unlink(beside)
        if isinstance(error, OSError):
            raise _refusal(path, error) from None
        raise


def _refusal(path: Path, error: Exception) -> OutputError:
    reason = getattr(error, "strerror", None) or error
    return OutputError(f"{path} cannot be written: {reason}")


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
        handle, beside = tempfile.mkstemp(prefix=".part-", dir=path.parent)
        try:
            with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as file:
                file.write(text)
            os.chmod(beside, 0o644)
            try:
                os.link(beside, path)
            except OSError:
                # some sticks know no second names; opening for the first time is as safe
                with path.open("x", encoding="utf-8", newline="\n") as file:
                    file.write(text)
        finally:
            os.unlink(beside)
    except OSError as error:
        raise OutputError(f"{path} cannot be written: {error.strerror or error}") from None
