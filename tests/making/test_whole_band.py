"""The whole band: followed to the letter, its largest measures meet their limits exactly."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

import ringgeom as rg
from ringgeom.design import Design
from ringgeom.making.whole_band import Room

EXACT = 1e-9
"""Sums of a few decimals: rounding only [mm]."""


def ring(*parts: dict[str, Any], **keys: Any) -> rg.Job:
    plain = {"size": "18 mm across", "width_mm": 6.0, "thickness_mm": 2.2}
    return rg.job(
        Design.model_validate(
            {
                "job": {"name": "Trial"},
                "ring": {**plain, **keys},
                "body": {"alloy": "gold-750-yellow-3n"},
                "part": list(parts),
            }
        )
    )


def channel(**keys: Any) -> dict[str, Any]:
    plain = {
        "name": "inlay",
        "place": "channel",
        "alloy": "gold-750-green",
        "width_mm": 2.0,
        "depth_mm": 0.8,
    }
    return {**plain, **keys}


def liner(**keys: Any) -> dict[str, Any]:
    plain = {"name": "liner", "place": "liner", "alloy": "silver-925", "thickness_mm": 0.5}
    return {**plain, **keys}


def room(job: rg.Job, part: str) -> Room:
    assert job.band is not None
    return next(one for one in job.band.rooms if one.part == part)


@settings(max_examples=40)
@given(st.floats(0, 0.3), st.floats(-1.4, 1.4), st.floats(0.5, 1.2), st.floats(0, 0.5))
def test_the_deepest_safe_channel_leaves_the_limit(
    dome: float, centre: float, depth: float, amplitude: float
) -> None:
    """Derived: made as deep as it may be, its floor is the limit's 0.8 at the thinnest place."""
    wave = {"amplitude_mm": amplitude, "count": 5}
    bore = {"form": "domed", "rise_mm": dome}
    first = ring(channel(depth_mm=depth, centre_mm=centre, wave=wave), inside=bore)
    assume(not first.stopped)
    most = room(first, "inlay").most_mm
    again = ring(channel(depth_mm=most, centre_mm=centre, wave=wave), inside=bore)
    assume(not again.stopped)
    found = room(again, "inlay")
    # the wave is looked at at 64 angles of each period, the same both times
    assert found.left_mm == pytest.approx(0.8, abs=EXACT)
    assert found.most_mm == pytest.approx(most, abs=EXACT)
    assert not any(finding.code == "thin-floor" for finding in again.findings)


@pytest.mark.parametrize(
    ("parts", "limit"),
    [((liner(),), 0.7), ((liner(gap_mm=0.05),), 0.7), ((liner(), channel(depth_mm=0.5)), 0.8)],
)
def test_the_thickest_safe_liner_leaves_the_limit(
    parts: tuple[dict[str, Any], ...], limit: float
) -> None:
    """Over it stay a castable wall, at the edges of a dome too, or the floor of an inlay."""
    dome = {"form": "domed", "rise_mm": 0.3}
    found = room(ring(*parts, outside=dome), "liner")
    assert found.limit_mm == limit
    thick = {**parts[0], "thickness_mm": found.most_mm}
    again = room(ring(thick, *parts[1:], outside=dome), "liner")
    assert again.left_mm == pytest.approx(limit, abs=EXACT)


def test_thickness_and_bending() -> None:
    """Derived: 2.2 on 18 is 2.2 / 20.2 of stretch; domes of 0.3 and 0.2 thin the edges to 1.7."""
    job = ring(
        channel(),
        outside={"form": "domed", "rise_mm": 0.3},
        inside={"form": "domed", "rise_mm": 0.2},
    )
    band = job.band
    assert band is not None
    assert band.centre_mm == 2.2
    assert band.edge_mm == pytest.approx(1.7, abs=EXACT)
    assert band.bent_percent == pytest.approx(100 * 2.2 / 20.2, rel=1e-12)
    assert any("domed bore" in words for words in band.advice)


def test_rails_are_told_at_the_crest() -> None:
    """Derived: a rail of 2 mm beside a wave of 0.7 is 1.3 at its crest."""
    band = ring(channel(wave={"amplitude_mm": 0.7, "count": 6})).band
    assert band is not None
    (rail,) = band.rails
    # looked at at 64 angles of each period: the crest is among them to 0.7 (1 - cos(pi / 64))
    assert rail.width_mm == pytest.approx(1.3, abs=0.7 * 0.0013)
    assert "crest" in rail.where


def test_wide_bands_are_told_and_allowed_for_once() -> None:
    wide = rg.Shop.model_validate({"fit": {"wide_band": True}})
    plain = rg.job(ring(channel(), width_mm=8.0).design)
    made = rg.job(plain.design, wide)
    assert plain.band is not None
    assert made.band is not None
    assert "is not made" in plain.band.advice[0]
    assert "is made" in made.band.advice[0]
    assert ring(channel(), width_mm=5.0).band.advice == ()  # type: ignore[union-attr]


def test_every_design_has_a_band(design_file: Path, job_of: Any) -> None:
    job = job_of(design_file)
    warned = {(f.code, f.part) for f in job.findings}
    for one in job.band.rooms:
        if one.what == "depth":
            assert (one.left_mm < one.limit_mm - EXACT) == (("thin-floor", one.part) in warned)
    for rail in job.band.rails:
        assert (rail.width_mm < rail.limit_mm - EXACT) == (("thin-rail", rail.part) in warned)
