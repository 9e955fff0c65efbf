"""The frame: tangent corners, half-round ends, stock square to the faces."""

from __future__ import annotations

import numpy as np
import pytest
from form import rings
from hypothesis import given, settings
from hypothesis import strategies as st

from ringgeom.errors import ShapeError
from ringgeom.form.curve import Arc, Curve, Flat
from ringgeom.form.frame import Chain, Frame, corner_centre, whole
from ringgeom.form.frame import frame as framed_faces
from ringgeom.form.ring import Stock, ring

EXAMPLES = settings(max_examples=60, deadline=None, derandomize=True)
HALF = 3.0
OUTSIDES = {
    "flat": Flat(10.6),
    "domed": Arc(10.6, 0.0, 13.0, 1),
    "full dome": Arc(10.6, 0.0, 4.5, 1),
}
BORES = {"flat": Flat(8.7), "domed": Arc(8.7, 0.0, 18.0, -1)}


def at(chain: Chain, *z: float) -> np.ndarray:
    return chain.r(np.array(z))


def frame(*, outside: Curve, bore: Curve, half_mm: float, edge_mm: float = 0.0) -> Frame:
    """The frame of one curve a face, each across the whole width."""
    faces = whole(outside, half_mm), whole(bore, half_mm)
    return framed_faces(outside=faces[0], bore=faces[1], half_mm=half_mm, edge_mm=edge_mm)


def framed(out: str, bore: str, edge: float, half: float = HALF) -> Frame:
    return frame(outside=OUTSIDES[out], bore=BORES[bore], half_mm=half, edge_mm=edge)


@pytest.mark.parametrize("out", OUTSIDES)
@pytest.mark.parametrize("bore", BORES)
@pytest.mark.parametrize("edge", [0.05, 0.2, 0.35])
def test_corners_touch_face_and_edge(out: str, bore: str, edge: float) -> None:
    """Each corner is a circle inside the band, tangent to the edge face and to the curve."""
    found = framed(out, bore, edge)
    for chain, curve, side in (
        (found.outside, OUTSIDES[out], 1),
        (found.bore, BORES[bore], -1),
    ):
        left, middle, right = chain.curves
        assert middle is curve
        for corner, way in ((left, -1), (right, 1)):
            assert isinstance(corner, Arc)
            assert corner.bend_mm == edge
            assert corner.side == side
            # tangent to the edge face: as far from it as its own radius
            assert HALF - way * corner.z_mm == pytest.approx(edge, abs=1e-15)
            # tangent to the curve from inside: two additions of some 10 mm
            if isinstance(curve, Arc):
                centres = np.hypot(corner.centre_mm - curve.centre_mm, corner.z_mm)
                assert centres == pytest.approx(curve.bend_mm - edge, abs=1e-13)
            else:
                assert side * (curve.radius_mm - corner.centre_mm) == pytest.approx(edge, abs=1e-14)
        # where they touch they agree in radius, and in slope to the step's own error
        for stop, below, above in ((chain.stops_mm[1], 0, 1), (chain.stops_mm[2], 1, 2)):
            z = np.array([stop])
            one, two = chain.curves[below], chain.curves[above]
            assert one.r(z) == pytest.approx(two.r(z), abs=1e-13)
            assert slope(one, stop) == pytest.approx(slope(two, stop), abs=1e-6)
        # and none of it sticks out of the curve or past the edge face
        z = np.linspace(-HALF, HALF, 2001)
        assert (side * (curve.r(z) - chain.r(z)) > -1e-12).all()


def slope(curve: Curve, z: float, step: float = 1e-5) -> float:
    """Central difference; of an arc of 0.05 mm its error is step^2 / (2 x 0.05^2) = 2e-8,
    times up to 10 where the arc is steep."""
    low, high = curve.r(np.array([z - step, z + step]))
    return float(high - low) / (2 * step)


def test_corner_of_a_flat_band_by_pythagoras() -> None:
    """3-4-5: 0.3 past the straight, 0.4 above the centre, on a radius of 0.5."""
    found = frame(outside=Flat(10.0), bore=Flat(8.0), half_mm=3.0, edge_mm=0.5)
    assert at(found.outside, 2.8, -2.8) == pytest.approx([9.9, 9.9], abs=1e-14)
    assert at(found.bore, 2.8, -2.8) == pytest.approx([8.1, 8.1], abs=1e-14)
    assert at(found.outside, 0.0, 2.5, 3.0) == pytest.approx([10.0, 10.0, 9.5], abs=1e-14)


def test_corner_of_a_dome_by_pythagoras() -> None:
    """Bend 5, radius 1, half 4: the centre lies at z 3, sqrt(16 - 9) from the arc's centre."""
    centre, touch = corner_centre(Arc(15.0, 0.0, 5.0, 1), 4.0, 1.0, 1)
    assert centre == pytest.approx(10.0 + np.sqrt(7.0), abs=1e-14)
    assert touch == pytest.approx(3.0 * 5 / 4, abs=1e-14)


def test_a_band_that_is_all_corner() -> None:
    found = frame(outside=Flat(10.0), bore=Flat(4.0), half_mm=1.0, edge_mm=1.0)
    assert len(found.outside.curves) == 2
    assert at(found.outside, -1.0, 0.0, 1.0) == pytest.approx([9.0, 10.0, 9.0], abs=1e-12)


