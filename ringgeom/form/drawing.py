"""Curves and cuts of one frame at some angles: what the partition is read from.

A cut is any z at which something changes: a wall, a corner of the frame, a place where a
floor meets a dome, the head and the foot of a leaning wall.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from ringgeom.form.claim import Claim, Reach, Wall
from ringgeom.form.curve import Array, Curve, Flat, Slope, Whole
from ringgeom.form.frame import Chain, Frame
from ringgeom.form.root import bracketed_root
from ringgeom.form.spans import Heights

Within = tuple[bool, ...]
"""Sides of all walls, in the order in which they were drawn."""

ENDLESS = (-np.inf, np.inf)

REACH_MM = 0.01


class Drawing:
    """Curves, reaches and cuts of one frame at some angles, before the partition."""

    def __init__(
        self, frame: Frame, finished: Frame, claims: Sequence[Claim], angles: Array, twist: float
    ) -> None:
        self.frame, self.claims = frame, claims
        self.curves: list[Chain] = [frame.bore, frame.outside]
        self.proud = frame.body_top is not frame.outside
        if self.proud:
            self.curves.append(frame.body_top)
        self._flats: dict[float, int] = {}
        self.slopes: dict[Wall, int] = {}
        self.heads: dict[Wall, Array] = {}
        self.steps: list[Array] = []
        self.walls: dict[Wall, Array] = {}
        for claim in claims:
            for reach in (claim.takes, claim.fills):
                for level in (reach.floor_mm, reach.ceiling_mm):
                    if level is not None:
                        self._flat(level)
                for wall in reach.walls:
                    if wall.undercut_mm > 0:
                        if wall not in self.slopes:
                            slope = wall.slope(angles, twist, finished.outside)
                            self.slopes[wall] = self._add(slope)
                            self.heads[wall] = (
                                _meeting(slope, wall.out, finished.outside)
                                if wall.inset_mm
                                else wall.mouth(angles, twist)
                            )
                            if self.proud:
                                self.steps.append(_meeting(slope, wall.out, frame.body_top))
                    elif wall not in self.walls:
                        self.walls[wall] = wall.z(angles, twist)
        self._numbers = {wall: n for n, wall in enumerate((*self.walls, *self.heads))}

    def _add(self, curve: Curve) -> int:
        self.curves.append(Chain((curve,), ENDLESS))
        return len(self.curves) - 1

    def _flat(self, radius_mm: float) -> int:
        key = round(radius_mm, 9)
        if key not in self._flats:
            self._flats[key] = self._add(Flat(radius_mm))
        return self._flats[key]

    def cut_matrix(self) -> Array:
        """Every z where a column may end, shape (cuts, angles)."""
        chains = self.curves[: 3 if self.proud else 2]
        fixed = {stop for chain in chains for stop in chain.stops_mm}
        for radius in self._flats:
            fixed.update(z for chain in chains for z in chain.crossings_mm(radius))
        moving = list(self.walls.values())
        for index in self.slopes.values():
            slope = self.curves[index].curves[0]
            assert isinstance(slope, Slope)
            moving += [slope.z0 + (radius - slope.r0) / slope.lean for radius in self._flats]
        moving += [*self.heads.values(), *self.steps]
        wide = max((z.size for z in moving), default=1)
        rows = [np.full(wide, z) for z in sorted(fixed)]
        return np.array(rows + [np.broadcast_to(z, wide) for z in moving])

    def at(self, which: Whole) -> Drawing:
        """The same drawing, its moving curves kept at some angles only."""
        other = object.__new__(Drawing)
        other.__dict__.update(self.__dict__)
        other.walls = {wall: z[which] if z.size > 1 else z for wall, z in self.walls.items()}
        other.heads = {wall: z[which] if z.size > 1 else z for wall, z in self.heads.items()}
        other.curves = [picked(chain, which) for chain in self.curves]
        return other

    def within(self, z: Array, seen: int) -> list[Within]:
        """For every z, whether it lies on the metal's side of each wall, upright or leaning."""
        sides = [
            (z - rows[seen if rows.size > 1 else 0]) * wall.out <= 0
            for wall, rows in (*self.walls.items(), *self.heads.items())
        ]
        return [tuple(column) for column in np.array(sides).T.tolist()] or [()] * z.size

    def spans(self, reach: Reach, within: Within, at: Heights) -> list[tuple[int, int]]:
        """The interval of a reach in a column, as (low, high) curve indices; -1 is endless."""
        low = -1 if reach.floor_mm is None else self._flat(reach.floor_mm)
        high = -1 if reach.ceiling_mm is None else self._flat(reach.ceiling_mm)
        for wall in reach.walls:
            inside = within[self._numbers[wall]]
            if wall in self.walls:
                if not inside:
                    return []
            elif not inside:
                index = self.slopes[wall]
                if low >= 0 and at[index] <= at[low]:
                    return []
                if high < 0 or at[index] < at[high]:
                    high = index
        return [(low, high)]


def picked(chain: Chain, which: Whole) -> Chain:
    """A curve at some of its angles only."""
    curve = chain.curves[0]
    if isinstance(curve, Slope) and curve.z0.size > 1:
        return Chain((Slope(curve.r0[which], curve.z0[which], curve.lean[which]),), ENDLESS)
    return chain


def _meeting(slope: Slope, out: int, outside: Chain) -> Array:
    """z where a leaning wall meets the outside or the body's top.

    A wall that starts above it has its head at its foot.
    """
    crest = max(outside.extremes_mm()[1], float(np.max(slope.r0)))
    foot = slope.z0
    head = foot - out * np.abs((crest - slope.r0) / slope.lean) - out * REACH_MM
    starts_above = slope.r(foot) >= outside.r(foot)
    met = bracketed_root(lambda z: slope.r(z) - outside.r(z), foot, head)
    return np.where(starts_above, foot, met)
