"""Standard output that outlives its reader: `| head -1` is no error, a full disk is a clear one."""

from __future__ import annotations

import os
from collections.abc import Iterable
from io import TextIOBase
from typing import Any, TextIO

from ringgeom.errors import OutputError


class Spout(TextIOBase):
    """A text stream; once its reader has gone, what is still said goes nowhere."""

    def __init__(self, stream: TextIO) -> None:
        self._stream = stream

    def write(self, text: str) -> int:
        """Write a text, or nothing once nobody reads."""
        return self._safely(self._stream.write, text) or 0

    def writelines(self, lines: Iterable[Any]) -> None:
        """Write some texts, or nothing once nobody reads."""
        self._safely(self._stream.writelines, lines)

    def flush(self) -> None:
        """Pass on what is held back, as far as anybody reads."""
        self._safely(self._stream.flush)

    def isatty(self) -> bool:
        """Whether a person reads."""
        return self._stream.isatty()

    def fileno(self) -> int:
        """The number of the stream below."""
        return self._stream.fileno()

    def writable(self) -> bool:
        """Always."""
        return True

    @property
    def buffer(self) -> Any:
        """The bytes below, as safe as the text."""
        return Spout(self._stream.buffer)  # type: ignore[arg-type]

    def __getattr__(self, name: str) -> Any:
        return getattr(self._stream, name)

    def _safely(self, work: Any, *given: Any) -> Any:
        try:
            return work(*given)
        except BrokenPipeError:
            self._drop()
        except OSError as error:
            self._drop()
            reason = error.strerror or str(error)
            raise OutputError(f"what was to be said here cannot be written: {reason}") from None
        return None

    def _drop(self) -> None:
        """Let what is still held back run into nothing, also at the very end."""
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, self._stream.fileno())
        os.close(nowhere)
