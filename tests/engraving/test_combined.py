"""Shapes united, cut from each other and shared: closed forms, and shapely on fine polygons."""

from __future__ import annotations

from math import acos, pi, sqrt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Polygon
from shapely.ops import unary_union

from ringgeom.engraving.arcs import disc
from ringgeom.engraving.combined import Figure, combined, less, shared, united
from ringgeom.engraving.crossings import TooMany, self_crossing_mm
from ringgeom.engraving.flat import extent_mm, flat, part_of, polygon_of, shape_of, straight
from ringgeom.engraving.shape import Shape
from ringgeom.engraving.stroke import Stroke


def box(x0: float, y0: float, x1: float, y1: float) -> Shape:
    return Shape((straight(np.array([(x0, y0), (x1, y0), (x1, y1), (x0, y1)])),))


def lens_mm2(distance: float) -> float:
    """What two unit circles share. Source: elementary; two equal segments of a circle."""
    return 2 * acos(distance / 2) - distance / 2 * sqrt(4 - distance**2)


@pytest.mark.parametrize("x", [0.3, 1.0, 1.7])
def test_two_circles(x: float) -> None:
    one, other = disc((0.0, 0.0), 1.0), disc((x, 0.2), 1.0)
    lens = lens_mm2(float(np.hypot(x, 0.2)))
    for found, area in (
        (united([one, other]), 2 * pi - lens),
        (less(one, [other]), pi - lens),
        (shared([one, other]), lens),
    ):
        assert found.exact
        assert len(found.shape.loops) == 1
        # the circles' cubics lie outside by up to 1e-6 mm along some 12 mm
        assert found.shape.area_mm2 == pytest.approx(area, abs=1.3e-5)


def test_an_island_inside_another_is_lost_and_a_hole_in_it_is_kept() -> None:
    ring = less(box(0, 0, 5, 5), [disc((2, 2), 1)]).shape
    assert len(ring.loops) == 2
    found = united([ring, box(4, 4, 4.5, 4.5), disc((2, 2), 0.5)])
    assert found.exact
    assert len(found.shape.loops) == 3
    assert found.shape.area_mm2 == pytest.approx(25 - pi + 0.25 * pi, abs=1e-5)


def test_the_two_rules_of_filling() -> None:
    """Two squares, one in the other, turning the same way: a hole by evenodd, none by nonzero."""
    loops = (*box(0, 0, 4, 4).loops, *box(1, 1, 3, 3).loops)
    assert combined([Figure(loops, "evenodd")]).shape.area_mm2 == pytest.approx(12, abs=1e-12)
    assert combined([Figure(loops, "nonzero")]).shape.area_mm2 == pytest.approx(16, abs=1e-12)
    back = (*box(0, 0, 4, 4).loops, tuple(s.reversed() for s in reversed(loops[1])))
    assert combined([Figure(back, "nonzero")]).shape.area_mm2 == pytest.approx(12, abs=1e-12)


def test_squares_side_by_side_are_one_and_said_to_be_straightened() -> None:
    found = united([box(0, 0, 1, 1), box(1, 0, 2, 1), disc((5, 5), 1)])
    assert not found.exact
    assert len(found.shape.loops) == 2
    assert found.shape.area_mm2 == pytest.approx(2 + pi, abs=1e-5)
    # what touches nothing keeps its curves
    assert max(stroke.degree for stroke in found.shape.strokes()) == 3


coordinate = st.floats(-3, 3).map(lambda x: round(x, 2))


@given(
    discs=st.lists(st.tuples(coordinate, coordinate, st.floats(0.2, 2)), min_size=2, max_size=7),
    way=st.sampled_from(["united", "less", "shared"]),
)
@settings(max_examples=60, deadline=None)
def test_any_discs_against_polygons(discs: list[tuple[float, float, float]], way: str) -> None:
    shapes = [disc((x, y), r) for x, y, r in discs]
    polygons = [polygon_of(shape) for shape in shapes]
    if way == "united":
        found, fine = united(shapes), unary_union(polygons)
    elif way == "less":
        found, fine = less(shapes[0], shapes[1:]), polygons[0] - unary_union(polygons[1:])
    else:
        found = shared(shapes)
        fine = polygons[0]
        for polygon in polygons[1:]:
            fine = fine & polygon
    # straight pieces lie within 1e-4 mm of the curves
    edge = sum(polygon.length for polygon in polygons)
    assert found.shape.area_mm2 == pytest.approx(fine.area, abs=1e-4 * edge + 1e-6)
    if found.exact and found.shape.loops:
        assert all(self_crossing_mm(flat(loop)) is None for loop in found.shape.loops)


@given(
    corners=st.lists(st.tuples(coordinate, coordinate), min_size=3, max_size=7, unique=True),
    shift=st.tuples(coordinate, coordinate),
)
@settings(max_examples=120, deadline=None)
def test_straight_shapes_touching_in_any_way(
    corners: list[tuple[float, float]], shift: tuple[float, float]
) -> None:
    polygon = Polygon(corners).convex_hull
    if polygon.geom_type != "Polygon" or polygon.area < 1e-3:
        return
    one = shape_of(polygon)
    other = one.moved(*shift)
    moved = polygon_of(other)
    # with straight strokes the referee is exact, but for the 1e-6 mm beside which it is asked
    within = 1e-5 * polygon.length
    assert united([one, other]).shape.area_mm2 == pytest.approx(
        polygon.union(moved).area, abs=within
    )
    assert shared([one, other]).shape.area_mm2 == pytest.approx(
        polygon.intersection(moved).area, abs=within
    )


def test_where_an_outline_crosses_itself() -> None:
    bow = straight(np.array([(0.0, 0), (4, 4), (4, 0), (0, 4)]))
    assert self_crossing_mm(flat(bow)) == pytest.approx((2.0, 2.0))
    assert self_crossing_mm(flat(box(0, 0, 1, 1).loops[0])) is None


def test_too_many_crossings_are_told() -> None:
    combs = [box(0, k, 400, k + 0.5) for k in range(150)]
    combs += [box(k, -1, k + 0.5, 200) for k in range(150)]
    with pytest.raises(TooMany, match="30000 times"):
        united(combs)


@given(
    points=st.lists(st.tuples(coordinate, coordinate), min_size=2, max_size=4),
    ends=st.tuples(st.floats(0, 1), st.floats(0, 1)),
)
@settings(max_examples=60, deadline=None)
def test_a_part_of_a_stroke(points: list[tuple[float, float]], ends: tuple[float, float]) -> None:
    low, high = sorted(ends)
    if high - low < 1e-3:
        return
    stroke = Stroke(np.array(points))
    part = part_of(stroke, low, high)
    t = np.linspace(0, 1, 9)
    assert np.allclose(part.at(t), stroke.at(low + (high - low) * t), atol=1e-12)


def test_the_true_extent_of_a_curve() -> None:
    """A cubic with handles 1 up reaches 3/4 up (closed form), its control points 1."""
    hill = Stroke(np.array([(0.0, 0), (0, 1), (2, 1), (2, 0)]))
    found = Shape(((hill, Stroke(np.array([(2.0, 0), (0, 0)]))),))
    assert extent_mm(found) == pytest.approx((0, 2, 0, 0.75), abs=1e-12)
    assert found.bounds_mm[3] == 1.0
