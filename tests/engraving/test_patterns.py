"""Patterns: they close, lie on the face, do not cross themselves, and cover what they say."""

from __future__ import annotations

from math import acos, pi, radians, sin, tan

import numpy as np
import pytest
from hypothesis import given, reject, settings
from hypothesis import strategies as st
from pydantic import ValidationError
from shapely import Polygon, unary_union
from shapely.affinity import translate

from ringgeom.engraving.crossings import parted, self_crossing_mm
from ringgeom.engraving.flat import extent_mm, flats, polygon_of
from ringgeom.engraving.patterns import PATTERNS, Pattern
from ringgeom.engraving.patterns.brushed import Brushed
from ringgeom.engraving.patterns.hammered import Hammered
from ringgeom.engraving.patterns.hatch import Hatch
from ringgeom.engraving.patterns.milgrain import PART, Milgrain
from ringgeom.engraving.patterns.pattern import Asking
from ringgeom.engraving.patterns.rope import Rope
from ringgeom.engraving.patterns.scales import Scales
from ringgeom.engraving.patterns.vine import Vine
from ringgeom.engraving.shape import Shape
from ringgeom.engraving.unrolled import Unrolled, without_seam
from ringgeom.errors import ShapeError

FACE = Unrolled(round_mm=55.0, low_mm=-3.0, high_mm=3.0)

faces = st.builds(
    lambda r, w, m: Unrolled(round_mm=r, low_mm=m - w / 2, high_mm=m + w / 2),
    st.floats(38, 80),
    st.floats(3, 12),
    st.floats(-1, 1),
)

asked = st.one_of(
    st.builds(
        Milgrain,
        bead_mm=st.floats(0.4, 1.2),
        gap_mm=st.floats(0.02, 0.3),
        groove_mm=st.floats(0.03, 0.3),
        edge_mm=st.sampled_from([0.0, 0.1, 0.4]),
        edges=st.sampled_from(["both", "low", "high"]),
    ),
    st.builds(
        Hatch,
        pitch_mm=st.floats(0.8, 3),
        line_mm=st.floats(0.05, 0.5),
        angle_deg=st.floats(25, 85),
        crossing=st.booleans(),
        margin_mm=st.sampled_from([0.0, 0.3]),
    ),
    st.builds(
        Rope,
        height_mm=st.floats(1, 2.5),
        twist_mm=st.floats(0.7, 2.5),
        slant_mm=st.floats(0.3, 2),
        gap_mm=st.floats(0.05, 0.3),
        hand=st.sampled_from(["right", "left"]),
    ),
    st.builds(
        Vine,
        wave_mm=st.floats(5, 9),
        swing_mm=st.floats(0.6, 1.2),
        leaf_mm=st.floats(1.4, 2.6),
        leaf_wide_mm=st.floats(0.7, 1.2),
        rib_mm=st.sampled_from([0.0, 0.08]),
        berries=st.booleans(),
    ),
    st.builds(
        Scales,
        scale_mm=st.floats(1.5, 4),
        row_mm=st.floats(0.7, 1.2),
        line_mm=st.floats(0.05, 0.2),
        cut=st.sampled_from(["lines", "scales"]),
        margin_mm=st.sampled_from([0.0, 0.3]),
    ),
    st.builds(
        Hammered,
        facet_mm=st.floats(1.2, 4),
        ridge_mm=st.sampled_from([0.0, 0.1]),
        seed=st.integers(0, 99),
    ),
)


def on_cylinder(shape: Shape, round_mm: float, chord_mm: float) -> float:
    """Area of what a shape covers of the cylinder; what lies on each other counts once."""
    whole = polygon_of(shape, chord_mm)
    turns = unary_union([translate(whole, k * round_mm) for k in (-1, 0, 1)])
    low, high = whole.bounds[1], whole.bounds[3]
    window = Polygon([(0, low), (round_mm, low), (round_mm, high), (0, high)])
    return float(turns.intersection(window).area)


def judged(found: Pattern, face: Unrolled, chord_mm: float = 1e-4) -> None:
    for cut in found.cuts:
        x0, x1, low, high = extent_mm(cut.shape)
        assert low >= face.low_mm - 1e-9
        assert high <= face.high_mm + 1e-9
        assert x1 - x0 < 2 * face.round_mm
        outlines = flats(cut.shape.loops, chord_mm)
        edge = sum(Polygon(one.corners).length for one in outlines)
        # nothing lies on itself once it is bent round; shapely's own rounding is less
        flat_mm2 = polygon_of(cut.shape, chord_mm).area
        assert on_cylinder(cut.shape, face.round_mm, chord_mm) == pytest.approx(flat_mm2, abs=1e-6)
        # straight pieces lie within the chord of the outline
        assert flat_mm2 == pytest.approx(cut.shape.area_mm2, abs=chord_mm * edge + 1e-6)


