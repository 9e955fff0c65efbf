"""A motif inlay as solids: the cutter of its pockets, its inserts, and one of each pattern."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import degrees
from typing import TYPE_CHECKING

from ringgeom.engraving.bent import OVER_MM, bent
from ringgeom.engraving.inset import Alike, Inset
from ringgeom.engraving.relief import Relief
from ringgeom.engraving.shape import Shape
from ringgeom.errors import ShapeError
from ringgeom.form.weld import FINEST_MM

if TYPE_CHECKING:
    from manifold3d import Manifold

CRUMB_MM3 = 1e-5


def pockets_solid(one: Inset, chord_mm: float, with_stock: bool) -> Manifold:
    """What is cut out for all pockets, standing over the face a little."""
    shapes = [(one.cut.pockets[k],) for k in _firsts(one)]
    solid = _round(one, shapes, one.deep, chord_mm, with_stock, OVER_MM)
    # what is too short to be written goes now, or metal and insert would each lose their own
    return solid.simplify(FINEST_MM)


def insert_solid(one: Inset, pockets: Manifold, chord_mm: float, with_stock: bool) -> Manifold:
    """All inserts in their place.

    Where there is no gap, wall or floor is the pocket's own with all its facets: an insert drawn
    by itself would cut into the metal round it by a share of the chord. So it would over a gap
    that is smaller than this share; such a gap is drawn closed.

    Parameters
    ----------
    pockets : Manifold
        What is cut out for them, `pockets_solid`.

    Raises
    ------
    ShapeError
        They have another volume than they should.
    """
    bed, gap = one.bed, one.asked.gap
    # a floor strays by half a chord along the ring and as much across it, an outline by half
    if gap.floor < chord_mm:
        bed = replace(bed, depth_mm=one.deep.depth_mm + chord_mm)
    wider_mm = chord_mm if gap.side < chord_mm / 2 else 0.0
    shapes = [one.cut.pieces[k] for k in _firsts(one)]
    solid = pockets ^ _round(one, shapes, bed, chord_mm, with_stock, 0.0, wider_mm)
    exact = one.cast_mm3 if with_stock else one.insert_mm3
    if abs(solid.volume() - exact) > slack_mm3(one, chord_mm) + CRUMB_MM3:
        raise ShapeError(
            f"{one.asked.name} has {solid.volume():.4f} mm3 as a solid, and {exact:.4f} by measure"
        )
    return solid


def pattern_solid(one: Inset, alike: Alike, chord_mm: float, with_stock: bool) -> Manifold:
    """One piece of a pattern, as it lies in the ring."""
    return _solid(one, alike.shape, one.bed, chord_mm, with_stock)


def slack_mm3(one: Inset, chord_mm: float) -> float:
    """How far the volume of faceted pockets or inserts may be from the exact one [mm3]."""
    # floor and face are off by a chord each, the sides by another; stock makes them deeper
    single = one.cut.single.pocket
    area, around = single.area_mm2, single.outline_mm
    return len(one.cut.places) * chord_mm * (2 * area + around * (one.deep.depth_mm + OVER_MM))


def _firsts(one: Inset) -> tuple[int, ...]:
    """For every copy, the first one that is turned alike and as far across."""
    return one.cut.alike(level=False)


def _round(
    one: Inset,
    shapes: Sequence[tuple[Shape, ...]],
    relief: Relief,
    chord_mm: float,
    with_stock: bool,
    over_mm: float,
    wider_mm: float = 0.0,
) -> Manifold:
    """Shapes of every copy; a copy that is like an earlier one is that, turned on."""
    from manifold3d import Manifold, OpType

    known: dict[int, Manifold] = {}
    found = []
    for k, first in enumerate(_firsts(one)):
        if first not in known:
            known[first] = Manifold.batch_boolean(
                [
                    _solid(one, s, relief, chord_mm, with_stock, over_mm, wider_mm)
                    for s in shapes[k]
                ],
                OpType.Add,
            )
        way = one.cut.places[k].shift_mm[0] - one.cut.places[first].shift_mm[0]
        found.append(known[first].rotate([0.0, 0.0, degrees(way / one.face.radius_mm)]))
    return Manifold.batch_boolean(found, OpType.Add)


def _solid(
    one: Inset,
    shape: Shape,
    relief: Relief,
    chord_mm: float,
    with_stock: bool,
    over_mm: float = 0.0,
    wider_mm: float = 0.0,
) -> Manifold:
    from manifold3d import CrossSection, FillRule, JoinType

    drawn = CrossSection(shape.polylines(chord_mm / 4), FillRule.NonZero).simplify(chord_mm / 4)
    if wider_mm:
        drawn = drawn.offset(wider_mm, JoinType.Miter)
    return bent(drawn, one.face, relief, chord_mm=chord_mm, with_stock=with_stock, over_mm=over_mm)
