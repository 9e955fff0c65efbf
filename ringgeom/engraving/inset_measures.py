"""What casting and joining need of a motif inlay: its largest piece, its sprue, its joints."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from ringgeom.engraving.face import Face, face
from ringgeom.engraving.flat import extent_mm, flats, polygon_of
from ringgeom.engraving.inset import Alike, Inset
from ringgeom.engraving.relief import Bed, beds
from ringgeom.engraving.shape import Shape
from ringgeom.form.contacts import Contact, turned_mm2
from ringgeom.form.curve import Array
from ringgeom.form.measure import Build, Extent, Plate
from ringgeom.form.stand import Stand

CHORD_MM = 1e-3
"""How finely outlines are drawn to measure along them."""

ROOM_MM = 0.01
"""How exactly the roomiest place of a piece is found."""

NODES, WEIGHTS = np.polynomial.legendre.leggauss(3)


def tell_ring(found: Sequence[Inset]) -> None:
    """Let the rings know what lies in them drawn, so that it is measured like all else."""
    for one in found:
        if one.host is None:
            continue
        ring = one.face.ring
        for with_stock in (False, True):
            ring.once(("build", one.piece, with_stock), _build, one, with_stock)
            ring.once(("extent", one.piece, with_stock), _extent, one, with_stock)


def largest(one: Inset) -> Alike:
    """The piece with the most metal."""
    return max(one.alike, key=lambda some: some.cast_mm3)


def plate(one: Inset) -> Plate:
    """Measures of its largest piece, with its stock."""
    part = largest(one)
    x, z = np.vstack([loop.corners for loop in flats(part.shape.loops, CHORD_MM)]).T
    under, over = _radii(one, z, with_stock=True)
    along = over * np.sin(x / one.face.radius_mm - middle_of(one, part))
    return Plate(
        long_mm=float(np.ptp(along)),
        wide_mm=float(np.ptp(z)),
        thick_mm=float((over - under).max()),
    )


def middle_of(one: Inset, part: Alike) -> float:
    """Angle of the middle of a piece [rad]."""
    x0, x1, *_ = extent_mm(part.shape)
    return 0.5 * (x0 + x1) / one.face.radius_mm


def _side(one: Inset, with_stock: bool) -> Face:
    return face(one.face.ring, "outside", with_stock=True) if with_stock else one.face


def _radii(one: Inset, z: Array, *, with_stock: bool) -> tuple[Array, Array]:
    """Radius of underside and top of the inserts at some z [mm]."""
    level = one.bed.flat_mm(one.face)
    rise = one.bed.rise_mm(one.face)
    under = one.face.r(z) + rise if level is None else np.full_like(z, level)
    return under, _side(one, with_stock).r(z)


def _extent(one: Inset, with_stock: bool) -> Extent:
    """Of all its pieces as they lie in the ring."""
    low, high = one.cut.reach_mm
    gap = one.asked.gap.side
    under, over = _radii(one, np.linspace(low + gap, high - gap, 65), with_stock=with_stock)
    return Extent(
        bore_mm=2 * float(under.min()),
        outside_mm=2 * float(over.max()),
        width_mm=high - low - 2 * gap,
    )


def stand_of(one: Inset, part: Alike, *, with_stock: bool) -> Stand:
    """Where a sprue stands on a piece: on its outside, in the middle of its roomiest place."""
    from shapely import maximum_inscribed_circle

    (x, z), rim = maximum_inscribed_circle(polygon_of(part.shape, CHORD_MM), ROOM_MM).coords
    under, over = (float(r[0]) for r in _radii(one, np.array([z]), with_stock=with_stock))
    strip = _side(one, with_stock).between(z - ROOM_MM, z + ROOM_MM)[0]
    return Stand(
        z_mm=z,
        width_mm=2 * float(np.hypot(rim[0] - x, rim[1] - z)),
        radius_mm=over,
        depth_mm=over - under,
        curve=strip.curve,
        angle=x / one.face.radius_mm,
    )


def _build(one: Inset, with_stock: bool) -> Build:
    """Of its largest piece, as a bar of the same volume and surface along the ring."""
    part = largest(one)
    drawn = polygon_of(part.shape, CHORD_MM)
    stand = stand_of(one, part, with_stock=with_stock)
    x0, x1, *_ = extent_mm(part.shape)
    radius, turn = stand.radius_mm - 0.5 * stand.depth_mm, (x1 - x0) / one.face.radius_mm
    volume = part.cast_mm3 if with_stock else part.volume_mm3
    length = turn * radius
    area = volume / length
    share = radius / one.face.radius_mm
    surface = 2 * drawn.area * share + drawn.length * share * stand.depth_mm
    return Build(
        area_mm2=area,
        perimeter_mm=(surface - 2 * area) / length,
        length_mm=length,
        ends=2,
        stand=stand,
        turn=turn,
        crest_mm=one.face.radius_mm,
    )


def inset_contacts(found: Sequence[Inset]) -> tuple[Contact, ...]:
    """Floor and walls of all pockets of every inlay.

    The floor exactly; walls along outlines drawn within a micrometre.
    """
    joints: list[Contact] = []
    for one in found:
        if one.host is None:
            continue
        bedded = list(beds(one.face, one.deep))
        low, high = one.cut.reach_mm
        z = np.linspace(low, high, 65)
        floors = np.concatenate(
            [
                bed.floor.r(np.clip(z, bed.low_mm, bed.high_mm))
                for bed in bedded
                if bed.high_mm > low and bed.low_mm < high
            ]
        )
        tops = one.face.r(z)
        for kind, area, gap, inner, outer in (
            ("floor", _floors_mm2(one, bedded), one.asked.gap.floor, floors.min(), floors.max()),
            ("wall", _walls_mm2(one), one.asked.gap.side, floors.min(), tops.max()),
        ):
            joints.append(
                Contact(
                    inserted=one.piece.owner,
                    host=one.host,
                    kind=kind,
                    side=0,
                    area_mm2=area,
                    gap_mm=gap,
                    r_low_mm=float(inner),
                    r_high_mm=float(outer),
                    z_low_mm=low,
                    z_high_mm=high,
                )
            )
    return tuple(joints)


def _floors_mm2(one: Inset, bedded: Sequence[Bed]) -> float:
    """Area of all pockets' floors."""
    total = 0.0
    for shape in one.cut.pockets:
        *_, y0, y1 = shape.bounds_mm
        for bed in bedded:
            if min(bed.high_mm, y1) - max(bed.low_mm, y0) > 0:
                stops = [z for z in (bed.low_mm, bed.high_mm) if y0 < z < y1]
                total += shape.integral(_Under(one.face.radius_mm, bed), stops)
    return total