@given(asking=asked, face=faces)
@settings(max_examples=20, deadline=None)
def test_any_pattern_on_any_face(asking: Asking, face: Unrolled) -> None:
    try:
        found = asking.drawn(face)
    except ShapeError:
        reject()
    judged(found, face, 1e-3)
    assert found.count >= 2
    if found.exact:
        for cut in found.cuts:
            outlines = flats(cut.shape.loops, 1e-3)
            assert all(self_crossing_mm(one) is None for one in outlines)


@pytest.mark.parametrize("asking", [kind() for kind in PATTERNS], ids=lambda a: type(a).__name__)
def test_every_pattern_as_it_comes(asking: Asking) -> None:
    found = asking.drawn(FACE)
    judged(found, FACE)
    assert found.exact
    for cut in found.cuts:
        crossed, _ = parted(cut.shape.loops, flats(cut.shape.loops))
        assert not crossed


@pytest.mark.parametrize("asking", [Milgrain(), Hatch(), Rope(), Vine(), Scales()])
def test_they_close_at_the_seam(asking: Asking) -> None:
    """Strokes on the seam are met by others, once round from them; nothing else ends there."""
    found = asking.drawn(FACE)
    assert found.wraps
    for cut in found.cuts:
        whole = sum(len(loop) for loop in cut.shape.loops)
        left = sum(len(run) for run in without_seam(cut.shape, FACE.round_mm))
        assert left < whole
        assert (whole - left) % 2 == 0
        ends = [
            end
            for run in without_seam(cut.shape, FACE.round_mm)
            if run[0].start != run[-1].end
            for end in (run[0].start, run[-1].end)
        ]
        # every end has its partner once round the ring
        for x, y in ends:
            assert any(
                abs(abs(x - u) - FACE.round_mm) < 1e-6 and abs(y - v) < 1e-6 for u, v in ends
            )


def test_milgrain_by_its_circles() -> None:
    """Derived: two grooves less two rows of circles; cubics lie within 1e-6 mm of them."""
    asking = Milgrain(bead_mm=0.6, gap_mm=0.05, groove_mm=0.1, edge_mm=0.2)
    found = asking.drawn(FACE)
    assert found.count == round(55 / 0.65)
    area = 2 * (55 * 0.8 - found.count * pi * 0.09)
    assert found.area_mm2 == pytest.approx(area, abs=2 * found.count * pi * 0.6 * 1e-6)


def test_milgrain_open_to_the_edge_by_its_segments() -> None:
    """Derived: a circle less the segment beyond the edge, r^2 (t - sin t) / 2."""
    asking = Milgrain(bead_mm=0.6, gap_mm=0.05, groove_mm=0.1, edge_mm=0, edges="low")
    found = asking.drawn(FACE)
    turn = 2 * acos(PART)
    bead = pi * 0.09 - 0.045 * (turn - sin(turn))
    deep = 0.3 * (1 + PART) + 0.1
    assert found.area_mm2 == pytest.approx(55 * deep - found.count * bead, abs=1e-4)
    assert found.figures[0].area_mm2 == pytest.approx(bead, abs=2e-6)


def test_a_crossing_hatch_by_its_strips() -> None:
    """Derived: two families of strips less the rhombs they share.

    A strip as long as the face is wide takes width x line / sin(angle); a rhomb of two strips
    line^2 / sin(2 angle). On a face as wide as a whole number of rhombs the shares at both edges
    make whole ones.
    """
    angle = radians(60)
    step = 55 / 50
    face = Unrolled(round_mm=55, low_mm=0, high_mm=4 * step * tan(angle) / 2)
    found = Hatch(pitch_mm=step * sin(angle), line_mm=0.2, angle_deg=60).drawn(face)
    assert found.count == 50
    strips = 2 * 50 * face.width_mm * 0.2 / sin(angle)
    rhombs = 4 * 50 * 0.2**2 / sin(2 * angle)
    assert found.area_mm2 == pytest.approx(strips - rhombs, abs=1e-9)
    assert found.notes == ()


def test_a_plain_hatch() -> None:
    found = Hatch(pitch_mm=1.1, line_mm=0.3, angle_deg=90, crossing=False).drawn(FACE)
    assert found.area_mm2 == pytest.approx(50 * 0.3 * 6, abs=1e-9)


def test_a_scale_by_its_circles() -> None:
    """Derived with no lines: a scale and all its like cover the face once.

    Every scale shows as much as one cell of the rows, breadth x row.
    """
    found = Scales(scale_mm=2.2, row_mm=0.9, line_mm=0.02, cut="scales").drawn(FACE)
    whole = max(figure.area_mm2 for figure in found.figures)
    # the line takes at most its half width along the outline of some 7 mm
    assert 55 / 25 * 0.9 - 0.01 * 7 < whole < 55 / 25 * 0.9


