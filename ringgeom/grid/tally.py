"""What a whole grid comes to: counted while its rows pass by, none of them kept."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from ringgeom.findings.finding import RANK, Level
from ringgeom.grid.row import Row

MOST_GROUPS = 24
"""Groups that are told in the terminal; the others are in the file."""

MOST_SINGLE = 40
"""Rows that are told one by one where there are no more."""


@dataclass(slots=True, kw_only=True)
class Group:
    """Rows of one width, thickness and choice of alloys: from their smallest to their largest.

    `melt_g` holds least and most grams to melt of every alloy, by its name.
    """

    width_mm: float
    thickness_mm: float
    alloys: tuple[str, ...]
    first: int
    last: int = 0
    stopped: int = 0
    warned: int = 0
    made: list[str] = field(default_factory=list)
    finished_g: tuple[float, float] | None = None
    melt_g: dict[str, tuple[float, float]] = field(default_factory=dict)

    def add(self, row: Row) -> None:
        """One more row of the group."""
        self.last = row.number
        self.stopped += row.stopped
        self.warned += row.level == "warn"
        if row.stopped:
            return
        self.made = [*self.made[:1], row.size]
        self.finished_g = _wider(self.finished_g, row.finished_g)
        for casting in row.castings:
            known = self.melt_g.get(casting.alloy)
            self.melt_g[casting.alloy] = _wider(known, casting.melt_g)


def _wider(known: tuple[float, float] | None, value: float) -> tuple[float, float]:
    return (value, value) if known is None else (min(known[0], value), max(known[1], value))


@dataclass(slots=True, kw_only=True)
class Broken:
    """A rule that rows break: how many, and the words of the first."""

    code: str
    level: Level
    rows: int
    first: int
    text: str


@dataclass(slots=True, kw_only=True)
class Tally:
    """Counts of a grid.

    Attributes
    ----------
    groups : list of Group
        The first `MOST_GROUPS`; `more_groups` are left out.
    single : list of Row
        All rows where there are at most `MOST_SINGLE`, else none.
    broken : dict
        By code and level.
    """

    rows: int = 0
    stopped: int = 0
    warned: int = 0
    more_groups: int = 0
    groups: list[Group] = field(default_factory=list)
    single: list[Row] = field(default_factory=list)
    _broken: dict[tuple[str, Level], Broken] = field(default_factory=dict)
    _key: tuple[float, float, tuple[str, ...]] | None = None

    @property
    def broken(self) -> list[Broken]:
        """Rules that rows break, worst first, then the most broken."""
        return sorted(self._broken.values(), key=lambda one: (RANK[one.level], -one.rows))

    def passing(self, rows: Iterable[Row]) -> Iterator[Row]:
        """The same rows, each counted as it passes."""
        for row in rows:
            self._count(row)
            yield row

    def _count(self, row: Row) -> None:
        self.rows += 1
        self.stopped += row.stopped
        self.warned += row.level == "warn"
        if self.rows <= MOST_SINGLE:
            self.single.append(row)
        elif self.single:
            self.single.clear()
        self._mark(row)
        key = row.width_mm, row.thickness_mm, row.alloys
        if key != self._key:
            self._key = key
            if len(self.groups) < MOST_GROUPS:
                width, thickness, alloys = key
                self.groups.append(
                    Group(width_mm=width, thickness_mm=thickness, alloys=alloys, first=row.number)
                )
            else:
                self.more_groups += 1
        if not self.more_groups:
            self.groups[-1].add(row)

    def _mark(self, row: Row) -> None:
        """Count the rules that a row breaks, each once."""
        for (code, level), mark in {(m.code, m.level): m for m in reversed(row.marks)}.items():
            known = self._broken.get((code, level))
            if known is not None:
                known.rows += 1
            else:
                self._broken[code, level] = Broken(
                    code=code, level=level, rows=1, first=row.number, text=mark.text
                )
