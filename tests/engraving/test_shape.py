"""Areas and integrals of drawn shapes: closed forms, and shapely on fine polygons."""

from __future__ import annotations

from itertools import pairwise
from math import pi

import numpy as np
import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from judging.checks import judged
from judging.programs import SHAPELY
from shapely.geometry import Polygon

from ringgeom.engraving.shape import Shape, joined
from ringgeom.engraving.stroke import Stroke, line

KAPPA = 4 * (2**0.5 - 1) / 3
"""Handles of a quarter circle drawn as a cubic."""


def square(side: float, *, hole: bool = False) -> Shape:
    corners = [(0.0, 0.0), (side, 0.0), (side, side), (0.0, side)]
    if hole:
        corners.reverse()
    return Shape(
        (tuple(line(a, b) for a, b in zip(corners, corners[1:] + corners[:1], strict=True)),)
    )


def disc(radius: float) -> Shape:
    k = KAPPA
    quarter = radius * np.array([(1, 0), (1, k), (k, 1), (0, 1)])
    turn = np.array([(0, -1), (1, 0)])
    strokes = []
    for n in range(4):
        strokes.append(Stroke(quarter @ np.linalg.matrix_power(turn, n).T))
    return Shape((tuple(strokes),))


def test_area_of_a_square_with_a_hole() -> None:
    found = joined([square(3.0), square(1.0, hole=True).moved(1.0, 1.0)])
    assert found.area_mm2 == pytest.approx(8.0, abs=1e-13)
    assert found.bounds_mm == (0.0, 3.0, 0.0, 3.0)


def test_area_of_four_cubic_quarters() -> None:
    """Closed form of a cubic's area: 3/20 of cross products of its control points (Green)."""
    k = KAPPA
    quarter = np.array([(1, 0), (1, k), (k, 1), (0, 1)])
    cross = lambda a, b: quarter[a][0] * quarter[b][1] - quarter[a][1] * quarter[b][0]  # noqa: E731
    piece = (
        6 * cross(0, 1) + 3 * cross(0, 2) + cross(0, 3) + 3 * cross(1, 2) + 3 * cross(1, 3)
        + 6 * cross(2, 3)
    ) / 20  # fmt: skip
    assert disc(1.0).area_mm2 == pytest.approx(4 * piece, abs=1e-14)
    assert disc(1.0).area_mm2 == pytest.approx(pi, rel=3e-4)


def test_integral_of_a_function_with_a_kink() -> None:
    """The integral of |y - 1| over a square of side 3 is 3 (1/2 + 2)."""
    under = lambda y: 0.5 * (y - 1) * np.abs(y - 1)  # noqa: E731
    assert square(3.0).integral(under, stops=[1.0]) == pytest.approx(7.5, abs=1e-13)


@given(
    radius=st.floats(0.2, 5),
    chord=st.floats(1e-5, 1e-2),
    shift=st.tuples(st.floats(-9, 9), st.floats(-9, 9)),
    mirror=st.booleans(),
)
@settings(max_examples=60, deadline=None)
def test_against_fine_polygons(
    radius: float, chord: float, shift: tuple[float, float], mirror: bool
) -> None:
    found = disc(radius).mapped(np.diag([-1.0 if mirror else 1.0, 1.0]), shift)
    polygon = Polygon(found.polylines(chord)[0])
    assert polygon.exterior.is_ccw
    off = (found.area_mm2 - polygon.area) / polygon.length
    what, why = (
        "area of a shape less that of its polygon, over chord times outline",
        "a chord apart",
    )
    judged(SHAPELY, what, off / chord, 0.0, abs=1.0, why=why)
    fine = Polygon(found.polylines(1e-6)[0])
    assert found.integral(lambda y: 0.5 * y * y) == pytest.approx(
        fine.centroid.y * fine.area, abs=1e-4 * (1 + radius**3)
    )


def test_drawn_within_the_chord() -> None:
    corners = disc(4.0).polylines(0.001)[0]
    middles = 0.5 * (corners + np.roll(corners, -1, axis=0))
    # a quarter as a cubic is itself up to 0.03 % outside the circle
    assert np.abs(np.hypot(*middles.T) - 4.0).max() < 0.001 + 4.0 * 3e-4


POINTS = st.tuples(st.floats(-3, 3), st.floats(-2, 2))


@settings(max_examples=200, deadline=None)
@given(
    corners=st.lists(st.tuples(POINTS, POINTS), min_size=4, max_size=7),
    # no numbers that are next to nothing: shapely cuts wrongly there
    low=st.integers(-300, 300).map(lambda n: n / 97),
    wide=st.floats(0.05, 3),
)
def test_what_lies_between_two_x_is_what_shapely_cuts_out(
    corners: list[tuple[tuple[float, float], tuple[float, float]]], low: float, wide: float
) -> None:
    """Cubics whose control points reach past the cuts, and the curves do not, among them.

    A star round the origin, so that nothing crosses itself; its handles swing out to its sides.
    """
    found = star(corners)
    outline = Polygon(found.polylines(1e-7)[0])
    assume(outline.is_valid)
    cut = outline & shapely.box(low, -99, low + wide, 99)
    assert found.integral(lambda y: y, between=(low, low + wide)) == pytest.approx(
        cut.area, abs=2e-5
    )
    # three stretches side by side are the whole
    stops = (-99.0, low, low + wide, 99.0)
    parts = [found.integral(lambda y: y, between=some) for some in pairwise(stops)]
    assert sum(parts) == pytest.approx(found.area_mm2, abs=1e-9)


def star(corners: list[tuple[tuple[float, float], tuple[float, float]]]) -> Shape:
    """Cubics between spokes at even angles, each with two handles of any kind."""
    count = len(corners)
    turns = 2 * np.pi * np.arange(count) / count
    spokes = [
        (0.5 + abs(a[0])) * np.array([np.cos(turn), np.sin(turn)])
        for (a, _), turn in zip(corners, turns, strict=True)
    ]
    strokes = []
    for n, ((_, handle), start) in enumerate(zip(corners, spokes, strict=True)):
        end = spokes[(n + 1) % count]
        swing = 0.3 * np.array(handle)
        strokes.append(Stroke(np.array([start, start + swing, end - swing, end])))
    return Shape((tuple(strokes),))
