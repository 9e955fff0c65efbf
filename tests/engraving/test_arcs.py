"""Arcs as cubics: how far they deviate, and where an arc told by its ends lies."""

from __future__ import annotations

from math import cos, pi, sin, tan

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from judging.checks import judged
from judging.programs import SVGPATHTOOLS
from svgpathtools import Arc as RefereeArc

from ringgeom.engraving.arcs import WITHIN_MM, arc, closed, disc, through_ends


@given(turn=st.floats(0.01, pi / 2))
@settings(max_examples=40, deadline=None)
def test_deviation_of_a_cubic_from_a_unit_circle(turn: float) -> None:
    """Derived: with handles 4/3 tan(t/4) the radius exceeds 1 by 2/27 sin^6 / cos^2 of t/4."""
    h = 4 / 3 * tan(turn / 4)
    a = np.array([(1, 0), (1, h), (cos(turn) + h * sin(turn), sin(turn) - h * cos(turn))])
    points = np.vstack([a, [(cos(turn), sin(turn))]])
    t = np.linspace(0, 1, 2001)[:, None]
    at = (1 - t) ** 3 * points[0] + 3 * t * (1 - t) ** 2 * points[1]
    at = at + 3 * t * t * (1 - t) * points[2] + t**3 * points[3]
    off = np.hypot(*at.T) - 1
    bound = 2 / 27 * sin(turn / 4) ** 6 / cos(turn / 4) ** 2
    # 4/27 of the radius squared is half as much of the radius; rounding adds some 1e-15
    assert off.min() > -1e-14
    assert bound * 0.99 - 1e-14 < off.max() < bound * 1.01 + 1e-14


@given(
    radii=st.tuples(st.floats(0.01, 50), st.floats(0.01, 50)),
    start=st.floats(-7, 7),
    turn=st.floats(-2 * pi, 2 * pi).filter(lambda t: abs(t) > 0.01),
    tilt=st.floats(-4, 4),
)
@settings(max_examples=80, deadline=None)
def test_on_the_ellipse_within_a_nanometre(
    radii: tuple[float, float], start: float, turn: float, tilt: float
) -> None:
    found = arc((1.0, -2.0), radii, start, turn, tilt=tilt)
    t = np.linspace(0, 1, 41)
    at = np.vstack([stroke.at(t) for stroke in found]) - np.array([1.0, -2.0])
    back = at @ np.array([(cos(tilt), -sin(tilt)), (sin(tilt), cos(tilt))]) / np.array(radii)
    off = np.abs(np.hypot(*back.T) - 1) * max(radii)
    assert off.max() < WITHIN_MM * 1.001 + 1e-12
    assert found[0].start == pytest.approx(tuple(_on(radii, start, tilt)), abs=1e-9)
    assert found[-1].end == pytest.approx(tuple(_on(radii, start + turn, tilt)), abs=1e-9)


def _on(radii: tuple[float, float], angle: float, tilt: float) -> list[float]:
    x, y = radii[0] * cos(angle), radii[1] * sin(angle)
    return [x * cos(tilt) - y * sin(tilt) + 1, x * sin(tilt) + y * cos(tilt) - 2]


def test_a_disc_has_its_area() -> None:
    """pi r^2; cubics lie outside by up to a nanometre all round, so by 2 pi r 1e-6 at most."""
    found = disc((3.0, 4.0), 2.0)
    assert 0 <= found.area_mm2 - 4 * pi < 4 * pi * WITHIN_MM
    assert all(a.end == b.start for a, b in zip(found.loops[0], found.loops[0][1:], strict=False))
    assert closed(found.loops[0])[-1].end == found.loops[0][0].start


@given(
    start=st.tuples(st.integers(-20, 20), st.integers(-20, 20)),
    end=st.tuples(st.integers(-20, 20), st.integers(-20, 20)),
    radii=st.tuples(st.integers(1, 30), st.integers(1, 30)),
    tilt_deg=st.integers(-180, 180),
    large=st.booleans(),
    sweep=st.booleans(),
)
@settings(max_examples=150, deadline=None)
def test_arcs_told_by_their_ends_against_another_library(
    start: tuple[int, int],
    end: tuple[int, int],
    radii: tuple[int, int],
    tilt_deg: int,
    large: bool,
    sweep: bool,
) -> None:
    if start == end:
        return
    found = through_ends(start, end, radii, tilt=np.radians(tilt_deg), large=large, sweep=sweep)
    referee = RefereeArc(complex(*start), complex(*radii), tilt_deg, large, sweep, complex(*end))
    if abs(referee.delta) % 180 < 1e-3 or 180 - abs(referee.delta) % 180 < 1e-3:
        return  # half a turn: which of the two halves is meant hangs on rounding
    assert found[0].start == start
    assert found[-1].end == end
    count = len(found)
    for k, stroke in enumerate(found):
        middle = stroke.at(np.array([0.5]))[0]
        point = referee.point((k + 0.5) / count)
        size = max(referee.radius.real, referee.radius.imag)
        judged(
            SVGPATHTOOLS,
            "points of arcs, over the longer half axis",
            middle / size,
            np.array([point.real, point.imag]) / size,
            abs=1e-5,
            why="it works in single steps of trigonometry; both are good to 1e-6",
        )
