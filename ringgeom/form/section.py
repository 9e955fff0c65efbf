"""The partition of the section: who owns which metal, the single truth of every weight and solid.

The section is cut at every z where anything changes (walls, corners of the frame, places
where a floor meets a dome). In the columns between, all curves are in one order, so the
parts can take their place one after another as plain intervals of radius:

        |  rail  |gap| inlay |gap|  rail  |        columns, left to right
        |        |---- gap ------|        |
        |            body                 |

A wall that waves moves the cuts with the angle; the order of the cuts must not change.
Where it does, the angles are parted into groups, each with its own order.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass, field
from typing import Any, NamedTuple, TypeVar

import numpy as np

from ringgeom.form.claim import Claim, Reach, Wall
from ringgeom.form.curve import Array, Curve, Flat, Slope, Whole
from ringgeom.form.frame import Chain, Frame

SAME_MM = 1e-9
"""Two cuts or radii closer than this are one; a thousandth of an atom."""

ENDLESS = (-np.inf, np.inf)

Heights = list[float]
"""Radius of every curve in the middle of a column [mm]."""


Worked = TypeVar("Worked")


class Owner(NamedTuple):
    """Who holds a cell: kind is part, gap, body or recess; claim is its number, -1 for none.

    A joint, the gap between two segments, is cut from the segments' cells by angle.
    """

    kind: str
    claim: int = -1

    @property
    def metal(self) -> Owner:
        """Whose cells it is cut from: the joints of segments lie in the segments' own."""
        return Owner("part", self.claim) if self.kind == "joint" else self


BODY = Owner("body")
RECESS = Owner("recess")


