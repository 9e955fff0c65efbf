"""Curves of the section: integrals against quadrature, offsets, crossings, sampling."""

from __future__ import annotations

from math import pi, sqrt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ringgeom.form.curve import SMALL_ANGLE, Arc, Curve, Flat, chord_angle
from ringgeom.form.profiles import Domed, Face
from ringgeom.form.slope import Slope

EXAMPLES = settings(max_examples=60, deadline=None, derandomize=True)

NODES, WEIGHTS = np.polynomial.legendre.leggauss(60)

# Sixty terms of some 100 mm2 each, rounded: the quadrature itself is no better.
ROUNDING = 1e-13


def by_gauss(curve: Curve, z0: float, z1: float) -> float:
    """Integral of r^2/2; z is the sine of an even angle, so that arcs may end upright."""
    share, slope = 0.5 * (1 + np.sin(pi / 2 * NODES)), pi / 4 * np.cos(pi / 2 * NODES)
    r = curve.r(z0 + (z1 - z0) * share)
    return float((z1 - z0) * ((0.5 * r**2 * slope) @ WEIGHTS))


def between(curve: Curve, z0: float, z1: float) -> float:
    start, end = curve.half_r2(np.array([z0, z1]))
    return float(end - start)


def dome(rise: float, half: float, crest: float = 10.0, side: int = 1, z: float = 0.0) -> Arc:
    return Arc(crest, z, (half**2 + rise**2) / (2 * rise), side)


def lean(r0: float = 9.0, z0: float = 1.0, slope: float = -4.0) -> Slope:
    return Slope(np.array([r0]), np.array([z0]), np.array([slope]))


CURVES: dict[str, Curve] = {
    "flat": Flat(10.575),
    "slope": lean(),
    "outside dome": dome(0.35, 3.0),
    "bore dome": dome(0.25, 3.0, 8.675, -1),
    "all but flat": dome(1e-5, 3.0),
    "all but flat bore": dome(1e-5, 3.0, 8.675, -1),
    "half circle": dome(3.0, 3.0),
    "half circle bore": dome(3.0, 3.0, 8.675, -1),
    "off centre": dome(0.8, 3.5, z=0.7),
}


@pytest.mark.parametrize("name", CURVES)
@pytest.mark.parametrize(("z0", "z1"), [(-2.8, 3.0), (0.0, 1e-3), (-1.7, -0.2), (2.0, 2.999)])
def test_half_r2_is_the_integral(name: str, z0: float, z1: float) -> None:
    curve = CURVES[name]
    expected = by_gauss(curve, z0, z1)
    # the antiderivative is some 150 mm3; a difference of two of them rounds by that
    assert between(curve, z0, z1) == pytest.approx(expected, rel=ROUNDING, abs=150 * 4e-16)


@EXAMPLES
@given(
    rise=st.floats(1e-5, 1.0),
    half=st.floats(1.0, 6.0),
    crest=st.floats(7.0, 15.0),
    side=st.sampled_from([-1, 1]),
    ends=st.tuples(st.floats(-1, 1), st.floats(-1, 1)),
)
def test_half_r2_of_any_dome(
    rise: float, half: float, crest: float, side: int, ends: tuple[float, float]
) -> None:
    rise = min(rise, half)
    arc = dome(rise, half, crest, side)
    z0, z1 = (half * end for end in ends)
    # terms of bend^3/2 x angle, at most 1000 mm3 where the closed form is used, round by 2e-16
    expected = by_gauss(arc, z0, z1)
    assert between(arc, z0, z1) == pytest.approx(expected, rel=ROUNDING, abs=5e-12)


@pytest.mark.parametrize("bend", [2.0, 13.0, 60.0, 160.0])
@pytest.mark.parametrize("side", [-1, 1])
def test_the_series_joins_the_closed_form(bend: float, side: int) -> None:
    """Just below and just above the angle where one takes over; bend 160 is a band 16 wide."""
    arc = Arc(10.0, 0.0, bend, side)
    u = bend * SMALL_ANGLE
    below, above = u * (1 - 1e-9), u * (1 + 1e-9)
    step = float(arc.r(np.array([u]))[0] ** 2) / 2 * (above - below)
    # relative to the integral itself; the step over the join is taken off
    join = between(arc, below, above) - step
    assert abs(join) < 1e-13 * float(arc.half_r2(np.array([u]))[0])


