"""The frame: bore, outside, edges and rounded corners that hold every part of a band.

            .-----------------.          body top (outside + proud)
           /  outside          \\         rounded corners, radius edge
          |                     |        edge faces at z = -half and +half
           \\  bore             /
            '-----------------'
    z = -half        0        +half      r upwards, away from the finger

A frame may be the finished ring, or the same ring with finishing stock on it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from math import hypot, inf, isinf, sqrt

import numpy as np

from ringgeom.errors import ShapeError
from ringgeom.form.curve import Arc, Array, Cone, Curve, Flat, Whole

LEAST_EDGE_MM = 1e-6
"""An edge rounded by less than a nanometre is sharp."""


STEP_MM = 1e-9
"""Neighbours that differ by less than this at their stop do not step."""

AT_STOP_MM = 1e-9
"""A radius that is passed this near to a stop is that of the stop, but for the last digits."""


@dataclass(frozen=True, slots=True)
class Chain:
    """Curves side by side across the width; `stops_mm` are the z between them, ends included.

    Where two neighbours differ in radius at their stop the face steps: the riser between
    them stands upright. `shelves` says of each end whether it was carried on level, past a
    rounding of the face's own, by the stock on the edge.
    """

    curves: tuple[Curve, ...]
    stops_mm: tuple[float, ...]
    shelves: tuple[bool, bool] = (False, False)

    def piece(self, z: float) -> int:
        """Index of the curve that holds z."""
        for index, stop in enumerate(self.stops_mm[1:-1]):
            if z < stop:
                return index
        return len(self.curves) - 1

    def r(self, z: Array) -> Array:
        """Radius at any z [mm]; beyond the ends the outermost curves are carried on."""
        if len(self.curves) == 1:
            return self.curves[0].r(z)
        which = np.searchsorted(self.stops_mm[1:-1], z)
        return np.choose(which, [curve.r(z) for curve in self.curves])

    def raised(self, by_mm: float) -> Chain:
        """The same face farther out along the radius [mm]."""
        curves = tuple(curve.raised(by_mm) for curve in self.curves)
        return Chain(curves, self.stops_mm, self.shelves)

    def picked(self, which: Whole) -> Chain:
        """The face at some of its angles only."""
        if len(self.curves) > 1:
            return self
        return Chain((self.curves[0].picked(which),), self.stops_mm, self.shelves)

    def only(self, at: int) -> Chain:
        """The face at one of its angles."""
        return self.picked(np.array([at]))

    def seen(self, at: int) -> Chain:
        """The face with its stops as they are at one of its angles: here they are all alike."""
        return self

    def within(self, low_mm: float, high_mm: float) -> Chain:
        """The same face from one z to another, its outermost curves cut or carried on [mm]."""
        first, last = (self.piece(z) for z in (low_mm, high_mm))
        stops = (low_mm, *self.stops_mm[first + 1 : last + 1], high_mm)
        shelves = self.shelves[0] and not first, self.shelves[1] and last + 1 == len(self.curves)
        return Chain(self.curves[first : last + 1], stops, shelves)

    def pieces(self) -> Iterator[tuple[Curve, float, float]]:
        """Every curve with the z from and to which it holds [mm]."""
        for curve, (low, high) in zip(self.curves, pairwise(self.stops_mm), strict=True):
            yield curve, low, high

    def crossings_mm(self, radius_mm: float) -> list[float]:
        """Every z at which the chain passes the given radius, risers and stops left out [mm]."""
        found = []
        for curve, low, high in self.pieces():
            if isinstance(curve, Arc | Cone):
                start, end = low + AT_STOP_MM, high - AT_STOP_MM
                found += [z for z in curve.crossings_mm(radius_mm) if start < z < end]
        return found

    def steps(self) -> Iterator[tuple[float, Curve, Curve]]:
        """z of every step [mm], and the curves on its lower and on its higher side."""
        for (before, _, stop), (after, _, _) in pairwise(self.pieces()):
            up = after.at(stop, 0) - before.at(stop, 0)
            if abs(up) > STEP_MM:
                yield (stop, before, after) if up > 0 else (stop, after, before)

    def extremes_mm(self, low_mm: float = -inf, high_mm: float = inf) -> tuple[float, float]:
        """Least and largest radius between two z, both sides of every riser looked at [mm]."""
        found: list[float] = []
        for curve, start, end in self.pieces():
            start = low_mm if start == self.stops_mm[0] and low_mm > -inf else max(start, low_mm)
            end = high_mm if end == self.stops_mm[-1] and high_mm < inf else min(end, high_mm)
            if start <= end:
                crest = [curve.z_mm] if isinstance(curve, Arc) and start < curve.z_mm < end else []
                found += curve.r(np.array([start, *crest, end])).tolist()
        return min(found), max(found)


def whole(curve: Curve, half_mm: float) -> Chain:
    """One curve across the whole width."""
    return Chain((curve,), (-half_mm, half_mm))


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """Bore, outside and body top as chains over the same width."""

    bore: Chain
    outside: Chain
    body_top: Chain
    half_mm: float

    def raised(self, by_mm: float) -> Frame:
        """The same frame with every radius larger by as much [mm]."""
        outside = self.outside.raised(by_mm)
        same = self.body_top is self.outside
        return Frame(
            bore=self.bore.raised(by_mm),
            outside=outside,
            body_top=outside if same else self.body_top.raised(by_mm),
            half_mm=self.half_mm,
        )

    @property
    def top(self) -> Chain:
        """The outermost of outside and body top."""
        at = np.zeros(1)
        return self.body_top if self.body_top.r(at) > self.outside.r(at) else self.outside


def frame(
    *, outside: Chain, bore: Chain, half_mm: float, edge_mm: float = 0.0, proud_mm: float = 0.0
) -> Frame:
    """A frame from its two faces, with the four edges rounded.

    Where outside and bore meet before the edge (a half-round ring with stock on it),
    the frame ends where they meet. A face that ends in a rounding of its own keeps that.

    Raises
    ------
    ShapeError
        The corners do not fit, or the bore lies outside the outside.
    """
    ends = -_meeting_mm(outside, bore, half_mm, -1), _meeting_mm(outside, bore, half_mm, 1)
    chains = [chain.within(*ends) for chain in (bore, outside)]
    if edge_mm >= LEAST_EDGE_MM:
        chains = [
            _rounded(chain, edge_mm, side) for chain, side in zip(chains, (-1, 1), strict=True)
        ]
    at = np.array(ends)
    if float((chains[1].r(at) - chains[0].r(at)).min()) < -1e-9:
        raise ShapeError(f"edges rounded by {edge_mm:g} mm meet each other in the edge face")
    return Frame(
        bore=chains[0],
        outside=chains[1],
        body_top=chains[1].raised(proud_mm) if proud_mm else chains[1],
        half_mm=max(-ends[0], ends[1]),
    )


def corner_centre(curve: Curve, at_mm: float, edge_mm: float, side: int) -> tuple[float, float]:
    """Centre radius and touch z of a corner arc, tangent to `curve` and to the edge face [mm].

    Parameters
    ----------
    at_mm : float
        z of the edge face, negative on the left.
    side : int
        +1 at the outside, -1 at the bore.
    """
    z = at_mm - edge_mm if at_mm > 0 else at_mm + edge_mm
    if isinstance(curve, Flat):
        return curve.radius_mm - side * edge_mm, z
    if isinstance(curve, Cone):
        reach = hypot(1.0, curve.lean)
        centre = curve.r_mm + curve.lean * (z - curve.z_mm) - side * edge_mm * reach
        return centre, z - side * edge_mm * curve.lean / reach
    if not isinstance(curve, Arc):
        raise ShapeError("only flat, arched and straight faces can meet a rounded edge")
    u, inner = z - curve.z_mm, curve.bend_mm - curve.side * side * edge_mm
    if inner <= abs(u):
        raise ShapeError(f"an edge rounded by {edge_mm:g} mm is fuller than the dome beside it")
    reach = sqrt(inner**2 - u**2)
    return curve.centre_mm + curve.side * reach, curve.z_mm + u * curve.bend_mm / inner


def _rounded(chain: Chain, edge_mm: float, side: int) -> Chain:
    """A face with its two ends rounded."""
    half_mm = 0.5 * (chain.stops_mm[-1] - chain.stops_mm[0])
    if edge_mm > half_mm:
        raise ShapeError(f"edges rounded by {edge_mm:g} mm do not fit a width of {2 * half_mm:g}")
    curves, stops = list(chain.curves), list(chain.stops_mm)
    corners: list[tuple[Arc, float] | None] = []
    for end, beside in ((0, 1), (-1, -2)):
        if own_corner(chain, end, edge_mm):
            corners.append(None)
            continue
        at = stops[end]
        centre, touch = corner_centre(curves[end], at, edge_mm, side)
        z = at - edge_mm if at > 0 else at + edge_mm
        corners.append((Arc(centre + side * edge_mm, z, edge_mm, side), touch))
        if len(curves) > 1 and abs(touch - at) > abs(stops[beside] - at):
            raise ShapeError(
                f"edges rounded by {edge_mm:g} mm reach past the face beside them, which is "
                f"{abs(stops[beside] - at):.2f} mm wide"
            )
    left, right = corners
    if left and right and len(curves) == 1 and right[1] < 1e-12:
        return Chain((left[0], right[0]), (stops[0], 0.0, stops[-1]))
    if left:
        curves, stops = [left[0], *curves], [stops[0], left[1], *stops[1:]]
    if right:
        curves, stops = [*curves, right[0]], [*stops[:-1], right[1], stops[-1]]
    return Chain(tuple(curves), tuple(stops))


def own_corner(chain: Chain, end: int, edge_mm: float = 0.0) -> bool:
    """Whether a face of several curves ends upright in a rounding of its own.

    Raises
    ------
    ShapeError
        That rounding is smaller than the edges are to be rounded by.
    """
    if len(chain.curves) == 1:
        return False
    beside = 1 if end == 0 else -2
    shelved = chain.shelves[end]
    corner = chain.curves[beside if shelved else end]
    if not isinstance(corner, Arc):
        return False
    if not shelved and not isinf(corner.lean_at(chain.stops_mm[end])):
        return False
    if corner.bend_mm < edge_mm - LEAST_EDGE_MM:
        raise ShapeError(
            f"edges rounded by {edge_mm:g} mm are fuller than the rounding of "
            f"{corner.bend_mm:g} mm that the face ends in"
        )
    return True


def _meeting_mm(outside: Chain, bore: Chain, half_mm: float, way: int) -> float:
    """How far from mid-width a frame ends on one side: at its edge, or where its faces meet."""

    def wall(z: float) -> float:
        for chain in (outside, bore):
            curve = chain.curves[chain.piece(z)]
            if isinstance(curve, Arc) and abs(z - curve.z_mm) > curve.bend_mm * (1 + 1e-12):
                return -1.0
        at = np.array([z])
        return float((outside.r(at) - bore.r(at))[0])

    if wall(way * half_mm) >= -1e-12:
        return half_mm
    stops = sorted(way * z for chain in (outside, bore) for z in chain.stops_mm[1:-1])
    low = max((z for z in stops if 0 < z < half_mm and wall(way * z) > 0), default=0.0)
    high = half_mm
    if wall(way * low) <= 0:
        raise ShapeError("the bore lies outside the outside")
    for _ in range(200):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if wall(way * middle) > 0 else (low, middle)
    return low
