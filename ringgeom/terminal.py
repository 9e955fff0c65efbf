"""What a person sees in the terminal: tables, findings, progress; plain when piped."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from typing import Any

from ringgeom.errors import InputError

MARKS = {"stop": "STOP", "warn": "WARN", "note": "note"}
STYLES = {"stop": "bold red", "warn": "yellow", "note": "dim"}
PATIENCE_S = 1.0
"""Work shorter than this shows no progress."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A line of words; empty between two things."""

    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """A table; `right` says which columns stand to the right, `total` that the last row sums."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    right: tuple[bool, ...]
    total: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """A finding."""

    level: str
    code: str
    where: str
    text: str
    fix: str


Told = Line | Table | Found

_hearing: ContextVar[list[Told] | None] = ContextVar("hearing", default=None)


@contextmanager
def heard() -> Iterator[list[Told]]:
    """Hands out what is told meanwhile, in this thread, instead of printing it."""
    found: list[Told] = []
    before = _hearing.set(found)
    try:
        yield found
    finally:
        _hearing.reset(before)


def _is_heard(told: Told) -> bool:
    hearing = _hearing.get()
    if hearing is not None:
        hearing.append(told)
    return hearing is not None


def is_screen() -> bool:
    """Whether a person is looking."""
    return _hearing.get() is None and sys.stdout.isatty()


def say(text: str = "") -> None:
    """Tell a line, or nothing more than an empty one."""
    if not _is_heard(Line(text=text)):
        print(text)


def swatch(hex_rgb: str) -> str:
    """A flat patch of a colour and a space, on a screen; nothing when piped."""
    if not is_screen():
        return ""
    red, green, blue = (int(hex_rgb[n : n + 2], 16) for n in (1, 3, 5))
    return f"\x1b[48;2;{red};{green};{blue}m    \x1b[0m "


def complain(text: str) -> None:
    """Tell a line beside what is told, as of a fault."""
    print(text, file=sys.stderr)


def table(head: Sequence[str], rows: Sequence[Sequence[str]], *, total: bool = False) -> None:
    """A table; every column but the first is set to the right if all of it are figures."""
    right = [n > 0 and all(_figure(row[n]) for row in rows if row[n]) for n in range(len(head))]
    cells = tuple(tuple(row) for row in rows)
    if _is_heard(Table(head=tuple(head), rows=cells, right=tuple(right), total=total)):
        return
    if is_screen():
        from rich import table as rich_table
        from rich.console import Console
        from rich.text import Text

        shown = rich_table.Table(box=None, pad_edge=False, header_style="dim")
        for title, side in zip(head, right, strict=True):
            shown.add_column(title, justify="right" if side else "left")
        for number, row in enumerate(rows):
            last = total and number == len(rows) - 1
            shown.add_row(*map(Text, row), style="bold" if last else "")
        Console().print(shown)
        return
    widths = [max(len(row[n]) for row in (head, *rows)) for n in range(len(head))]
    for row in (head, *rows):
        words = [
            word.rjust(width) if side else word.ljust(width)
            for word, width, side in zip(row, widths, right, strict=True)
        ]
        print("  ".join(words).rstrip())


def _figure(word: str) -> bool:
    return word.replace("±", "").strip()[:1].isdigit()


def finding_line(level: str, code: str, where: str, text: str, fix: str) -> None:
    """One finding: the mark, what and where, then the way out."""
    if _is_heard(Found(level=level, code=code, where=where, text=text, fix=fix)):
        return
    place = f"  [{where}]" if where else ""
    if is_screen():
        from rich.console import Console
        from rich.text import Text

        line = Text(f"{MARKS[level]}  ", style=STYLES[level])
        line.append(f"{code}: ", style="bold").append(text).append(place, style="dim")
        Console().print(line)
        if fix:
            Console().print(Text(f"      {fix}", style="green"))
        return
    print(f"{MARKS[level]}  {code}: {text}{place}")
    if fix:
        print(f"      {fix}")


def problems(error: InputError) -> None:
    """Everything that could not be read, to standard error."""
    count = len(error.problems)
    complain(f"{count} problem{'s' if count > 1 else ''} in what was given; nothing was written:")
    for problem in error.problems:
        complain(f"  {problem}")


@contextmanager
def progress() -> Iterator[Callable[[str], None]]:
    """Hands out a teller of steps; words appear on a screen once the work takes a while."""
    if not sys.stderr.isatty():
        yield _nothing
        return
    begun = time.monotonic()
    shown: list[Any] = []

    def told(step: str) -> None:
        if not shown and time.monotonic() - begun > PATIENCE_S:
            from rich.console import Console
            from rich.progress import BarColumn, Progress, TextColumn, TimeElapsedColumn

            bar = Progress(
                TextColumn("{task.description}"),
                BarColumn(),
                TimeElapsedColumn(),
                console=Console(stderr=True),
                transient=True,
            )
            bar.start()
            shown.extend([bar, bar.add_task(step, total=None)])
        elif shown:
            shown[0].update(shown[1], description=step)

    try:
        yield told
    finally:
        if shown:
            shown[0].stop()


def _nothing(step: str) -> None:
    """Progress that nobody watches."""
