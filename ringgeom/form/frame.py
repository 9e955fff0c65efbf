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

from dataclasses import dataclass
from math import sqrt

import numpy as np

from ringgeom.errors import ShapeError
from ringgeom.form.curve import Arc, Array, Curve, Flat

LEAST_EDGE_MM = 1e-6
"""An edge rounded by less than a nanometre is sharp."""


@dataclass(frozen=True, slots=True)
class Chain:
    """Curves side by side across the width; `stops_mm` are the z between them, ends included."""

    curves: tuple[Curve, ...]
    stops_mm: tuple[float, ...]

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
        return Chain(tuple(curve.raised(by_mm) for curve in self.curves), self.stops_mm)

    def crossings_mm(self, radius_mm: float) -> list[float]:
        """Every z at which the chain passes the given radius [mm]."""
        found = []
        for curve, low, high in zip(self.curves, self.stops_mm, self.stops_mm[1:], strict=False):
            if isinstance(curve, Arc):
                found += [z for z in curve.crossings_mm(radius_mm) if low < z < high]
        return found


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
        crest = np.zeros(1)
        return self.body_top if self.body_top.r(crest) > self.outside.r(crest) else self.outside


def frame(
    *, outside: Curve, bore: Curve, half_mm: float, edge_mm: float = 0.0, proud_mm: float = 0.0
) -> Frame:
    """A frame from its two curves, with the four edges rounded.

    Where outside and bore meet before the edge (a half-round ring with stock on it),
    the frame ends where they meet.

    Raises
    ------
    ShapeError
        The corners do not fit, or the bore lies outside the outside.
    """
    half_mm = _meeting_mm(outside, bore, half_mm)
    if edge_mm < LEAST_EDGE_MM:
        chains = [Chain((curve,), (-half_mm, half_mm)) for curve in (bore, outside)]
    else:
        chains = [
            _rounded(curve, half_mm, edge_mm, side) for curve, side in ((bore, -1), (outside, 1))
        ]
    ends = np.array([half_mm])
    if float((chains[1].r(ends) - chains[0].r(ends))[0]) < -1e-9:
        raise ShapeError(f"edges rounded by {edge_mm:g} mm meet each other in the edge face")
    return Frame(
        bore=chains[0],
        outside=chains[1],
        body_top=chains[1].raised(proud_mm) if proud_mm else chains[1],
        half_mm=half_mm,
    )


def corner_centre(curve: Curve, half_mm: float, edge_mm: float, side: int) -> tuple[float, float]:
    """Centre radius and touch z of a corner arc, tangent to `curve` and to the edge face [mm]."""
    z = half_mm - edge_mm
    if isinstance(curve, Flat):
        return curve.radius_mm - side * edge_mm, z
    if not isinstance(curve, Arc):
        raise ShapeError("only flat and arched faces can meet a rounded edge")
    inner = curve.bend_mm - edge_mm
    if inner <= z:
        raise ShapeError(f"an edge rounded by {edge_mm:g} mm is fuller than the dome beside it")
    reach = sqrt(inner**2 - z**2)
    return curve.centre_mm + side * reach, z * curve.bend_mm / inner


def _rounded(curve: Curve, half_mm: float, edge_mm: float, side: int) -> Chain:
    if edge_mm > half_mm:
        raise ShapeError(f"edges rounded by {edge_mm:g} mm do not fit a width of {2 * half_mm:g}")
    centre, touch = corner_centre(curve, half_mm, edge_mm, side)
    arcs = [
        Arc(centre + side * edge_mm, z, edge_mm, side)
        for z in (edge_mm - half_mm, half_mm - edge_mm)
    ]
    if touch < 1e-12:
        return Chain((arcs[0], arcs[1]), (-half_mm, 0.0, half_mm))
    return Chain((arcs[0], curve, arcs[1]), (-half_mm, -touch, touch, half_mm))


def _meeting_mm(outside: Curve, bore: Curve, half_mm: float) -> float:
    def wall(z: float) -> float:
        for curve in (outside, bore):
            if isinstance(curve, Arc) and abs(z - curve.z_mm) > curve.bend_mm * (1 + 1e-12):
                return -1.0
        at = np.array([z])
        return float((outside.r(at) - bore.r(at))[0])

    if wall(half_mm) >= -1e-12:
        return half_mm
    low, high = 0.0, half_mm
    if wall(low) <= 0:
        raise ShapeError("the bore lies outside the outside")
    for _ in range(200):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if wall(middle) > 0 else (low, middle)
    return low
