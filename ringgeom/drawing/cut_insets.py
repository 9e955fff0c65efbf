"""Inserts of a motif where the ring is cut: their profile, and the pocket in what they lie in."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

import numpy as np

from ringgeom.engraving.flat import polygon_of
from ringgeom.engraving.inset import Inset
from ringgeom.engraving.relief import Relief
from ringgeom.engraving.shape import Shape

if TYPE_CHECKING:
    from shapely import Polygon

Loop = tuple[tuple[float, float], ...]

CHORD_MM = 0.002
POINTS = 17
"""Points along a floor or a face between two sides."""

OVER_MM = 0.05
"""How far a pocket reaches beyond the face, so that nothing is left of it there."""


def insert_loops(one: Inset, angle: float) -> tuple[Loop, ...]:
    """The inserts that the cut goes through, as (z, r) [mm]."""
    shapes = [shape for copy in one.cut.pieces for shape in copy]
    return tuple(_profile(one, one.bed, low, high, 0.0) for low, high in _cut(one, shapes, angle))


def pocketed(loops: Sequence[Loop], one: Inset, angle: float) -> tuple[Loop, ...]:
    """The outline of what the inserts lie in, with the pockets that the cut goes through."""
    from shapely import Polygon, get_parts

    pockets = [
        Polygon(_profile(one, one.deep, low, high, OVER_MM))
        for low, high in _cut(one, one.cut.pockets, angle)
    ]
    if not pockets:
        return tuple(loops)
    outer = max(loops, key=lambda loop: Polygon(loop).area)
    left = Polygon(outer, [loop for loop in loops if loop is not outer])
    for pocket in pockets:
        left = left.difference(pocket)
    found: list[Loop] = []
    for part in get_parts(left):
        found += [tuple(ring.coords)[:-1] for ring in (part.exterior, *part.interiors)]
    return tuple(found)


def _cut(one: Inset, shapes: Sequence[Shape], angle: float) -> Iterator[tuple[float, float]]:
    """Stretches of z in which shapes are met at an angle [mm]."""
    from shapely import LineString, get_parts

    around, half = one.face.around_mm, one.face.half_mm
    for shape in shapes:
        x0, x1, *_ = shape.bounds_mm
        x = one.face.radius_mm * angle
        x += around * np.ceil((x0 - x) / around)
        if x > x1:
            continue
        met: Polygon = polygon_of(shape, CHORD_MM)
        for run in get_parts(met.intersection(LineString([(x, -half), (x, half)]))):
            if run.length > CHORD_MM:
                yield run.bounds[1], run.bounds[3]


def _profile(one: Inset, deep: Relief, low: float, high: float, over_mm: float) -> Loop:
    z = np.linspace(low, high, POINTS)
    level = deep.flat_mm(one.face)
    top = one.face.r(z)
    floor = top + deep.rise_mm(one.face) if level is None else np.full_like(z, level)
    under = list(zip(z.tolist(), floor.tolist(), strict=True))
    over = list(zip(z.tolist(), (top + over_mm).tolist(), strict=True))
    return (*under, *reversed(over))
