"""Drawn loops → shapes whose loops lie apart: turned the right way, overlaps united.

A font may draw a letter from pieces that overlap, and a joined script overlaps its letters.
Whether anything overlaps is seen from two areas: that of the loops by their winding, and that
of what they cover. Where the two agree the strokes stay as drawn, exact; else the pieces are
flattened to straight strokes and united.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from ringgeom.engraving.shape import Loop, Shape, joined
from ringgeom.engraving.stroke import line
from ringgeom.form.curve import Array

FLAT_MM = 1e-4
"""How far a united outline may lie from the drawn one: a tenth of a micrometre."""

LOOK = 2e-3
"""How finely overlaps are looked for, as a share of the drawing's height."""

SAME = 1e-7
"""Areas that agree to this share are equal: rounding of the flattened loops is less."""


@dataclass(frozen=True, slots=True, kw_only=True)
class United:
    """Shapes that lie apart, and how many of them had to be flattened to be united."""

    shapes: tuple[Shape, ...]
    flattened: int


def turned(loops: Sequence[Loop]) -> Shape:
    """Loops as drawn by a font or a pen → islands to the left, whichever way they were drawn."""
    shape = Shape(tuple(loops))
    if shape.area_mm2 >= 0:
        return shape
    back = (tuple(stroke.reversed() for stroke in reversed(loop)) for loop in shape.loops)
    return Shape(tuple(back))


def united(shapes: Sequence[Shape]) -> United:
    """Shapes without overlaps, in themselves and among each other.

    Parameters
    ----------
    shapes : sequence of Shape
        In mm, each turned; empty ones are left out.
    """
    from manifold3d import CrossSection, FillRule

    shapes = [shape for shape in shapes if shape.loops]
    if not shapes:
        return United(shapes=(), flattened=0)
    bounds = np.array([shape.bounds_mm for shape in shapes])
    chord = LOOK * max(float((bounds[:, 3] - bounds[:, 2]).max()), 1e-3)
    looks = [shape.polylines(chord) for shape in shapes]
    covered = [CrossSection(loops, FillRule.NonZero) for loops in looks]
    leader = list(range(len(shapes)))

    def root(i: int) -> int:
        while leader[i] != i:
            i = leader[i]
        return i

    for i in range(len(shapes)):
        for j in range(i + 1, len(shapes)):
            if _apart(bounds[i], bounds[j]):
                continue
            if (covered[i] ^ covered[j]).area() > chord**2 * SAME:
                leader[root(j)] = root(i)
    groups: dict[int, list[int]] = {}
    for i in range(len(shapes)):
        groups.setdefault(root(i), []).append(i)
    found: list[Shape] = []
    flattened = 0
    for group in groups.values():
        wound = sum(_area(loop) for i in group for loop in looks[i])
        clean = len(group) == 1 and abs(covered[group[0]].area() - wound) <= SAME * abs(wound)
        if clean:
            found.append(shapes[group[0]])
        else:
            flattened += 1
            found.append(_flattened(joined(shapes[i] for i in group)))
    return United(shapes=tuple(shape for shape in found if shape.loops), flattened=flattened)


def _apart(a: Array, b: Array) -> bool:
    return bool(a[0] >= b[1] or b[0] >= a[1] or a[2] >= b[3] or b[2] >= a[3])


def _area(loop: Array) -> float:
    x, y = loop.T
    return float(0.5 * (x @ np.roll(y, -1) - y @ np.roll(x, -1)))


def _flattened(shape: Shape) -> Shape:
    from manifold3d import CrossSection, FillRule

    whole = CrossSection(shape.polylines(FLAT_MM), FillRule.NonZero)
    loops = []
    for points in whole.to_polygons():
        corners = np.asarray(points, dtype=float).tolist()
        ends = zip(corners, [*corners[1:], corners[0]], strict=True)
        loops.append(tuple(line(a, b) for a, b in ends if a != b))
    return Shape(tuple(loop for loop in loops if len(loop) > 2))
