"""A wave round a cylinder, judged by scipy's elliptic integral and by brute force.

Narrowest width, derived: a common normal of the edges z = A sin(k s) and z = w + A sin(k s) meets
equal slopes, so its feet are at a and b with cos k a = cos k b: b = a + m L is shortest as the
upright w at a crest, b = -a + m L is symmetric about a crossing. So the shortest lies among
(a, -a), where 4 a^2 + (w - 2 A sin k a)^2 has one minimum up to the crest.
"""

from __future__ import annotations

from math import atan, degrees, pi
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from judging.checks import judged
from judging.programs import SCIPY
from scipy.special import ellipe

from ringgeom.errors import InputError
from ringgeom.making.wave_path import wave_path


@given(st.floats(0, 5), st.integers(1, 40), st.floats(6, 15))
def test_length_by_the_elliptic_integral(amplitude: float, count: int, radius: float) -> None:
    """Derived: ds = R sqrt(1 + k^2 cos^2) over a turn is 4 R E(-k^2); scipy takes m below 0."""
    found = wave_path(amplitude_mm=amplitude, count=count, radius_mm=radius, band_width_mm=1)
    k = amplitude * count / radius
    exact = 4 * radius * ellipe(-(k**2))
    why = "both are closed forms, good to some 1e-15"
    judged(
        SCIPY,
        "length of a wave by its elliptic integral",
        found.length_mm,
        exact,
        rel=1e-12,
        why=why,
    )
    assert found.steepest_deg == pytest.approx(degrees(atan(k)), rel=1e-12)
    assert found.longer_percent >= -1e-12


def test_length_at_the_extremes() -> None:
    straight = wave_path(amplitude_mm=0, count=6, radius_mm=10, band_width_mm=2)
    assert straight.length_mm == pytest.approx(20 * pi, rel=1e-15)
    assert (straight.narrowest_mm, straight.tightest_mm) == (pytest.approx(2), None)
    steep = wave_path(amplitude_mm=1e5, count=6, radius_mm=10, band_width_mm=2)
    # so steep that it only goes up and down: 4 A n, over by a part in k^2 = 4e9 times its log
    assert steep.length_mm == pytest.approx(4 * 1e5 * 6, rel=1e-8)


@pytest.mark.parametrize(
    ("amplitude", "count", "radius", "width"),
    [(1.2, 6, 10.5, 2.0), (0.7, 8, 10.6, 2.4), (2.5, 12, 10.0, 1.0), (0.3, 3, 9.0, 4.0)],
)
def test_true_width_by_brute_force(
    amplitude: float, count: int, radius: float, width: float
) -> None:
    found = wave_path(amplitude_mm=amplitude, count=count, radius_mm=radius, band_width_mm=width)
    wave = 2 * pi * radius / count
    lower = np.linspace(0, wave, 801)
    upper = np.linspace(-wave, 2 * wave, 9001)

    def z(s: Any) -> Any:
        return amplitude * np.sin(count * s / radius)

    across = np.hypot(
        upper[None, :] - lower[:, None], width + z(upper)[None, :] - z(lower)[:, None]
    ).min(axis=1)
    # a foot is off by half a step, 0.007 mm at most; squared, over twice the least width of 0.32
    assert found.narrowest_mm == pytest.approx(across.min(), abs=8e-5)
    assert found.narrowest_mm <= across.min() + 1e-12
    assert found.widest_mm == pytest.approx(across.max(), abs=8e-5)


def test_a_narrow_band_is_as_wide_as_its_slope_says() -> None:
    """Derived: w cos(steepest) when the bend does not count; by 1e-4 at a width of 0.01."""
    found = wave_path(amplitude_mm=1.2, count=6, radius_mm=10.5, band_width_mm=0.01)
    slope = 1.2 * 6 / 10.5
    assert found.narrowest_mm == pytest.approx(0.01 / (1 + slope**2) ** 0.5, rel=1e-4)


def test_tightest_bend() -> None:
    """Derived: 1 / (A k^2) with k = 6 / 10.5."""
    found = wave_path(amplitude_mm=1.2, count=6, radius_mm=10.5, band_width_mm=2)
    assert found.tightest_mm == pytest.approx(10.5**2 / (1.2 * 36), rel=1e-12)


WAVE: dict[str, Any] = {"amplitude_mm": 1.2, "count": 6, "radius_mm": 10.5}


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"count": 6.5}, "their count is not whole; here 6.5; allowed: a whole number"),
        ({"count": 0}, "from 1 to 1000"),
        ({"count": True}, "here True"),
        ({"amplitude_mm": -1}, "the amplitude is not an allowance; here -1 mm"),
        ({"radius_mm": float("nan")}, "the radius"),
        ({"band_width_mm": 0}, "the band"),
    ],
)
def test_no_such_wave(change: dict[str, Any], words: str) -> None:
    with pytest.raises(InputError) as caught:
        wave_path(**{**WAVE, "band_width_mm": 2.0, **change})
    assert words in str(caught.value)