@dataclass(frozen=True, slots=True)
class Cell:
    """A piece of the section: one column, between two curves.

    Two owners share a cell where a press fit overlaps.
    """

    column: int
    low: int
    high: int
    owners: tuple[Owner, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """The partition over a set of angles that share one order of cuts.

    `cuts` has shape (cuts, angles) or (cuts, 1) when nothing waves; `seen` is the column
    of `cuts` on which the order was read.
    """

    angles: Array
    cuts: Array
    seen: int
    curves: tuple[Chain, ...]
    cells: tuple[Cell, ...]
    _kept: dict[Hashable, Any] = field(default_factory=dict, repr=False, compare=False)

    @property
    def turns(self) -> bool:
        """Whether the section changes round the ring."""
        return int(self.cuts.shape[1]) > 1

    def middle(self, column: int) -> float:
        """z in the middle of a column, at the seen angle [mm]."""
        return 0.5 * float(self.cuts[column, self.seen] + self.cuts[column + 1, self.seen])

    def curve(self, index: int, column: int) -> Curve:
        """The curve of a chain that holds a column."""
        chain = self.curves[index]
        return chain.curves[0 if len(chain.curves) == 1 else chain.piece(self.middle(column))]

    def r(self, index: int, column: int, cut: int) -> Array:
        """Radius of a curve at a cut, on the column's side of it [mm]."""
        curve = self.curve(index, column)
        radii: Array = self.once(("r", id(curve)), lambda: curve.r(self.cuts))[cut]
        return radii

    def seen_at_cuts(self, index: int, column: int) -> list[float]:
        """Radius of a curve at every cut, at the seen angle [mm]."""

        def listed() -> list[float]:
            found: list[float] = self._seen_curve(index, column).r(self.cuts[:, self.seen]).tolist()
            return found

        return self.once(("seen", id(self.curve(index, column))), listed)

    def seen_at_middles(self, index: int, column: int) -> list[float]:
        """Radius of a curve in the middle of every column, at the seen angle [mm]."""

        def listed() -> list[float]:
            seen = self.cuts[:, self.seen]
            middles = 0.5 * (seen[:-1] + seen[1:])
            found: list[float] = self._seen_curve(index, column).r(middles).tolist()
            return found

        return self.once(("middles", id(self.curve(index, column))), listed)

    def once(self, key: Hashable, work: Callable[[], Worked]) -> Worked:
        """Something worked out of the section the first time it is asked for."""
        if key not in self._kept:
            self._kept[key] = work()
        found: Worked = self._kept[key]
        return found

    def moment(self, cell: Cell) -> Array:
        """Integral of r dr dz over a cell, at every angle [mm3/rad]."""
        return self._under(cell.high, cell.column) - self._under(cell.low, cell.column)

    def _under(self, index: int, column: int) -> Array:
        curve = self.curve(index, column)
        under: Array = self.once(("half_r2", id(curve)), lambda: curve.half_r2(self.cuts))
        between: Array = under[column + 1] - under[column]
        return between

    def area(self, cell: Cell) -> float:
        """Plain area of a cell at the seen angle [mm2], by Gauss's rule."""
        z0, z1 = (float(self.cuts[cell.column + side, self.seen]) for side in (0, 1))
        z = 0.5 * (z0 + z1) + 0.5 * (z1 - z0) * GAUSS_NODES
        high, low = (self._seen_curve(i, cell.column).r(z) for i in (cell.high, cell.low))
        return float(0.5 * (z1 - z0) * ((high - low) @ GAUSS_WEIGHTS))

    def seen_r(self, index: int, column: int, z: float) -> float:
        """Radius of a curve at any z of a column, at the seen angle [mm]."""
        return float(self._seen_curve(index, column).r(np.array([z]))[0])

    def _seen_curve(self, index: int, column: int) -> Curve:
        curve = self.curve(index, column)
        if isinstance(curve, Slope) and curve.z0.size > 1:
            at = self.seen
            return Slope(curve.r0[at : at + 1], curve.z0[at : at + 1], curve.lean[at : at + 1])
        return curve


GAUSS_NODES, GAUSS_WEIGHTS = np.polynomial.legendre.leggauss(24)


def sections(
    *,
    frame: Frame,
    finished: Frame,
    claims: Sequence[Claim],
    angles: Array,
    twist: float = 0.0,
) -> list[tuple[Whole, Section]]:
    """Partition a frame among the claims, at every angle.

    Returns (indices of angles, section) groups; one group when the order of the cuts
    holds all round, which is the ordinary case.

    Parameters
    ----------
    frame : Frame
        What is parted: the finished ring, or the ring with stock.
    finished : Frame
        The finished ring; undercut walls are measured at its outside.
    angles : Array
        Angles of the slanted cut, shape (n,) [rad].
    twist : float
        Change of angle over the width along a cut [rad/mm].
    """
    drawn = Drawing(frame, finished, claims, angles, twist)
    cuts = np.clip(drawn.cut_matrix(), -frame.half_mm, frame.half_mm)
    if cuts.shape[1] == 1:
        return [(np.arange(angles.size), _partition(drawn, cuts, angles))]
    orders = np.argsort(cuts, axis=0, kind="stable")
    groups = _groups(cuts, orders)
    return [(which, _partition(drawn.at(which), cuts[:, which], angles[which])) for which in groups]


def _groups(cuts: Array, orders: Whole) -> list[Whole]:
    """Indices of angles, grouped by the order of their cuts; ties do not make a group."""
    widest = int(np.argmax(_least_step(np.sort(cuts, axis=0))))
    in_order = np.diff(cuts[orders[:, widest]], axis=0).min(axis=0) > -SAME_MM
    groups = [np.flatnonzero(in_order)]
    rest = np.flatnonzero(~in_order)
    while rest.size:
        sub = cuts[:, rest]
        widest = int(np.argmax(_least_step(np.sort(sub, axis=0))))
        same = np.diff(sub[orders[:, rest[widest]]], axis=0).min(axis=0) > -SAME_MM
        groups.append(rest[same])
        rest = rest[~same]
    return groups


def _least_step(ordered: Array) -> Array:
    """Least distance between neighbouring cuts that are not one and the same, per angle."""
    steps = np.diff(ordered, axis=0)
    least: Array = np.where(steps.max(axis=1, keepdims=True) > SAME_MM, steps, np.inf).min(axis=0)
    return least


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
                    elif wall not in self.walls:
                        self.walls[wall] = wall.z(angles, twist)

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
            moving += [_meeting(slope, chain) for chain in chains[1:]]
        wide = max((z.size for z in moving), default=1)
        rows = [np.full(wide, z) for z in sorted(fixed)]
        return np.array(rows + [np.broadcast_to(z, wide) for z in moving])

    def at(self, which: Whole) -> Drawing:
        """The same drawing, its moving curves kept at some angles only."""
        picked = object.__new__(Drawing)
        picked.__dict__.update(self.__dict__)
        picked.walls = {wall: z[which] if z.size > 1 else z for wall, z in self.walls.items()}
        picked.curves = [_picked(chain, which) for chain in self.curves]
        return picked

    def spans(self, reach: Reach, z: float, seen: int, at: Heights) -> list[tuple[int, int]]:
        """The interval of a reach in a column, as (low, high) curve indices; -1 is endless."""
        low = -1 if reach.floor_mm is None else self._flat(reach.floor_mm)
        high = -1 if reach.ceiling_mm is None else self._flat(reach.ceiling_mm)
        for wall in reach.walls:
            if wall in self.walls:
                rows = self.walls[wall]
                if (z - rows[seen if rows.size > 1 else 0]) * wall.out > 0:
                    return []
            else:
                index = self.slopes[wall]
                if low >= 0 and at[index] <= at[low]:
                    return []
                if high < 0 or at[index] < at[high]:
                    high = index
        return [(low, high)]


def _picked(chain: Chain, which: Whole) -> Chain:
    curve = chain.curves[0]
    if isinstance(curve, Slope) and curve.z0.size > 1:
        return Chain((Slope(curve.r0[which], curve.z0[which], curve.lean[which]),), ENDLESS)
    return chain


def _meeting(slope: Slope, chain: Chain) -> Array:
    """z where a leaning wall meets the outside, by fixed-point steps (the wall is the steeper)."""
    z = slope.z0
    for _ in range(200):
        new = slope.z0 + (chain.r(z) - slope.r0) / slope.lean
        if np.abs(new - z).max() < 1e-14:
            break
        z = new
    return z


def _partition(drawn: Drawing, cuts: Array, angles: Array) -> Section:
    seen = int(np.argmax(_least_step(np.sort(cuts, axis=0)))) if cuts.shape[1] > 1 else 0
    cuts = cuts[np.argsort(cuts[:, seen], kind="stable")]
    apart = np.abs(np.diff(cuts, axis=0)).max(axis=1) > SAME_MM
    cuts = cuts[np.concatenate(([True], apart))]
    cells: list[Cell] = []
    middles = 0.5 * (cuts[:-1, seen] + cuts[1:, seen])
    heights = np.array([_picked(chain, np.array([seen])).r(middles) for chain in drawn.curves])
    for column, z in enumerate(middles.tolist()):
        cells += _column_cells(drawn, column, z, seen, heights[:, column].tolist())
    return Section(
        angles=angles, cuts=cuts, seen=seen, curves=tuple(drawn.curves), cells=tuple(cells)
    )


def _column_cells(drawn: Drawing, column: int, z: float, seen: int, at: Heights) -> list[Cell]:
    """One column, shared out in the order in which the parts were written."""
    proud = drawn.proud and at[2] > at[1]
    under = [(-1, 1)] if proud else [(-1, -1)]
    left: Spans = [(0, 2 if proud else 1)]
    cells: list[Cell] = []
    pressed: list[tuple[Owner, Span]] = []
    for index, claim in enumerate(drawn.claims):
        part, gap = Owner("part", index), Owner("gap", index)
        taken = _common(left, drawn.spans(claim.takes, z, seen, at), at)
        metal = _common(left, drawn.spans(claim.fills, z, seen, at), at)
        left = _without(left, taken, at)
        taken, metal = _common(taken, under, at), _common(metal, under, at)
        cells += [Cell(column, *span, (part,)) for span in _common(taken, metal, at)]
        cells += [Cell(column, *span, (gap,)) for span in _without(taken, metal, at)]
        pressed += [(part, span) for span in _without(metal, taken, at)]
    below = [(-1, 2)] if drawn.proud else [(-1, -1)]
    body: list[tuple[tuple[Owner, ...], Spans]] = [((BODY,), _common(left, below, at))]
    for owner, span in pressed:
        body = [
            piece
            for owners, spans in body
            for piece in (
                ((*owners, owner), _common(spans, [span], at)),
                (owners, _without(spans, [span], at)),
            )
        ]
    cells += [Cell(column, *span, owners) for owners, spans in body for span in spans]
    if drawn.proud:
        cells += [Cell(column, *span, (RECESS,)) for span in _without(left, below, at)]
    return cells


Span = tuple[int, int]
Spans = list[Span]


def _low(a: int, b: int, at: Heights) -> int:
    """The higher of two lower bounds; -1 is endless."""
    if a < 0 or b < 0:
        return max(a, b)
    return a if at[a] >= at[b] else b


def _high(a: int, b: int, at: Heights) -> int:
    """The lower of two upper bounds; -1 is endless."""
    if a < 0 or b < 0:
        return max(a, b)
    return a if at[a] <= at[b] else b


def _common(spans: Spans, others: Spans, at: Heights) -> Spans:
    found = []
    for low, high in spans:
        for other_low, other_high in others:
            a, b = _low(low, other_low, at), _high(high, other_high, at)
            if at[b] - at[a] > SAME_MM:
                found.append((a, b))
    return found


def _without(spans: Spans, others: Spans, at: Heights) -> Spans:
    for other_low, other_high in others:
        kept = []
        for low, high in spans:
            below = (low, high if other_low < 0 else _high(high, other_low, at))
            above = (low if other_high < 0 else _low(low, other_high, at), high)
            if other_low >= 0 and at[below[1]] - at[below[0]] > SAME_MM:
                kept.append(below)
            if other_high >= 0 and at[above[1]] - at[above[0]] > SAME_MM:
                kept.append(above)
        spans = kept
    return spans
