"""Pattern scale: applied once, bore too, per alloy."""

from __future__ import annotations

import pytest

from ringgeom.finger import scale_named
from ringgeom.making.pattern import USUAL_SHRINK_PERCENT, pattern_scale
from ringgeom.metal import alloy_by_name
from ringgeom.shop import ShrinkSettings

GOLD = alloy_by_name("gold-750-yellow-3n")
PLATINUM = alloy_by_name("platinum-950-ru")


def test_scale_makes_up_for_both_shrinks() -> None:
    """Derived: 1 / (0.9875 x 0.995) = 1.01775 (computed)."""
    scale = pattern_scale(GOLD, ShrinkSettings(pattern_percent=0.5)).scale
    assert scale == pytest.approx(1 / (0.9875 * 0.995), rel=1e-15)
    assert round(scale, 5) == 1.01775


def test_an_unscaled_bore_casts_small() -> None:
    """Derived: 18.00 mm shrinks to 17.775, 0.28 of a US size of 0.8128 mm."""
    shrunk = 18.0 / pattern_scale(GOLD, ShrinkSettings()).scale
    assert shrunk == pytest.approx(17.775, abs=1e-12)
    per_size = float(scale_named("North America").per_size_mm)
    assert (18.0 - shrunk) / per_size == pytest.approx(0.28, abs=0.005)


def test_the_scaled_pattern_would_weigh_too_much() -> None:
    """Derived: 1.25 % linear is 3.8 % of volume (3.7 % counted from the pattern)."""
    k = pattern_scale(GOLD, ShrinkSettings()).scale
    assert 1 - 1 / k**3 == pytest.approx(0.037, abs=0.0005)


def test_an_alloy_of_its_own_wins_over_its_metal() -> None:
    shrink = ShrinkSettings(gold=1.4, alloy={GOLD.name: 1.6})
    assert pattern_scale(GOLD, shrink).cast_percent == 1.6
    assert pattern_scale(alloy_by_name("gold-750-green"), shrink).cast_percent == 1.4


def test_platinum_has_no_figure_until_the_shop_gives_one() -> None:
    """No trustworthy figure is known for platinum and palladium."""
    assumed = pattern_scale(PLATINUM, ShrinkSettings())
    assert not assumed.known
    assert assumed.cast_percent == USUAL_SHRINK_PERCENT
    assert pattern_scale(PLATINUM, ShrinkSettings(platinum=1.8)).known


def test_two_alloys_half_a_percent_apart() -> None:
    """Derived: 0.5 % on 20 mm is 0.10 mm, a whole solder gap; each part gets its own scale."""
    a = pattern_scale(GOLD, ShrinkSettings(gold=1.0)).scale
    b = pattern_scale(GOLD, ShrinkSettings(gold=1.5)).scale
    assert 20 * (b - a) == pytest.approx(0.10, abs=0.005)
    # patterns that differ shrink back to castings that fit
    assert 20 * a * 0.99 == pytest.approx(20 * b * 0.985, rel=1e-12)
