"""The shop's file while the page is open: figures tried in it, then saved with its remarks kept."""

from __future__ import annotations

import os
import shlex
import sys
import threading
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from subprocess import list2cmdline

from ringgeom.errors import InputError, OutputError
from ringgeom.output.one_file import write_file, write_new_file
from ringgeom.output.shop_file import as_written
from ringgeom.page.edits import Change
from ringgeom.page.shop_edits import changed_shop
from ringgeom.reading import read_text
from ringgeom.shop import Shop, shop_from_text

KIND = "shop file"
MOST_NAMES = 99


class ShopChanged(Exception):
    """The shop's figures, or its file, are others than the page has seen."""


def from_here(path: Path) -> str:
    """A path as it is typed in the folder where the program was started."""
    try:
        return os.path.relpath(path)
    except ValueError:
        # from one drive to another there is no way
        return str(path.resolve())


@dataclass(frozen=True, slots=True, kw_only=True)
class ShopState:
    """The shop as it stands: its text, its settings, how often it changed.

    `saved` is the text on disk, None while there is no file.
    """

    text: str
    shop: Shop
    turn: int
    saved: str | None


class ShopDesk:
    """One shop for all that the page shows; a change that cannot be read changes nothing."""

    def __init__(self, path: Path | None, folder: Path) -> None:
        self.path, self.folder = path, folder
        self._lock = threading.Lock()
        text = "" if path is None else read_text(path, KIND)
        self.state = ShopState(
            text=text, shop=shop_from_text(text), turn=0, saved=None if path is None else text
        )

    @property
    def name(self) -> str:
        """The file's name, empty while there is none."""
        return "" if self.path is None else self.path.name

    @property
    def option(self) -> str:
        """What to add to a command so that it counts with this file."""
        if self.path is None:
            return ""
        path = from_here(self.path)
        quoted = list2cmdline([path]) if sys.platform == "win32" else shlex.quote(path)
        return f"--shop {quoted}"

    def change(self, changes: Sequence[Change], turn: int) -> None:
        """Set some keys.

        Raises
        ------
        InputError
            What comes of it cannot be read; the last good shop stays.
        ShopChanged
            Another page changed it since.
        """
        with self._lock:
            self._seen(turn)
            self._take(changed_shop(self.state.text, changes))

    def write(self, text: str, turn: int) -> None:
        """Take a whole text; errors as in `change`."""
        with self._lock:
            self._seen(turn)
            self._take(text)

    def read(self) -> None:
        """Take the file as it lies on disk; what was not saved is gone."""
        with self._lock:
            text = "" if self.path is None else read_text(self.path, KIND)
            self._take(text, saved=None if self.path is None else text)

    def save(self, turn: int) -> None:
        """Write the file; without one, a new one beside the designs.

        Raises
        ------
        ShopChanged
            The file is another than was read.
        OutputError
            It cannot be written.
        """
        with self._lock:
            self._seen(turn)
            state = self.state
            if self.path is None:
                path = self._free()
                write_new_file(path, state.text)
                self.path = path
            else:
                try:
                    now = read_text(self.path, KIND)
                except InputError:
                    now = state.saved or ""
                if now != state.saved:
                    raise ShopChanged
                old = self.path.read_bytes() if self.path.exists() else b""
                write_file(self.path, as_written(old, state.text))
            self.state = ShopState(
                text=state.text, shop=state.shop, turn=state.turn, saved=state.text
            )

    def _seen(self, turn: int) -> None:
        if turn != self.state.turn:
            raise ShopChanged

    def _take(self, text: str, saved: str | None = None) -> None:
        shop = shop_from_text(text)
        self.state = ShopState(
            text=text,
            shop=shop,
            turn=self.state.turn + 1,
            saved=self.state.saved if saved is None else saved,
        )

    def _free(self) -> Path:
        for number in range(1, MOST_NAMES + 1):
            path = self.folder / ("shop.toml" if number == 1 else f"shop-{number}.toml")
            if not path.exists():
                return path
        raise OutputError(f"{self.folder} holds shop.toml to shop-{MOST_NAMES}.toml already")
