"""Curves and cuts of one frame at some angles: what the partition is read from.

A cut is any z at which something changes: a wall, a corner of the frame, a place where a
floor meets a dome, the head and the foot of a leaning wall.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from ringgeom.form.claim import Claim, Reach, Wall
from ringgeom.form.curve import Array, Curve, Flat, Whole
from ringgeom.form.frame import Chain, Frame
from ringgeom.form.meeting import meetings, over_steps
from ringgeom.form.slope import Slope
from ringgeom.form.spans import Heights
from ringgeom.form.turned import TurnedChain

Within = tuple[bool, ...]
"""Sides of all walls, in the order in which they were drawn."""

Mark = tuple[int | str, ...]
"""What a cut is: which face, and the cylinder that passes it there, -1 where a curve ends."""

ENDLESS = (-np.inf, np.inf)


def cut_marks(marks: tuple[Mark, ...]) -> list[Mark]:
    """Of the marks of a drawing those of its first cuts, which no wall moves; walls have none."""
    return [mark for mark in marks if len(mark) == 2 and isinstance(mark[0], int)]


class Drawing:
    """Curves, reaches and cuts of one frame at some angles, before the partition."""

    def __init__(
        self, frame: Frame, finished: Frame, claims: Sequence[Claim], angles: Array, twist: float
    ) -> None:
        self.frame, self.claims = frame, claims
        self.curves: list[Chain | TurnedChain] = [frame.bore, frame.outside]
        self.proud = frame.body_top is not frame.outside
        if self.proud:
            self.curves.append(frame.body_top)
        self._flats: dict[float, int] = {}
        self.slopes: dict[Wall, int] = {}
        self.heads: dict[Wall, Array] = {}
        self.steps: list[Array] = []
        self.walls: dict[Wall, Array] = {}
        leaning: dict[Wall, Slope] = {}
        for claim in claims:
            for reach in (claim.takes, claim.fills):
                for level in (reach.floor_mm, reach.ceiling_mm):
                    if level is not None:
                        self._flat(level)
                for wall in reach.walls:
                    if wall.undercut_mm > 0:
                        if wall not in leaning:
                            leaning[wall] = wall.slope(angles, twist, finished.outside)
                            self.slopes[wall] = self._add(leaning[wall])
                    elif wall not in self.walls:
                        self.walls[wall] = wall.z(angles, twist)
        self._meet(leaning, finished.outside, angles, twist)
        self._numbers = {wall: n for n, wall in enumerate((*self.walls, *self.heads))}

    def _meet(
        self, leaning: dict[Wall, Slope], outside: Chain, angles: Array, twist: float
    ) -> None:
        """Heads of leaning walls at the finished outside, and where they pass what else there is.

        That is the body's top, and ledges beside a step.
        """
        inset = [wall for wall in leaning if wall.inset_mm]
        met = meetings([leaning[wall] for wall in inset], [wall.out for wall in inset], outside)
        heads = dict(zip(inset, met, strict=True))
        for wall in leaning:
            self.heads[wall] = heads[wall] if wall in heads else wall.mouth(angles, twist)
        self.steps += over_steps(list(leaning.values()), self.frame.outside)
        if self.proud:
            outs = [wall.out for wall in leaning]
            self.steps += meetings(list(leaning.values()), outs, self.frame.body_top)

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
        moving = self._moving()
        wide = max((z.size for z in moving), default=1)
        rows = [np.full(wide, z) for z in sorted({z for _, z in self._fixed()})]
        return np.array(rows + [np.broadcast_to(z, wide) for z in moving])

    def named_cuts(self) -> tuple[tuple[Mark, ...], Array]:
        """What each cut of a drawing of one angle is, and its z [mm].

        Two drawings with the same marks have the same curves, in the same numbers.
        """
        fixed = self._fixed()
        kinds = tuple(
            (type(curve).__name__, getattr(curve, "side", 0))
            for chain in self._chains
            for curve in chain.curves
        )
        walls = (len(self.walls), len(self.slopes), len(self.steps), len(self._flats))
        # floors keep their order too: a gap does not shrink with the band
        floors: Mark = ("floors", *(index for _, index in sorted(self._flats.items())))
        moving = np.concatenate([np.empty(0), *self._moving()])
        return (*kinds, walls, floors, *(mark for mark, _ in fixed)), np.concatenate(
            [[z for _, z in fixed], moving]
        )

    @property
    def _chains(self) -> list[Chain]:
        """The faces of the frame."""
        chains = self.curves[: 3 if self.proud else 2]
        return [chain for chain in chains if isinstance(chain, Chain)]

    def _fixed(self) -> list[tuple[Mark, float]]:
        """Cuts that no wall moves: where curves of a face end, where a cylinder passes them."""
        found: list[tuple[Mark, float]] = []
        for n, chain in enumerate(self._chains):
            found += [((n, -1), stop) for stop in chain.stops_mm]
            for radius, index in self._flats.items():
                found += [((n, index), z) for z in chain.crossings_mm(radius)]
        return found

    def _moving(self) -> list[Array]:
        """Cuts of walls."""
        moving = list(self.walls.values())
        for index in self.slopes.values():
            chain = self.curves[index]
            assert isinstance(chain, Chain)
            slope = chain.curves[0]
            assert isinstance(slope, Slope)
            moving += [slope.z0 + (radius - slope.r0) / slope.lean for radius in self._flats]
        return [*moving, *self.heads.values(), *self.steps]

    def at(self, which: Whole) -> Drawing:
        """The same drawing, its moving curves kept at some angles only."""
        other = object.__new__(Drawing)
        other.__dict__.update(self.__dict__)
        other.walls = {wall: z[which] if z.size > 1 else z for wall, z in self.walls.items()}
        other.heads = {wall: z[which] if z.size > 1 else z for wall, z in self.heads.items()}
        other.curves = [chain.picked(which) for chain in self.curves]
        return other

    def beside(self, others: Sequence[Drawing]) -> Drawing:
        """Drawings of one angle each as one drawing of all their angles, this the first.

        All have the same `named_cuts`.
        """
        together = object.__new__(Drawing)
        together.__dict__.update(self.__dict__)
        together.curves = [
            TurnedChain(tuple(one.curves[n].only(0) for one in others))
            for n in range(len(self.curves))
        ]
        for name in ("walls", "heads"):
            rows = zip(*(getattr(one, name).values() for one in others), strict=True)
            own = getattr(self, name)
            setattr(together, name, dict(zip(own, map(np.concatenate, rows), strict=True)))
        return together

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
