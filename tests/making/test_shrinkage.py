"""A casting measured: its shrink is found again, and odd readings are told what they may be.

Expected numbers are derived: a casting is made smaller by a known share, then "measured".
"""

from __future__ import annotations

from dataclasses import replace
from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ringgeom.errors import InputError
from ringgeom.making.shrinkage import Expected, Measured, Shrinkage, shrinkage
from ringgeom.metal.water import AIR_DENSITY_G_CM3, water_density

ROUNDING = 1e-9
"""A few products and one difference near 1: binary rounding with room [percent]."""


def band_mm3(bore: float, outside: float, width: float) -> float:
    return pi / 4 * (outside**2 - bore**2) * width


def expected(
    bore: float = 18.0,
    outside: float = 21.6,
    width: float = 6.0,
    *,
    counted_on: float = 1.25,
    pattern: float = 0.0,
) -> Expected:
    """A flat ring whose file was scaled for a shrink in percent."""
    k = 1 / ((1 - counted_on / 100) * (1 - pattern / 100))
    return Expected(
        part="body",
        alloy_name="Heron",
        metal="gold",
        wax_bore_mm=bore * k,
        wax_outside_mm=outside * k,
        wax_width_mm=width * k,
        cast_bore_mm=bore,
        cast_outside_mm=outside,
        cast_width_mm=width,
        cast_mm3=band_mm3(bore, outside, width),
        density_g_cm3=15.4,
        density_uncertainty_g_cm3=0.1,
        pattern_percent=pattern,
    )


def shrunk(of: Expected, percent: float, **more: float | None) -> Measured:
    """The casting whose metal shrank by a share of the pattern that went into the mould."""
    left = (1 - of.pattern_percent / 100) * (1 - percent / 100)
    read = Measured(
        part=of.part,
        bore_mm=of.wax_bore_mm * left,
        outside_mm=of.wax_outside_mm * left,
        width_mm=of.wax_width_mm * left,
    )
    return replace(read, **more)


def in_water(mm3: float, density: float) -> tuple[float, float]:
    """Weights in air and in water of 20 C of a piece [g]."""
    cm3 = mm3 / 1000
    return cm3 * (density - AIR_DENSITY_G_CM3), cm3 * (density - water_density(20.0))


def causes(found: Shrinkage) -> tuple[str, ...]:
    assert found.weight is not None
    return found.weight.points_to


PERCENT = st.floats(0, 4)


@given(st.floats(12, 24), st.floats(1.5, 8), st.floats(1, 15), PERCENT, PERCENT, PERCENT)
def test_a_shrink_is_found_again(
    bore: float, walls: float, width: float, percent: float, counted_on: float, pattern: float
) -> None:
    of = expected(bore, bore + walls, width, counted_on=counted_on, pattern=pattern)
    found = shrinkage(of, shrunk(of, percent))
    assert found.agree is True
    assert found.percent == pytest.approx(percent, abs=ROUNDING)
    assert [m.percent for m in found.measures] == pytest.approx([percent] * 3, abs=ROUNDING)


@given(PERCENT, st.floats(0.003, 0.1), st.tuples(*[st.floats(-0.999, 0.999)] * 3))
def test_bands_hold_the_true_shrink(percent: float, off_mm: float, offs: tuple[float, ...]) -> None:
    """Derived: every reading off by no more than the calliper allows, each its own way."""
    of = expected()
    true = shrunk(of, percent)
    names = ("bore_mm", "outside_mm", "width_mm")
    read = {name: getattr(true, name) + off * off_mm for name, off in zip(names, offs, strict=True)}
    found = shrinkage(of, replace(true, calliper_mm=off_mm, **read))
    assert found.percent is not None
    assert found.band_percent is not None
    assert abs(found.percent - percent) <= found.band_percent + ROUNDING
    # every band holds the true value, so they have it in common
    assert found.agree is True


def test_the_bore_counts_more_than_the_width() -> None:
    """Derived: weights are 1 / band^2, so 9 to 1 for measures of 18 and 6 mm."""
    of = expected(counted_on=0.0)
    found = shrinkage(of, Measured(part="body", bore_mm=18.0 * 0.99, width_mm=6.0 * 0.98))
    assert found.percent == pytest.approx((9 * 1.0 + 1 * 2.0) / 10, abs=ROUNDING)
    # 0.01 mm of 18 and of 6 mm
    bands = [one.band_percent for one in found.measures]
    assert bands == pytest.approx([0.05556, 0.16667], abs=5e-6)  # half a unit as typed


def test_one_measure_cannot_disagree() -> None:
    assert shrinkage(expected(), Measured(part="body", bore_mm=17.9)).agree is None


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({"bore_mm": 18.15}, "worn ring mandrel"),
        ({"bore_mm": 17.80}, "sprue pulled"),
        ({"outside_mm": 21.9}, "the outside came out large: a sprue stub"),
        ({"width_mm": 6.3}, "(it grew); the width came out large: fins"),
        ({"width_mm": 5.7}, "the width came out small: edges filed"),
    ],
)
def test_a_disagreement_points_somewhere(more: dict[str, float], said: str) -> None:
    of = expected()
    found = shrinkage(of, shrunk(of, 1.25, **more))
    assert found.agree is False
    assert any(said in words for words in found.words), found.words


def test_of_two_measures_either_may_be_odd() -> None:
    of = expected()
    found = shrinkage(of, shrunk(of, 1.25, bore_mm=18.2, outside_mm=None))
    told = found.words[1]
    assert "worn ring mandrel" in told
    assert "edges filed already" in told


