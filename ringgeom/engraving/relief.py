"""How deep a lettering goes: beds of one metal, each with its face and the floor of the cut.

    r |  face  .--.      .--.          following: the floor runs at one depth under the face
      |  -----'    '----'    '----
      |   floor                        flat: the floor is a cylinder; raised: it stands above

Volumes are exact: the integral of r^2 / 2 between floor and face, over the letters unrolled.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from ringgeom.engraving.face import Face, Strip
from ringgeom.engraving.shape import Shape
from ringgeom.form.curve import Arc, Array, Cone, Curve, Flat
from ringgeom.form.pieces import Piece
from ringgeom.form.repeated import Floor

SAME_MM = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Relief:
    """What is asked of a cut: depth below the face, or height above it [mm].

    `middle_mm` is where across the face a flat floor is measured.
    """

    depth_mm: float
    raised: bool
    floor: Floor
    middle_mm: float

    def rise_mm(self, face: Face) -> float:
        """How much larger the floor's radius is than the face's [mm]."""
        return face.out * (self.depth_mm if self.raised else -self.depth_mm)

    def flat_mm(self, face: Face) -> float | None:
        """Radius of a flat floor [mm]; None where it follows the face."""
        if self.floor == "following":
            return None
        return float(face.r(np.array([self.middle_mm]))[0]) + self.rise_mm(face)

    def floor_curve(self, face: Face, strip: Strip) -> Curve:
        """The floor under a strip."""
        flat = self.flat_mm(face)
        return strip.curve.raised(self.rise_mm(face)) if flat is None else Flat(flat)

    def leaves_mm(self, face: Face, low_mm: float, high_mm: float) -> float:
        """Least depth, or height, between two z: below 0 a flat floor leaves the metal [mm]."""
        flat = self.flat_mm(face)
        if flat is None:
            return self.depth_mm
        z = np.linspace(low_mm, high_mm, 65)
        over = face.out * (face.r(z) - flat)
        return float((-over if self.raised else over).min())


@dataclass(frozen=True, slots=True, kw_only=True)
class Bed:
    """A stretch across the face with one face and one floor, and the strip it belongs to."""

    low_mm: float
    high_mm: float
    face: Curve
    floor: Curve
    strip: Strip


def beds(face: Face, relief: Relief, *, cast: Face | None = None) -> Iterator[Bed]:
    """The beds of a face, where there is metal and the floor lies on its right side.

    Parameters
    ----------
    cast : Face, optional
        The same face with its stock on: letters that are cast in go down to the floor of the
        finished ring, and stand as high above the wax as above the ring.
    """
    for strip in face.strips:
        if not strip.metal:
            continue
        floor = relief.floor_curve(face, strip)
        if cast is None:
            yield from _sided(face, relief, strip.low_mm, strip.high_mm, strip, floor)
            continue
        for over in cast.between(strip.low_mm, strip.high_mm):
            if over.owner != strip.owner:
                continue
            top = floor
            if relief.raised:
                middle = np.array([0.5 * (over.low_mm + over.high_mm)])
                stock = float((over.curve.r(middle) - strip.curve.r(middle))[0])
                following = relief.floor == "following"
                rise = relief.rise_mm(face)
                top = over.curve.raised(rise) if following else floor.raised(stock)
            low, high = max(strip.low_mm, over.low_mm), min(strip.high_mm, over.high_mm)
            yield from _sided(cast, relief, low, high, over, top)


def _sided(
    face: Face, relief: Relief, low_mm: float, high_mm: float, strip: Strip, floor: Curve
) -> Iterator[Bed]:
    """A strip parted where a flat floor comes through the face; what lies beyond is not cut."""
    stops = [low_mm, high_mm]
    if isinstance(floor, Flat) and isinstance(strip.curve, Arc | Cone):
        found = strip.curve.crossings_mm(floor.radius_mm)
        stops += [z for z in found if low_mm + SAME_MM < z < high_mm - SAME_MM]
    stops.sort()
    for low, high in pairwise(stops):
        middle = np.array([0.5 * (low + high)])
        over = face.out * float((strip.curve.r(middle) - floor.r(middle))[0])
        if (over < 0) == relief.raised and high - low > SAME_MM:
            yield Bed(low_mm=low, high_mm=high, face=strip.curve, floor=floor, strip=strip)


def removed_mm3(
    face: Face,
    bedded: Sequence[Bed],
    shapes: Sequence[Shape],
    *,
    with_stock: bool = False,
) -> dict[Piece, float]:
    """What shapes take from every piece of the ring; less than 0 for what they add [mm3].

    Parameters
    ----------
    shapes : sequence of Shape
        Unrolled at the face's radius, in their place.
    """
    found: dict[Piece, float] = {}
    shear, around = face.radius_mm * face.ring.twist, face.around_mm
    for shape in shapes:
        *_, y0, y1 = shape.bounds_mm
        for bed in bedded:
            low, high = max(bed.low_mm, y0), min(bed.high_mm, y1)
            if high - low <= 0:
                continue
            under = _under(face, bed)
            stops = [z for z in (bed.low_mm, bed.high_mm) if y0 < z < y1]
            for piece, ends in face.holders(bed.strip, with_stock=with_stock):
                if ends is None:
                    taken = shape.integral(under, stops)
                else:
                    taken = 0.0
                    lean = shape.mapped(np.array([[1.0, -shear], [0.0, 1.0]])) if shear else shape
                    u0, u1, *_ = lean.bounds_mm
                    start, end = (face.radius_mm * angle for angle in ends)
                    first = int(np.floor((u0 - end) / around)) + 1
                    while start + first * around < u1:
                        within = start + first * around, end + first * around
                        if within[1] > u0:
                            taken += lean.integral(under, stops, between=within)
                        first += 1
                if taken:
                    found[piece] = found.get(piece, 0.0) + taken
    return found


class _under:
    """Antiderivative over z of the depth of metal, each mm of the face's length [mm2]."""

    def __init__(self, face: Face, bed: Bed) -> None:
        self._bed, self._share = bed, face.out / face.radius_mm
        self._start = self._at(np.array([bed.low_mm]))[0]

    def __call__(self, z: Array) -> Array:
        found: Array = self._at(np.clip(z, self._bed.low_mm, self._bed.high_mm)) - self._start
        return found

    def _at(self, z: Array) -> Array:
        found: Array = self._share * (self._bed.face.half_r2(z) - self._bed.floor.half_r2(z))
        return found
