"""Pockets and inserts unrolled: outlines against closed forms and shapely, volumes over them
against meshes."""

from __future__ import annotations

from math import pi, sqrt

import numpy as np
import pytest
from engraving.chain_volume import half_r2, volume_mm3
from engraving.svg_files import svg
from hypothesis import given, settings
from hypothesis import strategies as st
from manifold3d import CrossSection, FillRule, Manifold
from shapely import Point

from ringgeom.engraving.arcs import disc
from ringgeom.engraving.combined import less
from ringgeom.engraving.flat import islands, polygon_of, straight
from ringgeom.engraving.inlay import inlay
from ringgeom.engraving.patterns.pattern import Asking
from ringgeom.engraving.patterns.scales import Scales
from ringgeom.engraving.patterns.vine import Vine
from ringgeom.engraving.shape import Shape
from ringgeom.engraving.svg import drawn
from ringgeom.engraving.unrolled import Unrolled
from ringgeom.errors import ShapeError
from ringgeom.form.curve import Arc, Flat
from ringgeom.form.frame import Chain, whole

OUT, DEEP = 10.0, 0.8
ROUND = 2 * pi * OUT
FLAT, FLOOR = whole(Flat(OUT), 3.0), whole(Flat(OUT - DEEP), 3.0)
DOME = whole(Arc(10.3, 0.0, 15.0, 1), 3.0)
STEPPED = Chain((Flat(9.8), Arc(10.2, 0.0, 12.0, 1), Flat(9.7)), (-3.0, -1.0, 1.2, 3.0))

LEAF = drawn(svg('<path d="M0 5c2-4 7-4 10 0c-3 2-8 2-10 0z"/>')).shape.moved(-5, -5).scaled(0.5)


def box(wide: float, high: float) -> Shape:
    w, h = wide / 2, high / 2
    return Shape((straight(np.array([(-w, -h), (w, -h), (w, h), (-w, h)])),))


def over(shape: Shape, upper: Chain = FLAT, lower: Chain = FLOOR) -> float:
    return volume_mm3(shape, upper, lower, ROUND)


def test_a_square_pocket_in_a_cylinder() -> None:
    """Derived: angle x height x (R^2 - r^2) / 2; the insert is smaller by the gap on every side."""
    found = inlay(box(4, 3), gap_mm=0.05)
    ring = 0.5 * (OUT**2 - (OUT - DEEP) ** 2)
    assert over(found.pocket) == pytest.approx(4 / OUT * 3 * ring, rel=1e-13)
    upper = 0.5 * (OUT**2 - (OUT - DEEP + 0.03) ** 2)
    assert over(found.insert, FLAT, FLOOR.raised(0.03)) == pytest.approx(
        3.9 / OUT * 2.9 * upper, rel=1e-12
    )


shapes = st.sampled_from(
    [LEAF, box(3, 2), disc((0, 0), 1.4), less(disc((0, 0), 2), [disc((0.3, 0), 0.8)]).shape]
)


@given(
    drawing=shapes,
    gap=st.floats(0.0, 0.15),
    cutter=st.sampled_from([0.0, 0.1, 0.25]),
    relieved=st.booleans(),
    y=st.floats(-0.8, 0.8),
)
@settings(max_examples=25, deadline=None)
def test_the_insert_lies_in_its_pocket(
    drawing: Shape, gap: float, cutter: float, relieved: bool, y: float
) -> None:
    """Against shapely: within the pocket, and as far from its rim as the gap."""
    found = inlay(drawing.moved(3.0, y), gap_mm=gap, cutter_mm=cutter, relieved=relieved)
    pocket, insert = polygon_of(found.pocket, 5e-4), polygon_of(found.insert, 5e-4)
    # outlines are drawn within 5e-4 mm before they are set off, and again here
    assert insert.difference(pocket).area < 1e-3 * pocket.length
    if gap > 0.01:
        assert pocket.exterior.distance(insert) == pytest.approx(gap, abs=2e-3)
    assert sum(one.area_mm2 for one in found.pieces) == pytest.approx(
        found.insert.area_mm2, abs=1e-12
    )


def bent(shape: Shape, upper: Chain, lower: Chain) -> float:
    """Volume of a mesh: the shape as a thin slab of prisms, bent round and raised to both faces."""
    loops = shape.polylines(2e-3)
    slab = Manifold.extrude(CrossSection(loops, FillRule.EvenOdd), 1.0).refine_to_length(0.08)

    def warp(points: np.ndarray) -> np.ndarray:
        x, y, share = np.asarray(points).T
        angle = x / OUT
        r = lower.r(y) + share * (upper.r(y) - lower.r(y))
        return np.column_stack([r * np.cos(angle), r * np.sin(angle), y])

    return float(abs(slab.warp_batch(warp).volume()))


@pytest.mark.parametrize("outside", [FLAT, DOME])
@pytest.mark.parametrize("drawing", [LEAF, disc((2.0, 0.5), 1.4)])
def test_volumes_against_a_mesh(drawing: Shape, outside: Chain) -> None:
    """A mesh of 0.08 mm edges: its facets cut off some 0.08^2 / 8 / 10 mm on top, as much below."""
    found = inlay(drawing, gap_mm=0.05)
    for shape in (found.pocket, found.insert):
        volume, edge = over(shape, outside), polygon_of(shape).length
        bound = 2e-4 * shape.area_mm2 + 2e-3 * edge * 1.2
        assert bent(shape, outside, FLOOR) == pytest.approx(volume, abs=bound)
        assert bent(shape, outside, FLOOR) == pytest.approx(volume, rel=2e-3)


