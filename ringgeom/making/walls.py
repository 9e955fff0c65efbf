"""What is left beside and under: floors, rails, walls, each at its narrowest place.

Measured on the partition; whether it is enough is for the rules to say.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence, Set
from dataclasses import dataclass

import numpy as np

from ringgeom.form.curve import Array, Whole
from ringgeom.form.outline import Region
from ringgeom.form.ring import Ring
from ringgeom.form.section import Cell, Owner, Section

Groups = Sequence[tuple[Whole, Section]]
"""The partition round the turn, as `Ring.sections` gives it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Narrowest:
    """The least width along the axis of what one owner holds.

    `tip` says that it runs out to nothing where two boundaries cross: a tip, not a rail.
    """

    owner: Owner
    width_mm: float
    where: str
    tip: bool


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


def narrowest(ring: Ring, groups: Groups, channels: Set[int]) -> tuple[Narrowest, ...]:
    """Least width along the axis of every part that has neighbours beside it, and where.

    Parameters
    ----------
    channels : set of int
        Claims whose own width is asked for and judged elsewhere.
    """
    found: dict[Owner, Narrowest] = {}
    crossed = boundaries_cross(groups)
    for which, section in groups:
        for level_mm in _levels(ring.at(float(section.angles[section.seen]))):
            for owner, width in runs_across(section, level_mm):
                if owner.kind not in ("part", "body") or owner.claim in channels:
                    continue
                side = "left" if section.middle(width[1]) < 0 else "right"
                at = int(np.argmin(width[0]))
                least = float(width[0][at])
                tip = crossed and not {which[at] - 1, which[at] + 1} <= set(which)
                known = found.get(owner)
                if known is None or (tip, least) < (known.tip, known.width_mm - 1e-12):
                    where = f"on the {side}"
                    found[owner] = Narrowest(owner=owner, width_mm=least, where=where, tip=tip)
    return tuple(found.values())


def boundaries_cross(groups: Groups) -> bool:
    """Whether boundaries between parts change their order round the turn.

    Cuts also change their order where a boundary passes a corner of the outside: nothing
    ends in a point there.
    """
    return len(groups) > 1 and len({_order(section) for _, section in groups}) > 1


def _order(section: Section) -> tuple[tuple[tuple[Owner, ...], ...], ...]:
    """Who lies over whom from left to right, columns alike told once."""
    columns: list[list[tuple[float, tuple[Owner, ...]]]] = [[] for _ in section.cuts[1:]]
    for cell in section.cells:
        height = section.seen_r(cell.low, cell.column, section.middle(cell.column))
        columns[cell.column].append((height, cell.owners))
    stacks = [tuple(owners for _, owners in sorted(column)) for column in columns]
    return tuple(stack for n, stack in enumerate(stacks) if n == 0 or stack != stacks[n - 1])


def _levels(ring: Ring) -> list[float]:
    """Radii at which the widths are looked at: mid-wall, and every channel at floor and middle."""
    band = ring.form.band
    inner = [c.takes.ceiling_mm for c in ring.claims if c.takes.ceiling_mm is not None]
    found = [0.5 * (max(inner, default=band.bore_mm) + band.crest_mm)]
    for claim in ring.claims:
        floor = claim.takes.floor_mm
        if floor is not None:
            edge = float(ring.finished.outside.r(np.array([ring.finished.half_mm]))[0])
            found += [floor + 1e-6, 0.5 * (floor + max(edge, 0.5 * (floor + band.crest_mm)))]
    return found


def runs_across(section: Section, radius_mm: float) -> Iterator[tuple[Owner, tuple[Array, int]]]:
    """Unbroken stretches of one owner along a cylinder: (width, first column)."""
    run: tuple[Owner, int] | None = None
    columns = len(section.cuts) - 1
    for column in range(columns + 1):
        owner = _owner_at(section, column, radius_mm) if column < columns else None
        if run is not None and owner != run[0]:
            yield run[0], (section.cuts[column] - section.cuts[run[1]], run[1])
            run = None
        if run is None and owner is not None:
            run = (owner, column)


def _owner_at(section: Section, column: int, radius_mm: float) -> Owner | None:
    for cell in (section.cells[i] for i in section.columns[column]):
        low, high = (section.middle_r(i, column) for i in (cell.low, cell.high))
        if low < radius_mm <= high:
            return cell.owners[0]
    return None
