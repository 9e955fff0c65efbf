"""A line that swells and thins, as a closed shape: a stem, a stalk, a tendril."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from ringgeom.engraving.arcs import closed
from ringgeom.engraving.shape import Shape
from ringgeom.engraving.stroke import Stroke, line
from ringgeom.form.curve import Array

STEP = 1e-5
"""Share of the way over which slopes are taken; their error is its square."""


def swept(
    way: Callable[[Array], Array],
    half_mm: Callable[[Array], Array],
    pieces: int,
    *,
    blunt: tuple[bool, bool] = (True, True),
) -> Shape:
    """The ground covered along a way that turns less sharply than it is wide.

    Each side is drawn with cubics that hold the offset way's points and slopes at their ends.

    Parameters
    ----------
    way : callable
        Points (n, 2) at shares 0 to 1 of the way [mm].
    half_mm : callable
        Half of the width there [mm].
    blunt : pair of bool
        Whether start and end are cut off straight; else they are rounded.
    """
    s = np.linspace(0.0, 1.0, pieces + 1)
    right, left = (side_of(way, half_mm, s, sign) for sign in (-1, 1))
    end = _cap(right[-1], left[-1].reversed(), blunt[1])
    start = _cap(left[0].reversed(), right[0], blunt[0])
    back = [stroke.reversed() for stroke in reversed(left)]
    return Shape((closed([*right, *end, *back, *start]),))


def side_of(
    way: Callable[[Array], Array], half_mm: Callable[[Array], Array], s: Array, sign: int
) -> list[Stroke]:
    """One side of a swept line: `sign` +1 to the left of its way, -1 to the right."""

    def offset(at: Array) -> Array:
        slope = way(at + STEP) - way(at - STEP)
        normal = np.column_stack([-slope[:, 1], slope[:, 0]])
        normal /= np.hypot(*normal.T)[:, None]
        found: Array = way(at) + sign * half_mm(at)[:, None] * normal
        return found

    points = offset(s)
    slopes = (offset(s + STEP) - offset(s - STEP)) / (2 * STEP)
    third = np.diff(s)[:, None] / 3
    inner, outer = points[:-1] + third * slopes[:-1], points[1:] - third * slopes[1:]
    return [Stroke(np.array(four)) for four in zip(points, inner, outer, points[1:], strict=False)]


def _cap(arriving: Stroke, leaving: Stroke, blunt: bool) -> list[Stroke]:
    """From the end of one side to the start of the other."""
    a, b = np.array(arriving.end), np.array(leaving.start)
    if blunt:
        return [line(arriving.end, leaving.start)]
    ahead = np.array([b[1] - a[1], a[0] - b[0]])
    return [Stroke(np.array([a, a + ahead * (2 / 3), b + ahead * (2 / 3), b]))]
