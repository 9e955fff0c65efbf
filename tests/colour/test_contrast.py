"""Verdicts on two metals side by side."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

import ringgeom as rg
from ringgeom.colour import Contrast, colour, contrast, verdict
from ringgeom.metal import alloy_from_recipe, alloy_from_text

DESIGN = Path(__file__).parents[2] / "designs" / "heron.toml"


def pair(first: str, second: str) -> Contrast:
    return contrast(colour(alloy_from_text(first)), colour(alloy_from_text(second)))


@pytest.mark.parametrize(
    ("first", "second", "expected"),
    [
        ("Au 75 Ag 12.5 Cu 12.5", "Au 75 Ag 25", 7.1),
        ("Au 75 Ag 15.5 Cu 9.5", "Au 75 Ag 12.5 Cu 12.5", 1.7),
        ("Au 75 Ag 12.5 Cu 12.5", "Au 75 Ag 5 Cu 20", 4.6),
        ("Au 75 Ag 12.5 Cu 12.5", "Au 75 Pd 15 Ag 10", 9.1),
    ],
)
def test_pairs_of_the_model(first: str, second: str, expected: float) -> None:
    """As handed down with the model, printed to 0.1; a guard, not a proof."""
    assert pair(first, second).delta_e_00_d65 == pytest.approx(expected, abs=0.06)


def test_contrast_shrinks_under_a_lamp() -> None:
    """3N with 75/25: 7.1 in daylight, 5.8 under illuminant A."""
    found = pair("Au 75 Ag 12.5 Cu 12.5", "Au 75 Ag 25")
    assert found.delta_e_00_a == pytest.approx(5.8, abs=0.06)


def test_words_and_doubt() -> None:
    assert [verdict(d) for d in (0.5, 2.0, 5.0, 5.1)] == [
        "will blend",
        "visible side by side",
        "visible side by side",
        "reads as two colours",
    ]
    assert pair("Au 75 Ag 15.5 Cu 9.5", "Au 75 Ag 12.5 Cu 12.5").uncertain
    assert not pair("Au 75 Ag 12.5 Cu 12.5", "Au 75 Ag 25").uncertain


def test_green_reads_only_beside_another() -> None:
    beside_red = pair("Au 75 Ag 5 Cu 20", "Au 75 Ag 25")
    assert beside_red.reads_green == 1
    assert pair("Au 75 Ag 25", "Au 75 Ag 25").reads_green is None


def test_a_measured_colour_wins() -> None:
    measured = alloy_from_recipe("Own", {"Au": 75, "Ag": 25}, lab=(90.0, 3.0, 20.0))
    assert colour(measured).lab == pytest.approx((90.0, 3.0, 20.0), abs=1e-12)
    assert colour(measured).trust.kind == "measured"


def test_brushed_moves_3n() -> None:
    """Our own estimate of a brushed face moves 3N by dE00 1.7, as much as 2N to 3N."""
    alloy = alloy_from_text("Au 75 Ag 12.5 Cu 12.5")
    found = contrast(colour(alloy), colour(alloy, "brushed"))
    assert found.delta_e_00_d65 == pytest.approx(1.7, abs=0.05)


def test_contrasts_of_a_job() -> None:
    job = rg.job(rg.read_design(DESIGN))
    (meeting,) = job.meetings
    assert meeting.between == ("reed", "body")
    assert np.isfinite(meeting.contrast.delta_e_00_d65)
    assert {alloy.name for alloy, _ in job.colours} == {p.alloy.name for p in job.parts}