def test_a_sound_casting_weighs_what_its_size_says() -> None:
    """Derived: shrunk by 2 instead of 1.25 % the volume is (0.98 / 0.9875)^3 of the expected."""
    of = expected()
    weight = of.cast_mm3 * (0.98 / 0.9875) ** 3 * 15.4 / 1000
    found = shrinkage(of, shrunk(of, 2.0, weight_g=weight))
    assert found.weight is not None
    assert found.weight.expected_g == pytest.approx(weight, rel=1e-12)  # rounding only
    assert found.weight.residual_g == pytest.approx(0, abs=1e-10)
    assert causes(found) == ()
    # half a balance step, 0.1 of 15.4 g/cm3, and three times the band of the mean shrink
    assert found.band_percent is not None
    band = weight * (0.1 / 15.4 + 3 * found.band_percent / 98) + 0.005
    assert found.weight.band_g == pytest.approx(band, rel=1e-9)


@pytest.mark.parametrize(
    ("share", "points_to"),
    [
        (0.96, ("pores", "misrun", "other alloy")),
        (0.85, ("misrun", "other alloy")),
        (1.05, ("sprue stub", "other alloy")),
    ],
)
def test_a_weight_alone_leaves_several_causes(share: float, points_to: tuple[str, ...]) -> None:
    of = expected()
    found = shrinkage(of, shrunk(of, 1.25, weight_g=of.cast_mm3 * 15.4 / 1000 * share))
    assert causes(found) == points_to
    assert found.weight is not None
    assert found.weight.residual_percent == pytest.approx(100 * (share - 1), abs=1e-6)


def test_without_measures_another_shrink_may_explain_a_weight() -> None:
    """Derived: 2.0 instead of 1.25 % of shrink takes 2.3 % of the weight."""
    of = expected()
    weight = of.cast_mm3 * 15.4 / 1000 * (0.98 / 0.9875) ** 3
    found = shrinkage(of, Measured(part="body", weight_g=weight))
    assert found.percent is None
    assert causes(found)[0] == "shrink"
    assert "a shrink of 2.00 %" in found.words[-1]
    light = shrinkage(of, Measured(part="body", weight_g=weight * 0.9))
    assert "shrink" not in causes(light)


@pytest.mark.parametrize(
    ("volume", "density", "points_to"),
    [
        (1.0, 15.4, ()),
        (1.0, 15.4 * 0.96, ("pores",)),
        (1.0, 10.4, ("other alloy",)),
        (1.0, 16.5, ("other alloy",)),
        (1.08, 15.4, ("sprue stub",)),
        (0.92, 15.4, ("misrun",)),
    ],
)
def test_weighed_in_water_one_cause_is_left(
    volume: float, density: float, points_to: tuple[str, ...]
) -> None:
    of = expected()
    air, water = in_water(of.cast_mm3 * volume, density)
    read = shrunk(of, 1.25, weight_g=air, water_g=water)
    assert causes(shrinkage(of, read)) == points_to


def test_in_water_sound_metal_and_no_measures_may_be_shrink() -> None:
    of = expected()
    air, water = in_water(of.cast_mm3 * (0.98 / 0.9875) ** 3, 15.4)
    read = Measured(part="body", weight_g=air, water_g=water, balance_g=0.001)
    assert causes(shrinkage(of, read)) == ("shrink", "misrun")


@pytest.mark.parametrize(
    ("read", "said"),
    [
        ({"bore_mm": 0.7}, "inches; here 0.7 mm; allowed: about 18.00 mm; nearest: 17.78 mm"),
        ({"width_mm": 6 / 25.4}, "the width looks like inches"),
        ({"bore_mm": 8.95}, "radius; here 8.95 mm; allowed: about 18.00 mm; nearest: 17.90"),
        ({"outside_mm": 10.8, "bore_mm": 18}, "the outside looks like a radius"),
        ({"width_mm": 3.0}, "another part"),
        ({"bore_mm": 15.0, "outside_mm": 18.5, "width_mm": 4.0}, "another part"),
        ({"bore_mm": 19.7, "outside_mm": 19.6}, "the bore is not below the outside"),
        ({"bore_mm": 0.0}, "the bore is not an amount"),
        ({"width_mm": -6.0}, "the width is not an amount"),
        ({"outside_mm": float("nan")}, "the outside is not an amount"),
        ({"weight_g": -5.0}, "the weight is not an amount"),
        ({"weight_g": 5.0, "water_g": 5.5}, "a piece weighs less in water than in air"),
        ({"water_g": 5.0}, "the weight in air is not an amount"),
        ({"bore_mm": 18.0, "calliper_mm": 0.0}, "what the calliper may be off"),
        ({}, "nothing was measured on body"),
        ({"part": "reed", "bore_mm": 18.0}, "another part; here reed; allowed: body"),
    ],
)
def test_readings_that_cannot_be(read: dict[str, object], said: str) -> None:
    with pytest.raises(InputError) as refused:
        shrinkage(expected(), Measured(**{"part": "body", **read}))  # type: ignore[arg-type]
    assert said in str(refused.value)


def test_one_measure_far_off_is_questioned_and_not_refused() -> None:
    assert shrinkage(expected(), shrunk(expected(), 1.25, width_mm=4.5)).agree is False


def test_all_slips_are_told_at_once() -> None:
    with pytest.raises(InputError) as refused:
        shrinkage(expected(), Measured(part="body", bore_mm=0.7, outside_mm=10.8, width_mm=6.0))
    assert len(refused.value.problems) == 2
