"""Templates of the outside and the bore: every line is where the section has its boundary."""

from __future__ import annotations

from functools import partial
from math import pi, radians, tan
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

import ringgeom as rg
from ringgeom.design import Design
from ringgeom.making.roll import CHORD_MM, Roll
from ringgeom.making.unrolled import Line, Unrolled

YELLOW, GREEN = "gold-750-yellow-3n", "gold-750-green"


def templates(*parts: dict[str, Any], body: bool = True) -> dict[str, Unrolled]:
    asked: dict[str, Any] = {
        "job": {"name": "Trial"},
        "ring": {"size": "18 mm across", "width_mm": 6.0, "thickness_mm": 2.0},
        "part": list(parts),
    }
    if body:
        asked["body"] = {"alloy": YELLOW}
    bench = rg.job(Design.model_validate(asked)).bench()
    assert bench is not None
    return {one.side: one for one in bench.templates}


def channel(**keys: Any) -> dict[str, Any]:
    plain = {"name": "inlay", "place": "channel", "alloy": GREEN, "width_mm": 2.0, "depth_mm": 0.8}
    return {**plain, **keys}


def line(of: Unrolled, number: int, kind: str = "wall") -> Line:
    return next(one for one in of.lines if one.number == number and one.kind == kind)


@given(
    st.floats(0.0, 1.2),
    st.integers(1, 9),
    st.floats(-400, 400),
)
def test_a_wave_is_drawn_within_its_chord(amplitude: float, count: int, phase: float) -> None:
    wave = {"amplitude_mm": amplitude, "count": count, "phase_deg": phase}
    outside = templates(channel(wave=wave))["outside"]
    s, z = np.array(line(outside, 2).points).T
    assert (s[0], s[-1]) == (0.0, pytest.approx(2 * pi * 11, rel=1e-15))
    assert (np.diff(s) > 0).all()

    def true(at: np.ndarray[Any, Any]) -> np.ndarray[Any, Any]:
        return 1.0 + amplitude * np.sin(count * at / 11 + radians(phase))

    # a wave below a tenth of a micrometre counts as none
    assert z == pytest.approx(true(s), abs=1.1e-4 if amplitude < 1e-4 else 1e-9)
    fine = np.linspace(0, 2 * pi * 11, 20001)
    off = np.abs(np.interp(fine, s, z) - true(fine)).max()
    assert off <= CHORD_MM * (1 + 1e-9)
    if amplitude >= 1e-3:
        # crests are among the points
        assert z.max() == pytest.approx(1.0 + amplitude, abs=1e-9)


def test_segments_are_slanted_lines_longer_outside_than_in_the_bore() -> None:
    """Derived: a joint leans by tan(slant) per mm outside; a radial face leans less inside."""
    found = templates(
        {
            "name": "plank",
            "place": "segments",
            "alloys": [YELLOW, GREEN],
            "count": 6,
            "slant_deg": 25,
        },
        body=False,
    )
    for side, radius in (("outside", 11.0), ("bore", 9.0)):
        joints = [one for one in found[side].lines if one.kind == "joint"]
        assert [one.number for one in joints] == [1, 2, 3, 4, 5, 6]
        (s0, z0), (s1, z1) = joints[0].points
        assert (z0, z1) == (-3.0, 3.0)
        assert s1 - s0 == pytest.approx(6 * tan(radians(25)) * radius / 11, rel=1e-12)
        middles = [0.5 * (one.points[0][0] + one.points[1][0]) for one in joints]
        assert np.diff(middles) == pytest.approx(2 * pi * radius / 6, rel=1e-12)


def test_what_does_not_come_to_the_bore_is_not_drawn_there() -> None:
    stripe = {"name": "side", "place": "stripe", "alloy": GREEN, "from_mm": 1.0, "to_mm": 3.0}
    liner = {"name": "liner", "place": "liner", "alloy": GREEN, "thickness_mm": 0.6}
    found = templates(channel(centre_mm=-1.5, width_mm=1.0), stripe)
    assert {one.of for one in found["outside"].lines} == {"inlay", "side"}
    # the stripe's other boundary is the band's own edge
    assert [(one.of, one.points[0][1]) for one in found["bore"].lines] == [("side", 1.0)]
    assert templates(liner, stripe)["bore"].lines == ()


def test_template_is_as_long_as_the_ring_round(design_file: Path, job_of: Any) -> None:
    job = job_of(design_file)
    bench = job.bench()
    assert bench is not None
    outside, bore = bench.templates
    assert bore.around_mm == pytest.approx(pi * job.made.inside_diameter_mm, rel=1e-12)
    taper = job.design.ring.tapered
    thick = job.form.thickness_mm
    if taper is not None:
        # by the trapezoid, which is exact to 1e-7 on what repeats smoothly
        thick = float(np.mean([taper.at(2 * pi * k / 7200)[1] for k in range(7200)]))
    assert outside.around_mm == pytest.approx(
        bore.around_mm + 2 * pi * thick, rel=1e-12 if taper is None else 1e-7
    )


def short_mm(roll: Roll, at_mm: float, angle: float) -> float:
    """How far an angle lies beyond a place of the template."""
    return roll.s(angle) - at_mm


def test_walls_are_the_sections_own_boundaries(design_file: Path, job_of: Any) -> None:
    """At any angle the partition has a cut where the template has its line."""
    job = job_of(design_file)
    ring = job.ring
    if ring.twist:
        return  # the section is cut along the slant there, not square
    for one in job.bench().templates[:1]:
        for drawn in one.lines:
            if drawn.kind != "wall":
                continue
            s, z = np.array(drawn.points).T
            angles = s / (one.diameter_mm / 2)
            if ring.form.taper is not None:
                roll = Roll(form=ring.form)
                angles = np.array(
                    [brentq(partial(short_mm, roll, at), 0, 2 * pi, xtol=1e-14) for at in s]
                )
            pick = slice(0, len(angles) - 1, max(1, len(angles) // 7))
            for at, height in zip(angles[pick], z[pick], strict=True):
                ((_, section),) = ring.sections(np.array([at]))
                assert np.abs(section.cuts[:, 0] - height).min() < 1e-9