class _Under:
    """Antiderivative over z of the floor's area, each mm of the face's length [mm]."""

    def __init__(self, radius_mm: float, bed: Bed) -> None:
        self._radius, self._bed = radius_mm, bed

    def __call__(self, z: Array) -> Array:
        bed = self._bed
        ends = np.clip(z, bed.low_mm, bed.high_mm)
        found: Array = turned_mm2(bed.floor, np.full_like(ends, bed.low_mm), ends) / self._radius
        return found


def _walls_mm2(one: Inset) -> float:
    """Area of all pockets' walls, from floor to face."""
    return sum(_wall_mm2(one, shape) for shape in one.cut.pockets)


def _wall_mm2(one: Inset, shape: Shape) -> float:
    total = 0.0
    for loop in flats(shape.loops, CHORD_MM):
        x, z = (loop.ends - loop.corners).T
        middle = 0.5 * (loop.ends + loop.corners)[:, 1]
        top = one.face.r(middle)
        level = one.deep.flat_mm(one.face)
        rise = one.deep.rise_mm(one.face)
        floor = top + rise if level is None else np.minimum(top, level)
        for node, weight in zip(NODES, WEIGHTS, strict=True):
            r = 0.5 * (floor + top) + 0.5 * (top - floor) * node
            along = np.hypot(x * r / one.face.radius_mm, z)
            total += float((0.5 * weight * (top - floor) * along).sum())
    return total