@pytest.mark.parametrize("asking", [Vine(), Scales(scale_mm=2.4, row_mm=1.1)])
def test_a_pattern_on_a_dome_against_a_mesh(asking: Asking) -> None:
    """Cut 0.2 mm deep; the outline is drawn within 2e-3 mm and the facets as above."""
    face = Unrolled(round_mm=ROUND, low_mm=-2.9, high_mm=2.9)
    shape = asking.drawn(face).cuts[0].shape
    floor = DOME.raised(-0.2)
    volume = volume_mm3(shape, DOME, floor, ROUND)
    edge = polygon_of(shape, 2e-3).length
    assert bent(shape, DOME, floor) == pytest.approx(volume, abs=2e-3 * edge * 0.2)


def test_lines_and_scales_make_up_the_face() -> None:
    """What the lines take and what the scales hold is the whole strip, on a stepped face too."""
    face = Unrolled(round_mm=ROUND, low_mm=-2.9, high_mm=2.9)
    volumes = [
        volume_mm3(
            Scales(scale_mm=3, row_mm=1.2, cut=cut).drawn(face).cuts[0].shape, STEPPED, FLOOR, ROUND
        )
        for cut in ("lines", "scales")
    ]
    assert sum(volumes) == pytest.approx(volume_mm3(face.whole, STEPPED, FLOOR, ROUND), abs=1e-8)


def test_a_face_of_several_curves_is_integrated_without_jumps() -> None:
    """Against the trapezoid rule on a million places; its error is below 1e-9 here."""
    under = half_r2(STEPPED)
    z = np.linspace(-2.9, 2.9, 1_000_001)
    found = under(np.array([-2.9, -1.0, 1.2, 2.9]))
    r = STEPPED.r(z)
    assert found[-1] - found[0] == pytest.approx(float(np.trapezoid(0.5 * r * r, z)), abs=1e-5)
    # a strip all round has the volume of the turned section (Pappus)
    strip = Shape((straight(np.array([(0, -2.9), (ROUND, -2.9), (ROUND, 2.9), (0, 2.9)])),))
    turned = 2 * pi * float(np.trapezoid(0.5 * (r * r - (OUT - DEEP) ** 2), z))
    assert volume_mm3(strip, STEPPED, FLOOR, ROUND) == pytest.approx(turned, abs=1e-4)


def test_round_corners_for_a_cutter() -> None:
    """Derived: four corners lose (4 - pi) r^2; the insert's are rounder by nothing but its gap."""
    found = inlay(box(4, 3), gap_mm=0.05, cutter_mm=0.3)
    assert found.pocket.area_mm2 == pytest.approx(12 - (4 - pi) * 0.09, abs=2e-4)
    assert found.unreached_mm2 == pytest.approx((4 - pi) * 0.09, abs=2e-4)
    assert found.insert.area_mm2 == pytest.approx(3.9 * 2.9 - (4 - pi) * 0.25**2, abs=2e-4)
    assert found.corners == 4


def test_relieved_corners_for_a_cutter() -> None:
    """Derived: a circle through the corner takes half its area less the square half beside it.

    Of a disc whose rim passes a right corner, the quarter square r^2 and its two segments lie
    inside: r^2 + (pi/4 - 1/2) ... so outside are pi r^2 / 2 - r^2, were the corner just met.
    """
    found = inlay(box(4, 3), gap_mm=0.05, cutter_mm=0.3, relieved=True)
    assert found.exact_pocket
    middle = (0.3 - 0.002) / sqrt(2)
    corner = Point(2 - middle, 1.5 - middle).buffer(0.3, quad_segs=512)
    outside = corner.difference(polygon_of(box(4, 3))).area
    assert found.pocket.area_mm2 == pytest.approx(12 + 4 * outside, abs=1e-5)
    assert found.insert.area_mm2 == pytest.approx(3.9 * 2.9, abs=1e-9)
    assert found.unreached_mm2 < 1e-3


def test_corners_of_an_island_need_no_relief() -> None:
    """A square island stands in a round pocket: its corners are met from outside."""
    island = less(disc((0, 0), 2), [box(1.2, 1.2)]).shape
    found = inlay(island, gap_mm=0.04, cutter_mm=0.2, relieved=True)
    assert found.pocket.area_mm2 == pytest.approx(island.area_mm2, abs=1e-12)


def test_what_cannot_be_made_is_told() -> None:
    small = disc((0, 0), 0.2)
    with pytest.raises(ShapeError, match="leaves nothing of this insert"):
        inlay(small, gap_mm=0.25)
    with pytest.raises(ShapeError, match=r"0.6 mm across does not go into this motif"):
        inlay(small, gap_mm=0.01, cutter_mm=0.3)
    with pytest.raises(ShapeError, match="must not be below 0"):
        inlay(small, gap_mm=-0.01)
    bell = drawn(svg('<path d="M0 0h4v2h4v-2h4v4h-4v-1.9h-4v1.9h-4z"/>')).shape
    assert inlay(bell, gap_mm=0.08).parted


def test_every_island_is_a_piece_with_its_own_hole() -> None:
    """A ring in a ring: two pieces, each with a hole; the small one lies in the large one's."""
    outer = less(disc((0, 0), 2.0), [disc((0, 0), 1.5)]).shape
    inner = less(disc((0, 0), 1.0), [disc((0, 0), 0.5)]).shape
    found = islands(Shape((*inner.loops, *outer.loops)))
    assert sorted(len(one.loops) for one in found) == [2, 2]
    assert sorted(one.area_mm2 for one in found) == pytest.approx(
        # arcs are drawn as cubics within a nanometre: 22 mm of outline are off by 2.2e-5 at most
        [pi * (1 - 0.25), pi * (4 - 2.25)],
        abs=3e-5,
    )