def test_half_round_ends_on_the_bore() -> None:
    """A half circle of radius 2 on a flat bore of 9: no edge face is left."""
    found = frame(outside=Arc(11.0, 0.0, 2.0, 1), bore=Flat(9.0), half_mm=2.0)
    assert found.half_mm == 2.0
    assert at(found.outside, -2.0, 2.0) == pytest.approx([9.0, 9.0], abs=1e-14)


def test_half_round_with_stock_ends_with_its_arc() -> None:
    laid = ring(rings.form(bore=18.0, width=4.0, thickness=2.0, out=2.0, into=0.0), [], rings.STOCK)
    # the offset half circle is 2.1 wide; the 0.15 on the edges would lie beyond it
    assert laid.cast.half_mm == pytest.approx(2.1, abs=1e-9)
    assert at(laid.cast.outside, 0.0) == pytest.approx([11.1], abs=1e-14)


def test_a_sharp_edge_with_stock_ends_where_outside_meets_bore() -> None:
    """A lens: arc of rise 1 over half 3 (bend 5) on a flat bore; the edge would lie beyond."""
    laid = ring(
        rings.form(bore=18.0, width=6.0, thickness=1.0, out=1.0, into=0.0),
        [],
        Stock(outside_mm=0.1, edge_mm=2.0),
    )
    # bend 5.1 about r = 5: meets r = 9 at sqrt(5.1^2 - 4^2)
    assert laid.cast.half_mm == pytest.approx(np.sqrt(5.1**2 - 16), abs=1e-9)


def test_what_cannot_be_framed() -> None:
    dome = Arc(10.0, 0.0, 3.2, 1)
    with pytest.raises(ShapeError, match="do not fit a width"):
        frame(outside=Flat(10.0), bore=Flat(8.0), half_mm=0.5, edge_mm=0.6)
    with pytest.raises(ShapeError, match="fuller than the dome"):
        frame(outside=Arc(10.0, 0.0, 3.0, 1), bore=Flat(6.0), half_mm=3.0, edge_mm=0.3)
    with pytest.raises(ShapeError, match="meet each other"):
        frame(outside=dome, bore=Flat(8.0), half_mm=3.0, edge_mm=0.5)
    with pytest.raises(ShapeError, match="outside the outside"):
        frame(outside=Flat(8.0), bore=Flat(9.0), half_mm=3.0)


@EXAMPLES
@given(band=rings.forms())
def test_a_chain_is_its_pieces(band: rings.RingForm) -> None:
    """`r` over an array, `piece` one by one and the curves themselves agree everywhere."""
    finished = ring(band, []).finished
    z = np.linspace(-finished.half_mm, finished.half_mm, 41)
    for chain in (finished.outside, finished.bore, finished.body_top):
        one_by_one = [float(chain.curves[chain.piece(x)].r(np.array([x]))[0]) for x in z]
        assert chain.r(z) == pytest.approx(one_by_one, abs=1e-12)
        assert chain.stops_mm[0] == -finished.half_mm
        assert chain.stops_mm[-1] == finished.half_mm
        assert list(chain.stops_mm) == sorted(chain.stops_mm)


@EXAMPLES
@given(band=rings.forms(), share=st.floats(0.02, 0.98))
def test_a_chain_crosses_a_radius_where_it_says(band: rings.RingForm, share: float) -> None:
    outside = ring(band, []).finished.outside
    low, high = (float(at(outside, z)[0]) for z in (band.width_mm / 2, 0.0))
    radius = low + share * (high - low)
    found = outside.crossings_mm(radius)
    if high - low < 1e-9:
        return
    assert len(found) == 2
    assert at(outside, *found) == pytest.approx([radius, radius], abs=1e-9)


@EXAMPLES
@given(band=rings.forms())
def test_the_body_top_is_the_outside_moved(band: rings.RingForm) -> None:
    finished = ring(band, []).finished
    z = np.linspace(-finished.half_mm, finished.half_mm, 41)
    moved = finished.body_top.r(z) - finished.outside.r(z)
    assert moved == pytest.approx([band.proud_mm] * z.size, abs=1e-13)
    assert finished.top is (finished.body_top if band.proud_mm > 0 else finished.outside)


@EXAMPLES
@given(band=rings.forms(), share=st.floats(-0.99, 0.99))
def test_stock_is_square_to_the_faces(band: rings.RingForm, share: float) -> None:
    """A point of a face with stock is as far from the finished face as the stock says."""
    laid = ring(band, [], rings.STOCK)
    # beyond the corners, which keep their radius and are not offset, the foot leaves the face
    reach = share * (band.width_mm / 2 - band.edge_mm * 1.2)
    fine = np.linspace(-laid.finished.half_mm, laid.finished.half_mm, 20001)
    for name, stock in (("outside", 0.10), ("bore", 0.10)):
        chain, dry = getattr(laid.cast, name), getattr(laid.finished, name)
        far = np.hypot(dry.r(fine) - at(chain, reach)[0], fine - reach).min()
        # the finished face's points lie 0.45 um apart or less: half of it squared over 2 x 0.1
        assert far == pytest.approx(stock, abs=1e-6)
    assert laid.cast.half_mm == pytest.approx(laid.finished.half_mm + 0.15, abs=1e-12)


@pytest.mark.parametrize("edge", [0.0, 0.3])
def test_no_stock_is_the_finished_frame(edge: float) -> None:
    laid = ring(rings.form(edge=edge), [])
    assert laid.cast == laid.finished
