"""Parts that share one mark."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from ringgeom.marks.proposal import Marked, PartMark
from ringgeom.marks.region import LegalMark, Region, reaches

BASE = "base"
"""What a recipe calls its metal when it holds too little of any precious one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Parts of one metal under one mark.

    Attributes
    ----------
    metal : str
        gold, silver, platinum, palladium or base.
    parts : tuple of Marked
        At least one.
    wanted : LegalMark or None
        The mark that the recipes carry; None for base metal and below the lowest mark.
    """

    metal: str
    parts: tuple[Marked, ...]
    wanted: LegalMark | None

    @property
    def place(self) -> Marked:
        """The heaviest part, where there is most room for a stamp."""
        return max(self.parts, key=lambda part: part.grams)

    @property
    def shaky(self) -> tuple[Marked, ...]:
        """Parts that in the worst case miss the mark."""
        if self.wanted is None:
            return ()
        demanded = self.wanted.demanded_permille
        return tuple(p for p in self.parts if not reaches(p.sure_permille or 0.0, demanded))


def metals_by_weight(parts: Sequence[Marked]) -> tuple[str, ...]:
    """Kinds of metal in the ring, the heaviest first."""
    kinds = dict.fromkeys(part.metal for part in parts)
    return tuple(sorted(kinds, key=lambda metal: -metal_g(parts, metal)))


def metal_g(parts: Sequence[Marked], metal: str) -> float:
    """Mass of all parts of a metal [g]."""
    return math.fsum(part.grams for part in parts if part.metal == metal)


def groups(
    parts: Sequence[Marked], proposals: Mapping[str, PartMark], pack: Region
) -> tuple[Group, ...]:
    """The ring sorted by the marks it may carry, the heaviest metal first.

    Where one metal is marked by its lowest fineness it is one group, and one part without any
    mark leaves the whole group without; else each fineness is a group of its own.
    """
    found = []
    for metal in metals_by_weight(parts):
        held = [part for part in parts if part.metal == metal]
        marks = [proposals[part.name].legal for part in held]
        if pack.value("one_metal") == "lowest":
            known = [mark for mark in marks if mark is not None]
            least = min(known, key=lambda mark: mark.permille) if len(known) == len(marks) else None
            found.append(Group(metal=metal, parts=tuple(held), wanted=least))
            continue
        for mark in dict.fromkeys(marks):
            own = tuple(p for p, m in zip(held, marks, strict=True) if m == mark)
            found.append(Group(metal=metal, parts=own, wanted=mark))
    return tuple(found)
