"""What is left under and between faces: floors and walls, each at its thinnest place.

Measured on the partition; whether it is enough is for the rules to say.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from ringgeom.form.curve import Whole
from ringgeom.form.outline import Region
from ringgeom.form.ring import Ring
from ringgeom.form.section import Cell, Owner, Section

Groups = Sequence[tuple[Whole, Section]]
"""The partition round the turn, as `Ring.sections` gives it."""


def let_in(ring: Ring) -> set[int]:
    """Claims that are let into the outside, down to a floor."""
    return {i for i, c in enumerate(ring.claims) if c.takes.floor_mm is not None}


def floor_left_mm(ring: Ring, groups: Groups, index: int) -> float | None:
    """Thickness of whatever lies directly under a claim, least over width and turn [mm]."""
    least: list[float] = []
    inlays = let_in(ring)
    for _, section in groups:
        mine = {Owner("part", index), Owner("gap", index)}
        for cell in section.cells:
            if not mine & set(cell.owners):
                continue
            for below in section.cells:
                if below.column != cell.column or below.high != cell.low:
                    continue
                if mine & set(below.owners) or below.owners[0].kind == "gap":
                    continue
                if below.owners[0].kind == "recess":
                    least.append(0.0)  # it hangs over air
                    continue
                least.append(_thinnest(section, below, lowest=_lowest(section, below, inlays)))
    return min(least) if least else None


def _lowest(section: Section, cell: Cell, inlays: set[int]) -> Cell:
    """The cell that ends a floor: through another inlay, down to the metal that carries both."""
    while any(owner.claim in inlays for owner in cell.owners):
        column = (section.cells[i] for i in section.columns[cell.column])
        under = [c for c in column if c.high == cell.low]
        if not under:
            break
        cell = under[0]
    return cell


def _thinnest(section: Section, cell: Cell, *, lowest: Cell) -> float:
    first, last = section.cuts[cell.column], section.cuts[cell.column + 1]
    thick = [
        section.curve(cell.high, cell.column).r(z) - section.curve(lowest.low, cell.column).r(z)
        for z in (first, 0.5 * (first + last), last)
    ]
    return float(np.min(thick))


def least_wall_mm(section: Section, region: Region, inlays: set[int]) -> float:
    """Least thickness of a region across its middle four fifths [mm]; floors left out."""
    cells = [section.cells[i] for i in region]
    first, last = (min(c.column for c in cells), max(c.column for c in cells) + 1)
    low, high = section.cuts[first], section.cuts[last]
    least = np.inf
    for cell in cells:
        if _at_inlay(section, cell, inlays) or any(c.low == cell.high for c in _over(cells, cell)):
            continue
        bottom = cell
        while under := [c for c in _over(cells, bottom) if c.high == bottom.low]:
            bottom = under[0]
        start = np.maximum(section.cuts[cell.column], low + 0.1 * (high - low))
        end = np.minimum(section.cuts[cell.column + 1], high - 0.1 * (high - low))
        for z in (start, 0.5 * (start + end), end):
            top = section.curve(cell.high, cell.column).r(z)
            thick = top - section.curve(bottom.low, bottom.column).r(z)
            least = min(least, float(np.min(np.where(end > start, thick, np.inf))))
    return least


def _over(cells: list[Cell], cell: Cell) -> list[Cell]:
    """The other cells of a region in the same column."""
    return [c for c in cells if c.column == cell.column and c is not cell]


def _at_inlay(section: Section, cell: Cell, inlays: set[int]) -> bool:
    """Whether a cell is the floor under something let in, or the lip over its undercut."""
    own = {owner.claim for owner in cell.owners}
    return any(
        owner.claim in inlays - own
        for other in (section.cells[i] for i in section.columns[cell.column])
        if other.low == cell.high or other.high == cell.low
        for owner in other.owners
    )
