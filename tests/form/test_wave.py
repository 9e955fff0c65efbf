"""Waves: the sine itself, whole counts, and the wall seen along a slanted cut."""

from __future__ import annotations

from math import pi

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from ringgeom.form.wave import Wave

EXAMPLES = settings(max_examples=80, deadline=None, derandomize=True)

AMPLITUDES = st.floats(0.05, 3.0)
COUNTS = st.integers(1, 40)
PHASES = st.floats(-10, 10)
ANGLES = np.linspace(0, 2 * pi, 97)


def test_the_formula() -> None:
    """z = amplitude sin(count angle + phase), at angles whose sines are known."""
    wave = Wave(0.8, 3, pi / 6)
    at = np.array([-pi / 18, 0.0, pi / 9, pi / 3])
    # sines of 0, 30, 90 and 210 degrees
    assert wave.z(at) == pytest.approx([0.0, 0.4, 0.8, -0.4], abs=1e-15)


@EXAMPLES
@given(amplitude=AMPLITUDES, count=COUNTS, phase=PHASES)
def test_whole_counts_close(amplitude: float, count: int, phase: float) -> None:
    wave = Wave(amplitude, count, phase)
    angles = np.linspace(0, 0.3, 7)
    # sine of an angle of 40 x 2 pi keeps 13 digits
    assert wave.z(angles + 2 * pi) == pytest.approx(wave.z(angles), abs=1e-12)
    assert wave.z(angles + 2 * pi / count) == pytest.approx(wave.z(angles), abs=1e-12)
    even = 2 * pi / (4 * count) * np.arange(4 * count)
    assert float(wave.z(even).sum()) == pytest.approx(0.0, abs=1e-11)


@EXAMPLES
@given(amplitude=AMPLITUDES, count=COUNTS, phase=PHASES)
def test_the_steepest_slope(amplitude: float, count: int, phase: float) -> None:
    wave = Wave(amplitude, count, phase)
    fine = np.linspace(0, 2 * pi, 400 * count + 1)
    slopes = np.abs(np.diff(wave.z(fine))) / np.diff(fine)
    # a chord over 1/400 of a wave is flatter than its steepest tangent by (pi/400)^2/6 at most
    assert slopes.max() == pytest.approx(wave.steepest(), rel=5e-5)
    assert slopes.max() <= wave.steepest() * (1 + 1e-9)


@EXAMPLES
@given(
    amplitude=AMPLITUDES,
    count=COUNTS,
    phase=PHASES,
    at=st.floats(-3, 3),
    twist=st.floats(-0.3, 0.3),
)
def test_a_slanted_cut_meets_the_wall(
    amplitude: float, count: int, phase: float, at: float, twist: float
) -> None:
    """On the cut angle = start + twist z, the z found lies on the wall at its own angle."""
    wave = Wave(amplitude, count, phase)
    assume(wave.steepest() * abs(twist) < 0.95)
    z = wave.on_slant(at, ANGLES, twist)
    # a rounding of z is turned into count x twist of itself by the sine
    assert z == pytest.approx(at + wave.z(ANGLES + twist * z), abs=1e-12)
    assert (np.abs(z - at) <= amplitude * (1 + 1e-12)).all()


def test_on_a_straight_cut_it_is_the_wave() -> None:
    wave = Wave(0.7, 8, 0.3)
    assert (wave.on_slant(0.5, ANGLES, 0.0) == 0.5 + wave.z(ANGLES)).all()


@EXAMPLES
@given(amplitude=AMPLITUDES, count=COUNTS, twist=st.floats(-0.3, 0.3))
def test_order_is_kept_along_a_slanted_cut(amplitude: float, count: int, twist: float) -> None:
    """Two walls side by side never change places, however the cut is slanted."""
    wave = Wave(amplitude, count, 0.0)
    assume(wave.steepest() * abs(twist) < 0.95)
    apart = wave.on_slant(0.3, ANGLES, twist) - wave.on_slant(0.0, ANGLES, twist)
    # slopes between 1/(1 + 0.95) and 1/(1 - 0.95) of the distance
    assert (apart > 0.3 / 1.95 - 1e-12).all()
    assert (apart < 0.3 / 0.05).all()