def test_both_ways_of_scales_make_up_the_face() -> None:
    lines, scales = (Scales(cut=cut).drawn(FACE) for cut in ("lines", "scales"))
    assert lines.area_mm2 + scales.area_mm2 == pytest.approx(FACE.round_mm * 6, abs=1e-6)


def test_facets_cover_the_face_once_and_a_seed_is_a_hammer() -> None:
    found = Hammered(facet_mm=2).drawn(FACE)
    assert found.area_mm2 == pytest.approx(55 * 6, abs=1e-6)
    again, other = Hammered(facet_mm=2).drawn(FACE), Hammered(facet_mm=2, seed=8).drawn(FACE)
    assert [cut.depth_mm for cut in again.cuts] == [cut.depth_mm for cut in found.cuts]
    assert [cut.depth_mm for cut in other.cuts] != [cut.depth_mm for cut in found.cuts]
    assert all(0.04 <= cut.depth_mm <= 0.16 for cut in found.cuts)
    smallest = min(cut.shape.area_mm2 for cut in found.cuts)
    assert smallest > 0.2 * found.area_mm2 / found.count


def test_a_rope_has_two_strands() -> None:
    for twist in (0.9, 1.0, 1.13, 1.7):
        found = Rope(twist_mm=twist).drawn(FACE)
        assert found.count % 2 == 0
        pitch = FACE.round_mm / found.count
        x0, x1, y0, y1 = extent_mm(found.figures[0])
        assert y1 - y0 == pytest.approx(1.8, abs=0.02)
        areas = np.array([figure.area_mm2 for figure in found.figures])
        assert np.ptp(areas) < 1e-12
        assert x1 - x0 > pitch


def test_the_stem_of_a_vine_is_as_wide_as_asked() -> None:
    """A vine without its growth has the area of its stem: width x length of the wave."""
    asking = Vine(wave_mm=6.1, swing_mm=1.0, stem_mm=0.3)
    stem = asking._stem(55.0, 9)
    x = np.linspace(0, 55, 200_001)
    slope = 1.0 * 2 * pi * 9 / 55 * np.sin(2 * pi * 9 * x / 55)
    long = float(np.trapezoid(np.sqrt(1 + slope**2), x))
    # cubics through the offset points stay within some 1e-4 mm of it
    assert stem.area_mm2 == pytest.approx(0.3 * long, rel=1e-4)


def test_brushed_is_a_note() -> None:
    found = Brushed(way="slanted", angle_deg=30).drawn(FACE)
    assert found.cuts == ()
    assert found.notes == ("brushed at 30 degrees to the way round",)


@pytest.mark.parametrize(
    ("asking", "said"),
    [
        (Milgrain(bead_mm=3), "needs .* of the face's width"),
        (Hatch(pitch_mm=0.3, line_mm=0.4), "leave no metal"),
        (Hatch(angle_deg=90), "do not cross"),
        (Hatch(pitch_mm=20, angle_deg=10), "fewer than 3"),
        (Rope(height_mm=8), "needs 8.240 mm"),
        (Rope(twist_mm=0.4, gap_mm=0.3), "leaves too little"),
        (Rope(twist_mm=20), "fewer than 4"),
        (Vine(wave_mm=2, swing_mm=2), "too steep"),
        (Vine(leaf_mm=9), "a vine with these leaves needs"),
        (Scales(scale_mm=2, row_mm=1.9), "do not cover"),
        (Scales(scale_mm=0.4, row_mm=0.2, line_mm=0.2), "at most 0.0"),
        (Scales(scale_mm=0.5, row_mm=0.2, line_mm=0.03), "too many"),
        (Hammered(facet_mm=0.5, ridge_mm=0.4), "at most 0.2"),
        (Hammered(least_depth_mm=0.2, most_depth_mm=0.1), "more than the most"),
        (Hammered(facet_mm=10, margin_mm=1), "needs 5.000 mm"),
    ],
)
def test_what_does_not_fit_is_told(asking: Asking, said: str) -> None:
    with pytest.raises(ShapeError, match=said):
        asking.drawn(FACE)


@pytest.mark.parametrize("kind", PATTERNS)
def test_parameters_have_limits(kind: type[Asking]) -> None:
    with pytest.raises(ValidationError):
        kind(unknown=1)  # type: ignore[call-arg]
    if "depth_mm" in kind.model_fields:
        with pytest.raises(ValidationError):
            kind(depth_mm=-0.1)  # type: ignore[call-arg]
        with pytest.raises(ValidationError):
            kind(depth_mm=float("nan"))  # type: ignore[call-arg]


def test_what_was_made_to_close_is_told() -> None:
    found = Vine(wave_mm=6).drawn(FACE)
    assert "6.111 mm, not 6" in found.notes[0]
    assert found.count == 9
