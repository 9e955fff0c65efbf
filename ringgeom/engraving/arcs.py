"""Arcs of circles and ellipses as cubics, within a nanometre."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil, cos, hypot, pi, sin, sqrt, tan

import numpy as np

from ringgeom.engraving.shape import Loop, Shape
from ringgeom.engraving.stroke import Stroke
from ringgeom.form.curve import Array

WITHIN_MM = 1e-6

LARGEST_TURN = pi / 2
"""No cubic spans more of the turn than this [rad]."""


def arc(
    centre: Sequence[float],
    radii: tuple[float, float],
    start: float,
    turn: float,
    *,
    tilt: float = 0.0,
    within_mm: float = WITHIN_MM,
) -> tuple[Stroke, ...]:
    """Cubics along an ellipse, from an angle of its own frame through a turn [mm, rad].

    The deviation of a cubic spanning the angle t of a unit circle is 2/27 sin(t/4)^6 / cos(t/4)^2.

    Source
    ------
    Handles 4/3 tan(t/4) and their deviation derived in tests/engraving/test_arcs.py.
    """
    spread = (27 * within_mm / (2 * max(radii))) ** (1 / 6)
    count = max(ceil(abs(turn) / min(LARGEST_TURN, 4 * spread * 0.98) - 1e-9), 1)
    step = turn / count
    handle = 4 / 3 * tan(step / 4)
    lean = np.array([(cos(tilt), -sin(tilt)), (sin(tilt), cos(tilt))]) @ np.diag(radii)
    strokes = []
    for k in range(count):
        a, b = start + k * step, start + (k + 1) * step
        unit = np.array(
            [
                (cos(a), sin(a)),
                (cos(a) - handle * sin(a), sin(a) + handle * cos(a)),
                (cos(b) + handle * sin(b), sin(b) - handle * cos(b)),
                (cos(b), sin(b)),
            ]
        )
        strokes.append(Stroke(unit @ lean.T + np.asarray(centre, dtype=float)))
    return tuple(strokes)


def disc(centre: Sequence[float], radius_mm: float) -> Shape:
    """A round island."""
    return Shape((closed(arc(centre, (radius_mm, radius_mm), 0.0, 2 * pi)),))


def closed(strokes: Sequence[Stroke]) -> Loop:
    """Strokes that meet to rounding, made to meet exactly."""
    ends = np.array([stroke.points[0] for stroke in strokes])
    found = []
    for stroke, end in zip(strokes, np.roll(ends, -1, axis=0), strict=True):
        points: Array = stroke.points.copy()
        points[-1] = end
        found.append(Stroke(points))
    return tuple(found)


def through_ends(
    start: Sequence[float],
    end: Sequence[float],
    radii: tuple[float, float],
    *,
    tilt: float,
    large: bool,
    sweep: bool,
    within_mm: float = WITHIN_MM,
) -> tuple[Stroke, ...]:
    """An elliptical arc told by its ends; radii too small to reach are made larger.

    Source
    ------
    W3C, Scalable Vector Graphics 2, appendix B.2.4 and B.2.5 (from end points to centre).
    """
    rx, ry = abs(radii[0]), abs(radii[1])
    (x1, y1), (x2, y2) = start, end
    c, s = cos(tilt), sin(tilt)
    hx, hy = (x1 - x2) / 2, (y1 - y2) / 2
    u, v = c * hx + s * hy, -s * hx + c * hy
    short = hypot(u / rx, v / ry)
    if short > 1:
        rx, ry = rx * short, ry * short
    p, q = u / rx, v / ry
    square = p * p + q * q
    far = sqrt(max(1 / square - 1, 0.0)) * (-1 if large == sweep else 1)
    cx, cy = far * q, -far * p
    middle = (
        c * rx * cx - s * ry * cy + (x1 + x2) / 2,
        s * rx * cx + c * ry * cy + (y1 + y2) / 2,
    )
    first = float(np.arctan2(q - cy, p - cx))
    turn = float(np.arctan2(-q - cy, -p - cx)) - first
    if sweep and turn < 0:
        turn += 2 * pi
    elif not sweep and turn > 0:
        turn -= 2 * pi
    strokes = arc(middle, (rx, ry), first, turn, tilt=tilt, within_mm=within_mm)
    fixed = [stroke.points.copy() for stroke in strokes]
    fixed[0][0], fixed[-1][-1] = start, end
    return tuple(Stroke(points) for points in fixed)
