"""The designs of one folder, and beside each the work on it that is not saved yet.

heron.toml            the design
.heron.toml.bench     the page's own: text and steps back and forth, gone when saved
"""

from __future__ import annotations

import json
import os
import threading
from contextlib import suppress
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import Any

from ringgeom.asked import file_word
from ringgeom.errors import InputError, OutputError, Problem
from ringgeom.output.one_file import write_file, write_new_file
from ringgeom.output.start import start_kinds, start_text
from ringgeom.reading import read_text

KIND = "design file"
MOST_LISTED = 200
UNNAMED = "my-ring.toml"


class Changed(Exception):
    """A file, or the work kept beside it, is another than the page has seen."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Opened:
    """A design as it lies on disk, and the unsaved work beside it.

    `stamp` is that of the file's content, empty for one that is not there yet; `turn`
    counts the keepings of unsaved work.
    """

    name: str
    text: str
    stamp: str
    kept: dict[str, Any] | None
    turn: int


class Desk:
    """Opens, keeps and saves designs of one folder; names come from its own list only."""

    def __init__(self, folder: Path, first: str | None = None) -> None:
        self.folder, self.first = folder.resolve(), first
        self._lock = threading.Lock()
        self._turns: dict[str, int] = {}

    def names(self) -> list[str]:
        """Design files of the folder."""
        with suppress(OSError):
            found = sorted(path for path in self.folder.glob("*.toml") if path.is_file())
            return [path.name for path in found[:MOST_LISTED] if _looks_like_a_design(path)]
        return []

    def kinds(self) -> tuple[str, ...]:
        """Kinds of design to begin from."""
        return start_kinds()

    def opened(self, name: str) -> Opened:
        """A design of the folder.

        Raises
        ------
        InputError
            There is none of that name, or it cannot be read.
        """
        if name != self.first and name not in self.names():
            raise InputError(Problem(text="there is no such design here", value=repr(name)))
        path = self.folder / name
        text = read_text(path, KIND)
        kept = self._kept(path)
        if kept is not None and kept["text"] == text:
            kept = None
        return Opened(
            name=name, text=text, stamp=_stamp(text), kept=kept, turn=self._turns.get(name, 0)
        )

    def started(self, kind: str) -> Opened:
        """A new design of a kind, with no file yet; work on one begun before comes with it."""
        text = start_text(kind)
        kept = self._kept(self.folder / UNNAMED)
        return Opened(name="", text=text, stamp="", kept=kept, turn=self._turns.get(UNNAMED, 0))

    def keep(self, name: str, work: dict[str, Any], turn: int) -> int:
        """Keep unsaved work beside the file; returns the turn to name next.

        Raises
        ------
        Changed
            Another page kept work on the same design since.
        OutputError
            It cannot be written.
        """
        with self._lock:
            place = self._place(name)
            if self._turns.get(place, 0) != turn:
                raise Changed
            text = json.dumps(work, ensure_ascii=False)
            write_file(_beside(self.folder / place), text.encode())
            self._turns[place] = turn + 1
            return turn + 1

    def forget(self, name: str) -> None:
        """Take the unsaved work away."""
        with self._lock, suppress(OSError):
            os.unlink(_beside(self.folder / self._place(name)))

    def save(self, name: str, text: str, stamp: str, job_name: str) -> Opened:
        """Write a design; one without a file yet is named after its job.

        Raises
        ------
        Changed
            The file is another than the page has opened.
        OutputError
            It cannot be written, or a new one's name is taken.
        """
        with self._lock:
            if not name:
                name = f"{file_word(job_name)[:80]}.toml"
                write_new_file(self.folder / name, text)
                begun = UNNAMED
            else:
                begun = self._place(name)
                path = self.folder / begun
                try:
                    now = _stamp(read_text(path, KIND))
                except InputError:
                    now = ""
                if now not in (stamp, ""):
                    raise Changed
                write_file(path, text.encode())
            with suppress(OSError):
                os.unlink(_beside(self.folder / begun))
            return Opened(
                name=name, text=text, stamp=_stamp(text), kept=None, turn=self._turns.get(name, 0)
            )

    def _place(self, name: str) -> str:
        if not name:
            return UNNAMED
        if name != self.first and name not in self.names():
            raise OutputError(f"there is no design {name!r} here")
        return name

    def _kept(self, path: Path) -> dict[str, Any] | None:
        try:
            found = json.loads(_beside(path).read_text(encoding="utf-8"))
        except (OSError, ValueError, RecursionError):
            return None
        if not isinstance(found, dict) or not isinstance(found.get("text"), str):
            return None
        steps = {
            key: [one for one in found.get(key, []) if isinstance(one, str)]
            for key in ("undo", "redo")
            if isinstance(found.get(key, []), list)
        }
        return {"text": found["text"], "when": str(found.get("when", "")), **steps}


def _beside(path: Path) -> Path:
    return path.with_name(f".{path.name}.bench")


def _stamp(text: str) -> str:
    return sha256(text.encode()).hexdigest()[:16]


def _looks_like_a_design(path: Path) -> bool:
    try:
        with path.open("rb") as file:
            return b"[ring]" in file.read(20_000)
    except OSError:
        return False
