"""A motif laid out round the ring: size, place, gaps, mirroring, waves and the seam."""

from __future__ import annotations

from itertools import pairwise
from math import atan, cos, pi, radians, sin

import numpy as np
import pytest
from engraving.svg_files import svg
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.affinity import translate
from shapely.ops import unary_union

from ringgeom.engraving.arcs import disc
from ringgeom.engraving.flat import extent_mm, polygon_of, straight
from ringgeom.engraving.laid_out import Repeat, laid_out
from ringgeom.engraving.shape import Shape
from ringgeom.engraving.svg import drawn
from ringgeom.engraving.unrolled import Unrolled, without_seam
from ringgeom.errors import ShapeError
from ringgeom.form.wave import Wave

FACE = Unrolled(round_mm=60.0, low_mm=-3.0, high_mm=3.0)
LEAF = drawn(svg('<path d="M0 5c2-4 7-4 10 0c-3 2-8 2-10 0z"/>')).shape


def tooth() -> Shape:
    """A right-angled triangle 2 x 1 mm, of area 1."""
    return Shape((straight(np.array([(0.0, 0), (2, 0), (0, 1)])),))


def test_whole_copies_at_their_places() -> None:
    found = laid_out(tooth(), Repeat(count=12, height_mm=2.0, start_deg=15), FACE)
    assert found.length_mm == pytest.approx(4)
    assert found.height_mm == pytest.approx(2)
    assert found.shape.area_mm2 == pytest.approx(12 * 4, abs=1e-12)
    assert found.gap_mm == pytest.approx(1.0, abs=1e-12)  # 60 / 12 - 4
    assert found.edges_mm == pytest.approx((2.0, 2.0))
    x0, x1, _, _ = extent_mm(found.copies[0])
    assert 0.5 * (x0 + x1) == pytest.approx(60 * 15 / 360)


def test_scaled_to_a_length() -> None:
    found = laid_out(LEAF, Repeat(count=6, length_mm=5.0), FACE)
    x0, x1, _, _ = extent_mm(found.copies[0])
    assert x1 - x0 == pytest.approx(5.0, abs=1e-12)
    assert found.gap_mm == pytest.approx(5.0, abs=1e-12)


def test_a_copy_on_the_seam_stays_whole() -> None:
    """The first copy lies at angle 0: it reaches from below 0 past it, in one piece."""
    found = laid_out(tooth(), Repeat(count=5), FACE)
    assert extent_mm(found.copies[0])[:2] == pytest.approx((-1, 1))
    assert len(found.shape.loops) == 5
    assert not found.wraps
    assert sum(len(run) for run in without_seam(found.shape, 60.0)) == 15


def test_mirrored_in_turn() -> None:
    across = laid_out(tooth(), Repeat(count=4, mirrored="across"), FACE)
    along = laid_out(tooth(), Repeat(count=4, mirrored="round"), FACE)
    centroids = [polygon_of(copy).centroid for copy in across.copies]
    # a third of the height from the foot, 1/2 - 1/3 from the middle
    assert [c.y for c in centroids] == pytest.approx([-1 / 6, 1 / 6, -1 / 6, 1 / 6])
    middles = [polygon_of(copy).centroid.x - 15 * k for k, copy in enumerate(along.copies)]
    assert middles == pytest.approx([-1 / 3, 1 / 3, -1 / 3, 1 / 3])
    assert all(copy.area_mm2 == pytest.approx(1) for copy in (*across.copies, *along.copies))
    with pytest.raises(ShapeError, match=r"do not close.*give 4 or 6"):
        laid_out(tooth(), Repeat(count=5, mirrored="across"), FACE)


@given(
    count=st.integers(2, 40),
    waves=st.integers(1, 6),
    amplitude=st.floats(-1, 1),
    phase=st.floats(-4, 4),
    leaning=st.booleans(),
)
@settings(max_examples=40, deadline=None)
def test_following_a_wave(
    count: int, waves: int, amplitude: float, phase: float, leaning: bool
) -> None:
    wave = Wave(amplitude, waves, phase)
    found = laid_out(
        disc((7.0, 7.0), 0.4), Repeat(count=count, wave=wave, leaning=leaning, centre_mm=0.3), FACE
    )
    for k, copy in enumerate(found.copies):
        angle = 2 * pi * k / count
        centre = polygon_of(copy).centroid
        assert centre.x == pytest.approx(60 * k / count, abs=1e-6)
        assert centre.y == pytest.approx(0.3 + amplitude * sin(waves * angle + phase), abs=1e-6)
    assert found.apart_mm == pytest.approx(_nearest(found.copies), abs=2e-3)


