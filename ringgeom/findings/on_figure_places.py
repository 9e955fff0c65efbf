"""Rules on motifs and patterns as they lie on the ring: what they lie over."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from itertools import combinations
from math import ceil, floor
from typing import TYPE_CHECKING, Any

from ringgeom.findings.context import Formed
from ringgeom.findings.finding import Finding, Rules

if TYPE_CHECKING:
    from ringgeom.engraving.engraved import Engraved

RULES: Rules[Formed] = Rules()

CHORD_MM = 0.005
"""How exactly overlaps are told."""

OVERLAP_MM2 = 1e-4
"""Figures that only touch have less in common."""


@RULES.add
def figures_overlap(formed: Formed) -> Iterator[Finding]:
    """A motif or a pattern over lettering, over room for marks, or over another."""
    for one, two in combinations(formed.engraved, 2):
        if one.asked.on != two.asked.on or (one.figures is None and two.figures is None):
            continue
        common = _common_mm2(one, two)
        if common <= OVERLAP_MM2:
            continue
        struck = not one.carved or not two.carved
        yield Finding(
            code="engravings-overlap",
            level="warn" if struck else "stop",
            value=common,
            limit=0.0,
            unit="mm2",
            text=f"{one.words} and {two.words} lie over each other by {common:.2f} mm2",
            fix="apart by centre_mm or at, or narrower by width_mm or height_mm",
            key=("engraving", two.number, "centre_mm"),
        )


def _common_mm2(one: Engraved, two: Engraved) -> float:
    """Area that two engravings of one face share [mm2]."""
    around = one.face.around_mm
    if not one.copies or not two.copies:
        return 0.0
    ends = [(min(b[2] for b in e.boxes_mm), max(b[3] for b in e.boxes_mm)) for e in (one, two)]
    if ends[0][1] <= ends[1][0] or ends[1][1] <= ends[0][0]:
        return 0.0
    return shared_mm2(one.copies, two.copies, around)


@lru_cache(maxsize=32)
def shared_mm2(ours: Any, others: Any, around: float) -> float:
    """Area that the copies of two rows share, round the ring [mm2]."""
    from shapely import STRtree
    from shapely.affinity import translate

    from ringgeom.engraving.flat import polygon_of

    mine = [polygon_of(shape, CHORD_MM) for copy in ours for shape in copy]
    tree = STRtree(mine)
    low = min(one.bounds[0] for one in mine)
    high = max(one.bounds[2] for one in mine)
    common = 0.0
    for copy in others:
        for shape in copy:
            there = polygon_of(shape, CHORD_MM)
            x0, _, x1, _ = there.bounds
            for turn in range(ceil((low - x1) / around), floor((high - x0) / around) + 1):
                moved = translate(there, turn * around)
                common += sum(
                    float(mine[k].intersection(moved).area) for k in tree.query(moved, "intersects")
                )
    return common
