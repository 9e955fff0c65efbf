"""The ground that a round tool covers along single lines, as a shape.

     .-----------.
    (  ---------  )  width_mm; ends and corners are round, as the tool is
     '-----------'

Drawn with straight pieces within `CHORD_MM`; straight lines have straight sides, so only bends
and ends lose a little.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import acos, ceil, pi

import numpy as np

from ringgeom.engraving.flat import CHORD_MM, shape_of
from ringgeom.engraving.shape import Shape
from ringgeom.engraving.stroke import Stroke
from ringgeom.form.curve import Array

Line = tuple[Stroke, ...]
"""Strokes that join end to end: one stroke of the hand, open or closed."""

FEWEST = 24
"""Straight pieces of a quarter turn of a round end, at least."""


def graved(lines: Iterable[Line], width_mm: float) -> Shape:
    """The ground covered by a round tool along some lines [mm].

    Examples
    --------
    >>> from ringgeom.engraving.stroke import line
    >>> round(graved([(line((0, 0), (10, 0)),)], 0.2).area_mm2, 5)  # 2 + pi 0.01
    2.03139
    """
    from shapely import LineString, unary_union

    half = 0.5 * width_mm
    quarter = max(FEWEST, ceil(pi / 4 / acos(1 - min(CHORD_MM / half, 0.5))))
    ways = [LineString(points_along(one, CHORD_MM)) for one in lines]
    return shape_of(unary_union([way.buffer(half, quad_segs=quarter) for way in ways]))


def points_along(one: Sequence[Stroke], chord_mm: float) -> Array:
    """A line as points (n, 2) within a distance of it [mm]."""
    found = [one[0].points[:1]]
    for stroke in one:
        steps = stroke.steps(chord_mm)
        found.append(stroke.at(np.arange(1, steps + 1) / steps))
    return np.concatenate(found)
