"""Where cuts change places, against closed forms."""

from __future__ import annotations

from dataclasses import replace
from math import asin, pi

import numpy as np
import pytest
from form import rings
from hypothesis import given, settings
from hypothesis import strategies as st

from ringgeom.form.kinks import almost, changes
from ringgeom.form.quadrature import kinks
from ringgeom.form.ring import ring
from ringgeom.form.taper import Eased, Taper
from ringgeom.form.wave import Wave


@settings(max_examples=300, deadline=None)
@given(
    amplitude=st.floats(0.05, 2.0),
    under=st.floats(1e-5, 0.2),
    turn=st.floats(0, 2 * pi),
    count=st.integers(1, 8),
)
def test_a_crest_that_just_passes_a_line_is_seen_between_two_angles(
    amplitude: float, under: float, turn: float, count: int
) -> None:
    """A sine over a line a little under its crest passes it twice, at its arcsine."""
    level = amplitude * (1 - under)
    # from a step before the turn to a step past it
    angles = pi / 48 / count * np.arange(-1, 96 * count + 2)

    def rows(at: np.ndarray) -> np.ndarray:
        wave = amplitude * np.sin(count * at + turn)
        return np.array([np.full(at.size, level), wave])

    while more := almost(rows(angles), angles):
        angles = np.unique(np.concatenate([angles, more]))
    found = changes(rows(angles))
    first, second = asin(level / amplitude), pi - asin(level / amplitude)
    turns = [x + 2 * pi * k for x in (first, second) for k in range(-1, count + 2)]
    true = (np.sort(turns) - turn) / count
    seen = np.sort(found[:, 2])
    for angle in true[(true > 0) & (true < 2 * pi)]:
        assert any(angles[at] <= angle <= angles[at + 1] for at in seen)
    assert len(seen) <= 2 * count + 4


@pytest.mark.parametrize("over", [0.3, 1e-2, 1e-4, 1e-6])
def test_kinks_of_a_wave_that_just_passes_a_line(over: float) -> None:
    """A channel's wall passes the boundary of a stripe at asin((line - wall) / amplitude)."""
    wave = Wave(amplitude_mm=0.5, count=3, phase=0.2)
    line = 1.2 + 0.5 * (1 - over)
    places = [
        rings.channel(1.4, 0.8, centre_mm=0.5, wave=rings.wave(0.5, 3, np.degrees(0.2))),
        rings.stripe(line, 3.0),
    ]
    found = kinks(ring(rings.FLAT, places), with_stock=False)
    true = [
        (x + 2 * pi * k - wave.phase) / 3 % (2 * pi)
        for x in (asin(1 - over), pi - asin(1 - over))
        for k in range(3)
    ]
    assert found == pytest.approx(np.sort(true), abs=1e-8)


def test_floors_that_change_their_order_as_the_band_narrows_part_it() -> None:
    """A depth shrinks with the band and a gap does not: 0.81 s - 0.15 = 0.62 s at s = 15/19."""
    narrows = Taper(width=Eased((0.0,), (4.31,)), thickness=Eased((0.0, pi), (1.6, 1.25)))
    form = rings.form(out=0.0, into=0.0, width=4.31, thickness=1.6)
    places = [
        rings.channel(2.9, 0.62),
        rings.segments(4, depth_mm=0.81, gap_mm={"side": 0.0, "floor": 0.15}),
    ]
    found = kinks(ring(replace(form, taper=narrows), places), with_stock=False)
    # half a cosine between the stations; within a nanometre of each other they are one
    share = (1 - 15 / 19) / (1 - 1.25 / 1.6)
    half = float(np.arccos(1 - 2 * share))
    for angle in (half, 2 * pi - half):
        assert np.abs(found - angle).min() < 1e-6
