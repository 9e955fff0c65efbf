"""How wide every part is along the axis, at its narrowest place round the ring: rails, stripes.

Measured on the partition; whether it is enough is for the rules to say.
"""

from __future__ import annotations

from collections.abc import Iterator, Set
from dataclasses import dataclass
from itertools import pairwise
from typing import NamedTuple

import numpy as np

from ringgeom.form.curve import Array
from ringgeom.form.ring import Ring
from ringgeom.form.section import Cell, Owner, Section
from ringgeom.form.slope import Slope
from ringgeom.making.walls import Groups


@dataclass(frozen=True, slots=True, kw_only=True)
class Narrowest:
    """The least width along the axis of what one owner holds.

    `tip` says that it runs out to nothing where two boundaries cross: a tip, not a rail.
    """

    owner: Owner
    width_mm: float
    where: str
    tip: bool


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
        for level_mm, only in _levels(ring, section):
            for run in runs_across(section, level_mm):
                owner, width = run.owner, run.width
                if owner.kind not in ("part", "body") or owner.claim in channels:
                    continue
                if only is not None and owner.claim != only:
                    continue
                at = int(np.argmin(width))
                least = float(width[at])
                side = "left" if float(run.low[at] + run.high[at]) < 0 else "right"
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


Levels = list[tuple[Array, int | None]]
"""Radii at which widths are looked at, one for every angle, and of which claim alone, if any."""


def _levels(ring: Ring, section: Section) -> Levels:
    """Mid-wall, and whatever is let in at the floor of its room and half-way up to where the
    outside is lowest and half-way up every step above it; what stands above that floor at its
    own too.

    Where the band tapers every angle has floors of its own.
    """
    if ring.form.taper is None or not section.turns:
        found = _plain_levels(ring.at(float(section.angles[section.seen])))
        return [(np.array([level]), only) for level, only in found]
    rows = [_plain_levels(ring.at(angle)) for angle in section.angles.tolist()]
    return [
        (np.array([level for level, _ in same]), same[0][1]) for same in zip(*rows, strict=True)
    ]


def _plain_levels(ring: Ring) -> list[tuple[float, int | None]]:
    """The same for a band that is alike all round."""
    band = ring.form.band
    inner = [c.takes.ceiling_mm for c in ring.claims if c.takes.ceiling_mm is not None]
    found: list[tuple[float, int | None]] = [
        (0.5 * (max(inner, default=band.bore_mm) + band.crest_mm), None)
    ]
    tops = ring.finished.outside, ring.finished.body_top
    lowest = min(top.extremes_mm()[0] for top in tops)
    # where a wall waves over a step what stands above it runs out to a tip, which is no rail
    steps = [] if ring.waves else [step for top in tops for step in top.steps()]
    for index, claim in enumerate(ring.claims):
        floor, own = claim.takes.floor_mm, claim.fills.floor_mm
        if floor is not None:
            # as many levels at every angle of a band that tapers
            found += [(floor + 1e-6, None), (max(floor + 1e-6, 0.5 * (floor + lowest)), None)]
            for z, lower, higher in steps:
                low, high = lower.at(z, 0), higher.at(z, 0)
                middle = 0.5 * (max(floor, low) + high)
                found.append((middle if high > floor else floor + 1e-6, None))
        if own is not None and own != floor:
            found.append((own + 1e-6, index))
    return found


class Across(NamedTuple):
    """An unbroken stretch of one owner along a cylinder: its ends at every angle [mm]."""

    owner: Owner
    low: Array
    high: Array

    @property
    def width(self) -> Array:
        """How wide it is at every angle [mm]."""
        return self.high - self.low


def runs_across(section: Section, radius_mm: Array) -> Iterator[Across]:
    """Unbroken stretches of one owner along a cylinder, from left to right.

    Of one radius, or of one for every angle [mm].

    A part that ends in a falling face is as wide as the column in which the face passes the
    cylinder: what slopes away is measured at its foot.
    """
    run: tuple[Owner, Array] | None = None
    for owner, start in _met(section, radius_mm):
        if run is not None and owner != run[0]:
            yield Across(*run, start)
            run = None
        if run is None and owner is not None:
            run = (owner, start)


def _met(section: Section, radius_mm: Array) -> Iterator[tuple[Owner | None, Array]]:
    """Who holds a cylinder from where on, left to right; nobody past the last cut."""
    here_mm = float(radius_mm[_at(radius_mm, section)])
    for column, (low, high) in enumerate(pairwise(section.cuts)):
        inside = _leaning(section, radius_mm, low, high)
        if not inside:
            yield _owner(section, column, here_mm), low
        stops = [low, *inside, high]
        for start, end in pairwise(stops) if inside else ():
            ends = float(start[_at(start, section)]), float(end[_at(end, section)])
            yield _owner(section, column, here_mm, ends), start
    yield None, section.cuts[-1]


def _leaning(section: Section, radius_mm: Array, low: Array, high: Array) -> list[Array]:
    """Where leaning walls pass a cylinder within a column, by rising z."""
    found: dict[float, Array] = {}
    for chain in section.curves:
        wall = chain.curves[0]
        if isinstance(wall, Slope):
            z = np.clip(wall.z0 + (radius_mm - wall.r0) / wall.lean, low, high)
            here = float(z[_at(z, section)])
            if float(low[_at(low, section)]) < here < float(high[_at(high, section)]):
                found[here] = z
    return [found[here] for here in sorted(found)]


def _at(values: Array, section: Section) -> int:
    return section.seen if values.size > 1 else 0


def _owner(
    section: Section, column: int, radius_mm: float, ends: tuple[float, float] | None = None
) -> Owner | None:
    """Who holds a radius in the middle of a column, or else at either end of it.

    `ends` are two z within the column that stand for its own.
    """
    for spot in _spots(section, column, ends):
        for cell, low, high in spot:
            if low < radius_mm <= high:
                return cell.owners[0]
    return None


def _spots(
    section: Section, column: int, ends: tuple[float, float] | None
) -> Iterator[list[tuple[Cell, float, float]]]:
    """At the middle and at either end: every cell of a column, with its two radii [mm]."""
    cells = [section.cells[i] for i in section.columns[column]]
    if ends is not None:
        for z in (0.5 * sum(ends), *ends):
            yield [
                (c, section.seen_r(c.low, column, z), section.seen_r(c.high, column, z))
                for c in cells
            ]
        return
    yield [(c, section.middle_r(c.low, column), section.middle_r(c.high, column)) for c in cells]
    for end in (0, 1):
        yield [
            (c, section.ends_r(c.low, column)[end], section.ends_r(c.high, column)[end])
            for c in cells
        ]
