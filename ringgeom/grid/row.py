"""A row of a grid: one ring, its grams, and what is wrong with it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from ringgeom.findings.finding import RANK, Finding, Level


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """A rule that a ring of the grid breaks, in the words of a single ring; notes by code only."""

    code: str
    level: Level
    part: str | None
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RowCasting:
    """What is poured of one alloy for one ring [g]."""

    alloy: str
    finished_g: float
    parts_g: float
    sprue_g: float
    button_g: float
    loss_g: float
    melt_g: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One ring.

    Attributes
    ----------
    number : int
        From 1, in the order of the grid.
    size : str
        As asked.
    bore_mm : float or None
        Inside diameter to make; None where the size is past its scale.
    alloys : tuple of str
        Of every role of the grid.
    volumes_mm3 : tuple of float
        Of every role, all its pieces together; empty where the ring is stopped.
    castings : tuple of RowCasting
        Empty where the ring is stopped.
    marks : tuple of Mark
        Worst first.
    further : mapping
        Name with unit to value, of columns that were added; empty where the ring is stopped.
    """

    number: int
    size: str
    bore_mm: float | None
    width_mm: float
    thickness_mm: float
    alloys: tuple[str, ...]
    volumes_mm3: tuple[float, ...]
    castings: tuple[RowCasting, ...]
    marks: tuple[Mark, ...]
    further: Mapping[str, float | None]

    @property
    def stopped(self) -> bool:
        """Whether a rule forbids making it."""
        return bool(self.marks) and self.marks[0].level == "stop"

    @property
    def level(self) -> str:
        """Level of the worst mark; empty without any."""
        return self.marks[0].level if self.marks else ""

    @property
    def reason(self) -> str:
        """The words of all that stops it or is questioned, worst first."""
        return "; ".join(mark.text for mark in self.marks if mark.level != "note")

    @property
    def volume_mm3(self) -> float:
        """Of all metal [mm^3]."""
        return sum(self.volumes_mm3)

    @property
    def finished_g(self) -> float:
        """Of the finished ring [g]."""
        return sum(casting.finished_g for casting in self.castings)

    @property
    def melt_g(self) -> float:
        """To melt in all [g]."""
        return sum(casting.melt_g for casting in self.castings)


def marks_of(placed: Sequence[tuple[int, Finding]]) -> tuple[Mark, ...]:
    """Findings as marks, worst first, then in the order of judging, each once."""
    found, told = [], set()
    ordered = sorted(placed, key=_rank)
    for _, one in ordered:
        said = one.code, one.part, one.text
        if said not in told:
            told.add(said)
            text = "" if one.level == "note" else one.text
            found.append(Mark(code=one.code, level=one.level, part=one.part, text=text))
    return tuple(found)


def _rank(placed: tuple[int, Finding]) -> tuple[int, int]:
    return RANK[placed[1].level], placed[0]
