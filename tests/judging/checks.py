"""Comparing is recording: what a work prints, or another program finds, against ours.

    published(work, "water at 15 C [kg/m3]", ours, 999.10, abs=0.008, why="printed to 0.01")
    judged(KERNEL, "volume of a part [mm3]", ours, theirs, rel=1e-6, why="good to 1e-7 there")

Each call fails where the two differ by more than is allowed, and where the written page
(tests/judged.md) no longer tells what was found.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict
from functools import cache
from typing import Any

import numpy as np
from judging.page import NOISE, Row, bound, digits, rows_written, told_number
from judging.programs import Program

Value = Any
"""A number, some numbers in a row, or a text that must be the same to the letter."""


class Book:
    """What the tests of this process have recorded."""

    def __init__(self) -> None:
        self.test = ""
        self.writing = False
        self.rows: dict[tuple[str, ...], Row] = {}

    def enter(self, row: Row) -> None:
        """Keep the row; of several judgements of one kind, the worst."""
        kept = self.rows.get(row.key)
        if kept is None or abs(row.off) > abs(kept.off):
            self.rows[row.key] = row
        if not self.writing:
            against_the_page(row)

    def plain(self) -> list[dict[str, Any]]:
        """The rows as plain data, to be sent from one process to another."""
        return [asdict(row) for row in self.rows.values()]

    def join(self, plain: Sequence[Mapping[str, Any]]) -> None:
        """Take in what another process recorded."""
        for one in plain:
            self.enter(Row(**one))


BOOK = Book()


def published(
    work: str,
    what: str,
    ours: Value,
    printed: Value,
    *,
    why: str,
    abs: float | None = None,
    rel: float | None = None,
) -> None:
    """Hold ours against what a work prints; `abs` in the unit of `what`, `rel` a share of it."""
    off, allowed = _compared(ours, printed, abs, rel)
    step = allowed if rel is None else allowed * float(np.max(np.abs(printed)))
    BOOK.enter(
        Row(
            by=work,
            version="",
            what=what,
            printed=_told(printed, None),
            ours=_told(ours, step),
            off=off,
            allowed=allowed,
            share=rel is not None,
            why=why,
            test=BOOK.test,
        )
    )


def judged(
    program: Program,
    what: str,
    ours: Value,
    theirs: Value,
    *,
    why: str,
    abs: float | None = None,
    rel: float | None = None,
) -> None:
    """Hold ours against what another program finds; the page tells the worst of all calls."""
    off, allowed = _compared(ours, theirs, abs, rel)
    BOOK.enter(
        Row(
            by=program.name,
            version=program.version(),
            what=what,
            printed="",
            ours="",
            off=off,
            allowed=allowed,
            share=rel is not None,
            why=why,
            test=BOOK.test,
        )
    )


def _compared(
    ours: Value, theirs: Value, abs: float | None, rel: float | None
) -> tuple[float, float]:
    """How far the worst value is off, with its sign, and what is allowed."""
    if isinstance(theirs, str):
        assert ours == theirs
        return 0.0, 0.0
    assert (abs is None) != (rel is None), "one tolerance, absolute or relative"
    a, b = np.atleast_1d(np.asarray(ours, float)), np.atleast_1d(np.asarray(theirs, float))
    assert a.shape == b.shape, f"{ours} against {theirs}"
    off = (a - b).ravel() if rel is None else ((a - b) / np.abs(b)).ravel()
    worst = float(off[np.argmax(np.abs(off))])
    allowed = float(rel if abs is None else abs)
    # a bound itself is a decimal, and may be met
    assert np.abs(worst) <= allowed * (1 + NOISE) + 1e-15, (
        f"{ours} against {theirs}: off by {worst:.3g}, allowed {allowed:g}"
    )
    return worst, allowed


def _told(value: Value, step: float | None) -> str:
    """A value in words; ours to a tenth of what is allowed."""
    if isinstance(value, str):
        return value
    many = np.atleast_1d(np.asarray(value, float)).ravel()
    return ", ".join(told_number(one) if step is None else digits(one, step) for one in many)


@cache
def _page() -> Mapping[tuple[str, ...], Row]:
    return {row.key: row for row in rows_written()}


def against_the_page(row: Row) -> None:
    """The page has this row and still tells the truth.

    Our number may have moved by a tenth of what is allowed. A program's worst difference may
    have grown tenfold, or to a hundredth of what is allowed: arithmetic is rounded otherwise
    from machine to machine. Where another version of the program is installed than the page
    names, only what is allowed is held.
    """
    again = "write it anew: python -m pytest --write-judged"
    written = _page().get(row.key)
    assert written is not None, f"tests/judged.md has no such row; {again}: {row.key}"
    if not row.version:
        assert bound(row).holds(row.ours, written.ours), (
            f"{row.key}: tests/judged.md says ours is {written.ours}, it is {row.ours}; {again}"
        )
    elif written.version == row.version:
        most = max(10 * abs(written.off), 0.01 * row.allowed, NOISE)
        assert abs(row.off) <= most, (
            f"{row.key}: tests/judged.md says at worst {written.off:.2g}, it is {row.off:.2g}; "
            f"{again}"
        )


def gone(file: str) -> list[Row]:
    """Rows of the page that a file of tests, run from end to end, no longer records."""
    return [
        row
        for key, row in _page().items()
        if row.test.split("::")[0] == file and key not in BOOK.rows
    ]