def test_the_closed_form_alone_would_cancel() -> None:
    """Why there is a series: r^2/2 = x sqrt(1-x^2) and so on loses its digits on a flat arc."""
    arc = dome(2e-6, 3.0)
    x = 3.0 / arc.bend_mm
    closed = 0.5 * (x * sqrt(1 - x * x) + np.arcsin(x)) - x
    plain = 0.5 * arc.crest_mm**2 * 3.0 + arc.crest_mm * arc.bend_mm**2 * closed
    exact = by_gauss(arc, 0.0, 3.0)
    assert abs(plain - exact) > 1e-9
    assert between(arc, 0.0, 3.0) == pytest.approx(exact, rel=ROUNDING)


@pytest.mark.parametrize("name", CURVES)
def test_raised_keeps_the_form(name: str) -> None:
    curve, z = CURVES[name], np.linspace(-2.5, 2.5, 11)
    # one addition
    assert curve.raised(0.3).r(z) == pytest.approx(curve.r(z) + 0.3, abs=1e-14)


@pytest.mark.parametrize("name", CURVES)
@pytest.mark.parametrize("by", [0.1, -0.2])
def test_an_offset_curve_is_equally_far_everywhere(name: str, by: float) -> None:
    """Distance from each point of the offset curve to a fine polyline of the curve."""
    curve = CURVES[name]
    other = curve.offset(by)
    z = np.linspace(-1.5, 1.5, 7)
    fine = np.linspace(-2.9, 2.9, 58001)
    radii = curve.r(fine)
    far = [float(np.hypot(radii - r, fine - at).min()) for r, at in zip(other.r(z), z, strict=True)]
    # the polyline's points lie 0.1 micrometre apart along z, at most 1 um along a slope of 4:
    # the nearest misses the foot by half of that, and 0.1 mm away that is 3 nm of distance
    assert far == pytest.approx([abs(by)] * z.size, abs=5e-6)
    assert ((other.r(z) - curve.r(z)) * by > 0).all()


def test_lengths() -> None:
    assert Flat(9.0).length_mm(-1.0, 2.0) == 3.0
    assert lean(slope=-0.75).length_mm(0.0, 2.0) == pytest.approx(2.5, rel=1e-15)  # 3-4-5
    assert dome(2.0, 2.0).length_mm(-2.0, 2.0) == pytest.approx(2 * pi, rel=1e-15)  # half circle
    arc = dome(0.35, 3.0)
    z = np.linspace(-3.0, 1.0, 20001)
    polyline = float(np.hypot(np.diff(z), np.diff(arc.r(z))).sum())
    # chords of 0.2 um on a bend of 13 mm are short by 1e-11 of it
    assert arc.length_mm(-3.0, 1.0) == pytest.approx(polyline, rel=1e-10)


@EXAMPLES
@given(
    rise=st.floats(1e-3, 2.0),
    radius_share=st.floats(0.01, 0.99),
    side=st.sampled_from([-1, 1]),
    z=st.floats(-1, 1),
)
def test_crossings_lie_on_the_arc(rise: float, radius_share: float, side: int, z: float) -> None:
    arc = dome(rise, 3.0, 10.0, side, z)
    radius = 10.0 - side * rise * radius_share
    low, high = arc.crossings_mm(radius)
    # the root of a sagitta of micrometres: half its digits are lost in 10 - 9.99
    assert arc.r(np.array([low, high])) == pytest.approx([radius, radius], abs=1e-13)
    assert (low + high) / 2 == pytest.approx(z, abs=1e-14 * arc.bend_mm)
    assert low < z < high


@pytest.mark.parametrize("side", [-1, 1])
def test_no_crossing_beyond_the_arc(side: int) -> None:
    arc = Arc(10.0, 0.0, 2.0, side)
    assert arc.crossings_mm(10.0 + side * 0.1) == ()
    assert arc.crossings_mm(10.0) == ()
    assert arc.crossings_mm(10.0 - side * 2.1) == ()


