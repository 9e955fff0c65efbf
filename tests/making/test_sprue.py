"""The sprue: its two rules on printed and computed sizes, and its volume as real metal."""

from __future__ import annotations

from math import pi

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ringgeom.form.curve import Arc, Flat
from ringgeom.form.measure import Build, build
from ringgeom.form.profiles import FlatFace
from ringgeom.form.ring import Stock, ring
from ringgeom.form.ring_form import RingForm
from ringgeom.form.section import BODY
from ringgeom.form.stand import Stand
from ringgeom.form.volume import Piece
from ringgeom.making.post import posts_mm3
from ringgeom.making.sprue import diameter_by_modulus, diameter_by_section, sprue
from ringgeom.shop import Casting


def volume(on: Stand, across: float, length: float) -> float:
    """Of one round sprue [mm3]."""
    one = np.array([on.radius_mm]), np.array([across]), np.array([across])
    return float(posts_mm3(on, *one, length)[0])


def flat_band(width: float, thickness: float) -> RingForm:
    return RingForm(
        inside_diameter_mm=18,
        width_mm=width,
        thickness_mm=thickness,
        outside=FlatFace(),
        inside=FlatFace(),
    )


@pytest.mark.parametrize(
    ("width", "thickness", "diameter"),
    [(4, 1.5, 2.62), (6, 2, 3.60), (8, 2, 3.84), (10, 2.5, 4.80)],
)
def test_diameter_by_modulus(width: float, thickness: float, diameter: float) -> None:
    """Derived: M = w t / (2 (w + t)) of a closed ring, d = 4 x 1.2 M = 2.4 w t / (w + t)."""
    measured = build(ring(flat_band(width, thickness), ()), Piece(BODY), with_stock=False)
    assert measured.modulus_mm == pytest.approx(
        width * thickness / (2 * (width + thickness)), rel=1e-12
    )
    found = diameter_by_modulus(measured.modulus_mm, 1.2)
    assert found == pytest.approx(2.4 * width * thickness / (width + thickness), rel=1e-12)
    assert round(found, 2) == diameter


@pytest.mark.parametrize(
    ("width", "thickness", "percent"), [(4, 1.5, 90), (6, 2, 85), (8, 2, 72), (10, 2.5, 72)]
)
def test_gate_area_of_those_sizes(width: float, thickness: float, percent: float) -> None:
    """Computed with the sizes above: within the rule's 70 to 150 % of the section (read)."""
    diameter = 2.4 * width * thickness / (width + thickness)
    share = 100 * (pi * diameter**2 / 4) / (width * thickness)
    assert share == pytest.approx(percent, abs=0.6)
    assert diameter_by_section(width * thickness, share) == pytest.approx(diameter, rel=1e-12)
    assert diameter_by_section(width * thickness, 70) <= diameter


def test_published_moduli() -> None:
    """Published arithmetic: V 500 over A 400 is 1.25; a plate 10 x 10 x 4 has 1.111 mm."""
    # area and perimeter of the plate's middle section, and its two ends, as a Build
    plate = Build(area_mm2=40, perimeter_mm=28, length_mm=10, ends=2, stand=stand(Flat(10.0)))
    assert plate.modulus_mm == pytest.approx(1.111, abs=0.0005)
    box = Build(area_mm2=50, perimeter_mm=30, length_mm=10, ends=2, stand=stand(Flat(10.0)))
    assert box.modulus_mm == pytest.approx(500 / 400, rel=1e-12)


def test_the_larger_rule_wins_and_both_are_shown() -> None:
    stocked = ring(flat_band(6, 2), (), Stock(outside_mm=0.1, bore_mm=0.1, edge_mm=0.15))
    measured = build(stocked, Piece(BODY), with_stock=True)
    for percent in (70.0, 150.0):
        found = sprue(measured, Casting(sprue_section_percent=percent), width_mm=6)
        assert found.diameter_mm == max(found.by_modulus_mm, found.by_section_mm)
    assert found.diameter_mm == found.by_section_mm


def test_wide_bands_take_two() -> None:
    """Common practice, no source: from 6 to 8 mm on; the default is 7."""
    for width, count in ((6.9, 1), (7.0, 2)):
        measured = build(ring(flat_band(width, 2), ()), Piece(BODY), with_stock=False)
        assert sprue(measured, Casting(), width_mm=width).count == count
    assert sprue(measured, Casting(sprue_count=3), width_mm=7).count == 3


def stand(curve: Flat | Arc, z: float = 0.0) -> Stand:
    radius = float(curve.r(np.array([z]))[0])
    return Stand(z_mm=z, width_mm=6, radius_mm=radius, depth_mm=2, curve=curve, angle=0.0)


def test_volume_on_a_cylinder() -> None:
    """Derived: the rod plus the saddle, integrated here in strips instead of rings."""
    radius, across, length = 10.0, 3.6, 12.0
    y, weights = np.polynomial.legendre.leggauss(400)
    y, weights = y * across / 2, weights * across / 2
    chord = 2 * np.sqrt((across / 2) ** 2 - y**2)
    saddle = float(weights @ (chord * (radius - np.sqrt(radius**2 - y**2))))
    expected = pi * across**2 / 4 * length + saddle
    # the strips' rule meets a square root at its ends: good to 1e-7
    assert volume(stand(Flat(radius)), across, length) == pytest.approx(expected, rel=1e-7)
    assert saddle == pytest.approx(pi * (across / 2) ** 4 / (8 * radius), rel=0.01)


@settings(max_examples=40, deadline=None)
@given(
    across=st.floats(0.5, 4.0),
    length=st.floats(3, 40),
    bend=st.floats(4.0, 60.0),
    z=st.floats(-1.5, 1.5),
)
def test_volume_is_the_rod_and_a_small_saddle(
    across: float, length: float, bend: float, z: float
) -> None:
    found = volume(stand(Arc(10.5, 0.0, bend, 1), z), across, length)
    rod = pi * across**2 / 4 * length
    # off the crest one side of the saddle is as much deeper as the other is shallower
    assert rod < found < rod * (1 + across / length)
