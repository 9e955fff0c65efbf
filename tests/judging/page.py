"""The page tests/judged.md: rows → text, and text → rows. Nothing in it is typed."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import groupby
from pathlib import Path

PAGE = Path(__file__).parents[1] / "judged.md"

NOISE = 1e-12
"""Rounding of decimals and of sums, as a share."""

HEAD = """# Judged by others

Written by `python -m pytest --write-judged` from what the tests compare, and compared by every \
run of them; `tests/judging` does both. Allowed and off are in the unit of what is compared, or \
a share of it (a number alone, or with %).

"""
PROGRAMS = "## Programs\n\nThe worst of everything each was asked.\n\n"
WORKS = "\n## Published works\n"
SAME = "to the letter"


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One comparison: with a printed value, or the worst of a program's judgements."""

    by: str
    version: str
    what: str
    printed: str
    ours: str
    off: float
    allowed: float
    share: bool
    why: str
    test: str

    @property
    def key(self) -> tuple[str, ...]:
        """What makes it this row and no other; numbers found may move, these may not."""
        allowed = _amount(self.allowed, self.share)
        return (self.by, self.what, self.printed, allowed, self.why, self.test)


@dataclass(frozen=True, slots=True, kw_only=True)
class Bound:
    """How far our number may move before the page has to be written anew."""

    share: float
    plain: float

    def holds(self, now: str, written: str) -> bool:
        """Whether both texts say the same."""
        if now == written:
            return True
        a, b = now.split(", "), written.split(", ")
        return len(a) == len(b) and all(self._near(*both) for both in zip(a, b, strict=True))

    def _near(self, now: str, written: str) -> bool:
        try:
            one, other = float(now), float(written)
        except ValueError:
            return False
        return abs(one - other) <= self.plain + self.share * abs(other)


def bound(row: Row) -> Bound:
    """A tenth of what is allowed, and what rounding of sums may do."""
    tenth = row.allowed / 10
    # a hair, because a number told is a decimal
    share, plain = (tenth, 0.0) if row.share else (0.0, tenth)
    return Bound(share=(share + NOISE) * 1.001, plain=plain * 1.001)


def told_number(value: float) -> str:
    """A printed number, to as many digits as it has."""
    return f"{value:.15g}"


def digits(value: float, step: float) -> str:
    """A number to a tenth of a step."""
    if step <= 0:
        return told_number(value)
    places = min(15, max(0, math.ceil(1 - math.log10(step) - 1e-9)))
    return f"{value:.{places}f}"


def _amount(value: float, share: bool) -> str:
    """A tolerance or a difference, two digits; shares from a hundred thousandth on in %."""
    if share and abs(value) >= 1e-5:
        return f"{100 * value:.2g} %"
    return f"{value:.2g}" + (" of it" if share else "")


def _amount_read(text: str) -> tuple[float, bool]:
    number = float(text.split(" ", maxsplit=1)[0])
    if text.endswith(" %"):
        return number / 100, True
    return number, text.endswith(" of it")


def _cells(*cells: str) -> str:
    return "| " + " | ".join(cell.replace("|", "\\|") for cell in cells) + " |\n"


def text(rows: Iterable[Row]) -> str:
    """The whole page."""
    rows = list(rows)
    programs = sorted((row for row in rows if row.version), key=lambda row: row.key)
    works = [row for row in rows if not row.version]
    return HEAD + PROGRAMS + "".join(_programs(programs)) + WORKS + "".join(_works(works))


def _programs(rows: Iterable[Row]) -> Iterator[str]:
    yield _cells("program", "version", "what it judged", "worst", "allowed", "because", "test")
    yield "|---|---|---|---|---|---|---|\n"
    for row in rows:
        allowed, off = _amount(row.allowed, row.share), _amount(abs(row.off), row.share)
        yield _cells(row.by, row.version, row.what, off, allowed, row.why, f"`{row.test}`")


def _heading(row: Row) -> tuple[str, str, str, str]:
    allowed = _amount(row.allowed, row.share) if row.allowed else SAME
    return row.by, row.test, allowed, row.why


def _works(rows: list[Row]) -> Iterator[str]:
    work = ""
    for heading, group in groupby(sorted(rows, key=_heading), key=_heading):
        by, test, allowed, why = heading
        if by != work:
            yield f"\n### {by}\n"
            work = by
        yield f"\n`{test}` allows {allowed}: {why}\n\n"
        yield _cells("what", "printed", "ours", "off") + "|---|---|---|---|\n"
        for row in group:
            yield _cells(row.what, row.printed, row.ours, _amount(row.off, row.share))


def rows_written() -> Iterator[Row]:
    """What the page tells, row by row."""
    by, test, allowed, share, why = "", "", 0.0, False, ""
    for line in PAGE.read_text(encoding="utf-8").splitlines() if PAGE.exists() else ():
        if line.startswith("### "):
            by = line[4:]
        elif found := re.fullmatch(r"`(.+?)` allows (.+?): (.*)", line):
            test, (allowed, share), why = found[1], _allowed_read(found[2]), found[3]
        elif line.startswith("| ") and not line.startswith(("| program |", "| what |")):
            cells = [cell.replace("\\|", "|") for cell in line[2:-2].split(" | ")]
            if by:
                what, printed, ours, off = cells
                yield Row(
                    by=by,
                    version="",
                    what=what,
                    printed=printed,
                    ours=ours,
                    off=_amount_read(off)[0],
                    allowed=allowed,
                    share=share,
                    why=why,
                    test=test,
                )
            else:
                most, kind = _amount_read(cells[4])
                yield Row(
                    by=cells[0],
                    version=cells[1],
                    what=cells[2],
                    printed="",
                    ours="",
                    off=_amount_read(cells[3])[0],
                    allowed=most,
                    share=kind,
                    why=cells[5],
                    test=cells[6].strip("`"),
                )


def _allowed_read(words: str) -> tuple[float, bool]:
    return (0.0, False) if words == SAME else _amount_read(words)