@pytest.mark.parametrize("name", CURVES)
@pytest.mark.parametrize("chord", [0.02, 0.005, 0.001])
def test_points_keep_the_chord(name: str, chord: float) -> None:
    curve = CURVES[name]
    z0, z1 = np.array([-2.3]), np.array([2.9])
    steps = curve.steps(z0, z1, chord)
    r, z = curve.points(z0, z1, steps)
    assert r.shape == z.shape == (steps + 1, 1)
    assert z[0] == z0
    assert z[-1] == z1
    assert (r == curve.r(z)).all()
    missed = _sagittas(curve, r[:, 0], z[:, 0])
    # 2e-16 of the bend of 4.5e5 mm of the flattest arc
    assert missed.max() <= chord * (1 + 1e-9) + 1e-10
    if steps > 1:
        # one step fewer would be too coarse: the setting is used, not undercut
        coarse = _sagittas(curve, *(some[:, 0] for some in curve.points(z0, z1, steps - 1)))
        assert coarse.max() > chord


def _sagittas(curve: Curve, r: np.ndarray, z: np.ndarray) -> np.ndarray:
    """Distance of each chord's middle from the curve."""
    if not isinstance(curve, Arc):
        return np.abs(curve.r(0.5 * (z[1:] + z[:-1])) - 0.5 * (r[1:] + r[:-1]))
    middle_r, middle_z = 0.5 * (r[1:] + r[:-1]), 0.5 * (z[1:] + z[:-1])
    return curve.bend_mm - np.hypot(middle_r - curve.centre_mm, middle_z - curve.z_mm)


def test_points_between_moving_ends() -> None:
    """Ends that move with the angle: every column is sampled between its own ends."""
    arc = dome(0.35, 3.0)
    z0, z1 = np.array([-1.0, -0.5, 0.0]), np.array([1.0, 2.0, 2.5])
    steps = arc.steps(z0, z1, 0.005)
    r, z = arc.points(z0, z1, steps)
    assert r.shape == z.shape == (steps + 1, 3)
    assert (z[0] == z0).all()
    assert (z[-1] == z1).all()
    for column in range(3):
        assert _sagittas(arc, r[:, column], z[:, column]).max() <= 0.005 * (1 + 1e-9)


@EXAMPLES
@given(radius=st.floats(0.05, 50), share=st.floats(1e-6, 0.99))
def test_chord_angle(radius: float, share: float) -> None:
    chord = radius * share
    # r (1 - cos(a/2)), written without its cancellation
    sagitta = 2 * radius * np.sin(chord_angle(radius, chord) / 4) ** 2
    assert sagitta == pytest.approx(chord, rel=1e-9)


def test_a_chord_longer_than_the_radius_still_turns() -> None:
    assert chord_angle(0.004, 0.005) == 1.0


def test_segments_for_five_micrometres() -> None:
    """N = ceil(pi / acos(1 - tol/r)) at r = 10: 100 for 5 um, 158 for 2, 223 for 1; computed."""
    counts = [int(np.ceil(2 * pi / chord_angle(10.0, c) - 1e-9)) for c in (0.005, 0.002, 0.001)]
    assert counts == [100, 158, 223]


@EXAMPLES
@given(rise=st.floats(1e-4, 2.9), half=st.floats(3.0, 8.0))
def test_a_dome_has_its_rise(rise: float, half: float) -> None:
    for side in (-1, 1):
        face = Face(crest_mm=10.0, half_mm=half, side=side, edge_room_mm=9.0)
        (curve,) = Domed(form="domed", rise_mm=rise).drawn(face).curves
        assert isinstance(curve, Arc)
        # one root and one division of some 10 mm
        assert curve.r(np.array([-half, half])) == pytest.approx([10 - side * rise] * 2, abs=1e-12)


def test_no_rise_is_flat() -> None:
    face = Face(crest_mm=10.0, half_mm=3.0, side=1, edge_room_mm=2.0)
    assert Domed(form="domed", rise_mm=0.0).drawn(face).curves == (Flat(10.0),)
