"""One file by itself: written beside and renamed, so that it is the old one or the new one."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

from ringgeom.errors import OutputError


def write_file(path: Path, content: bytes) -> None:
    """Write a file whole; an older one of the name is replaced at once.

    Raises
    ------
    OutputError
        It cannot be written; an old file is untouched.
    """
    try:
        path = path.resolve()
        mode = path.stat().st_mode & 0o777 if path.exists() else 0o644
        handle, beside = tempfile.mkstemp(prefix=".part-", dir=path.parent)
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(content)
            os.chmod(beside, mode)
            os.replace(beside, path)
        except OSError:
            os.unlink(beside)
            raise
    except (OSError, RuntimeError) as error:
        # a link that leads back to itself is a RuntimeError to Python 3.11 and 3.12
        reason = getattr(error, "strerror", None) or error
        raise OutputError(f"{path} cannot be written: {reason}") from None