def _nearest(copies: tuple[Shape, ...]) -> float:
    polygons = [polygon_of(copy) for copy in copies]
    polygons.append(translate(polygons[0], 60.0))
    return min(a.distance(b) for a, b in pairwise(polygons))


def test_leaning_with_the_slope() -> None:
    """Derived: the slope of the wave on the unrolled face, dz/dx = a n cos(...) 2 pi / round."""
    wave = Wave(1.0, 3, 0.2)
    bar = Shape((straight(np.array([(0.0, 0), (1, 0), (1, 0.01), (0, 0.01)])),))
    found = laid_out(bar, Repeat(count=1, start_deg=40, wave=wave), FACE)
    stroke = found.copies[0].loops[0][0]
    (x0, y0), (x1, y1) = stroke.start, stroke.end
    slope = 3 * cos(3 * radians(40) + 0.2) * 2 * pi / 60
    assert np.arctan2(y1 - y0, x1 - x0) == pytest.approx(atan(slope), abs=1e-12)


def test_overlapping_all_round_is_one_ring_cut_open_at_the_seam() -> None:
    """Derived: 40 discs of radius 1 at 1.5 mm, less 40 lenses."""
    found = laid_out(disc((0.0, 0.0), 1.0), Repeat(count=40), FACE)
    lens = 2 * np.arccos(0.75) - 0.75 * np.sqrt(4 - 1.5**2)
    assert found.wraps
    assert found.exact
    assert found.gap_mm == pytest.approx(-0.5, abs=1e-12)
    assert found.apart_mm == 0.0
    # cubics lie up to 1e-6 mm outside 40 circles
    assert found.shape.area_mm2 == pytest.approx(40 * (pi - lens), abs=40 * 2 * pi * 1e-6)
    low, high, _, _ = extent_mm(found.shape)
    assert high - low == pytest.approx(60, abs=1e-12)
    left = sum(len(run) for run in without_seam(found.shape, 60.0))
    assert left == sum(len(loop) for loop in found.shape.loops) - 2


@given(
    count=st.integers(2, 24),
    height=st.floats(0.5, 5),
    start=st.floats(-200, 400),
    mirrored=st.sampled_from(["no", "across", "round"]),
)
@settings(max_examples=12, deadline=None)
def test_any_layout_covers_what_its_copies_cover(
    count: int, height: float, start: float, mirrored: str
) -> None:
    repeat = Repeat(count=2 * count, height_mm=height, start_deg=start, mirrored=mirrored)
    found = laid_out(LEAF, repeat, FACE)
    polygons = [polygon_of(copy, 1e-3) for copy in found.copies]
    turns = [translate(one, k * 60.0) for one in polygons for k in (-2, -1, 0, 1)]
    low, high = extent_mm(found.shape)[2:]
    window = polygon_of(Unrolled(round_mm=60, low_mm=low - 1, high_mm=high + 1).whole)
    covered = unary_union(turns).intersection(window).area
    edge = sum(one.length for one in polygons)
    assert found.shape.area_mm2 == pytest.approx(covered, abs=1e-3 * edge)


@pytest.mark.parametrize(
    ("repeat", "said"),
    [
        (Repeat(count=0), "1 to 500"),
        (Repeat(count=501), "1 to 500"),
        (Repeat(count=3, height_mm=1, length_mm=1), "not to both"),
        (Repeat(count=3, height_mm=0.0), "0.05 to 100"),
        (Repeat(count=3, length_mm=float("nan")), "0.05 to 100"),
        (Repeat(count=1, length_mm=70), "only 60.00 mm round; scale it to a height of 30.00 mm"),
        (Repeat(count=3, mirrored="sideways"), "no, across or round"),
    ],
)
def test_refused_in_words(repeat: Repeat, said: str) -> None:
    with pytest.raises(ShapeError, match=said):
        laid_out(tooth(), repeat, FACE)


def test_too_many_strokes_are_told() -> None:
    busy = Shape(tuple(disc((k * 0.1, 0), 0.04).loops[0] for k in range(40)))
    with pytest.raises(ShapeError, match="simplify its drawing"):
        laid_out(busy, Repeat(count=500), FACE)
    with pytest.raises(ShapeError, match="encloses nothing"):
        laid_out(Shape(()), Repeat(count=5), FACE)
