"""Weighing in water: the band holds what it must, and odd readings are told what they may be.

Expected numbers are derived: a piece of known density is "weighed" by Archimedes' law, its
readings rounded as a balance rounds them.
"""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from ringgeom.errors import InputError, RecipeError
from ringgeom.metal import Alloy, alloy_by_name, alloy_from_recipe, elements
from ringgeom.metal.gold_share import gold_share
from ringgeom.metal.immersion import weighed_in_water, weighed_with_volume
from ringgeom.metal.porosity import porosity
from ringgeom.metal.water import AIR_DENSITY_G_CM3, water_density

ROUNDING = 1e-9
"""One division by a difference: binary rounding with room."""

GOLD, SILVER, COPPER = (elements()[symbol].density_g_cm3 for symbol in ("Au", "Ag", "Cu"))


def readings(volume_cm3: float, density_g_cm3: float, temperature_c: float) -> tuple[float, float]:
    """What an ideal balance shows in air and in water [g]."""
    return (
        volume_cm3 * (density_g_cm3 - AIR_DENSITY_G_CM3),
        volume_cm3 * (density_g_cm3 - water_density(temperature_c)),
    )


def rounded(grams: float, step_g: float) -> float:
    return round(grams / step_g) * step_g


volumes = st.floats(0.05, 3)
densities = st.floats(2, 22)
temperatures = st.floats(1, 39)


@given(volumes, densities, temperatures)
def test_an_ideal_balance_gives_the_density_back(v: float, rho: float, t: float) -> None:
    air, water = readings(v, rho, t)
    weighed = weighed_in_water(air, water, temperature_c=t, balance_g=1e-4)
    # Air's lift on the piece in air, left out in the textbook form, is what makes this exact:
    # (rho - air)/(water - air) (water - air) + air = rho.
    assert weighed.density_g_cm3 == pytest.approx(rho, rel=ROUNDING)
    assert weighed.volume_cm3 == pytest.approx(v, rel=ROUNDING)


@given(volumes, densities, temperatures, st.floats(-1, 1), st.sampled_from([0.001, 0.01]))
def test_the_band_holds_the_true_density(
    v: float, rho: float, t: float, off_c: float, step: float
) -> None:
    air, water = (rounded(reading, step) for reading in readings(v, rho, t + off_c))
    assume(water > 0 and air - water > 1.5 * step)
    weighed = weighed_in_water(air, water, temperature_c=t, balance_g=step)
    low, high = weighed.band_g_cm3
    # Every reading is within half a step, the water within a degree: nothing is left to chance.
    assert low * (1 - ROUNDING) <= rho <= high * (1 + ROUNDING)
    assert low < weighed.density_g_cm3 < high


@given(st.floats(0.5, 3), densities, st.floats(-0.5, 0.5), st.floats(-0.5, 0.5))
def test_the_band_of_a_vessel_holds_the_true_density(
    v: float, rho: float, off_v: float, off_m: float
) -> None:
    weighed = weighed_with_volume(v * rho + 0.01 * off_m, v + 0.1 * off_v, volume_step_cm3=0.1)
    low, high = weighed.band_g_cm3
    assert low * (1 - ROUNDING) <= rho <= high * (1 + ROUNDING)


def test_the_band_narrows_with_the_balance() -> None:
    widths = [
        high - low
        for step in (0.1, 0.01, 0.001)
        for low, high in [weighed_in_water(5, 4.68, balance_g=step).band_g_cm3]
    ]
    assert widths[0] > 5 * widths[1] > 5 * widths[2]


def test_water_near_its_densest_has_a_band_of_one_side() -> None:
    # At 4 C a degree to either side only lightens the water; an exact balance shows it.
    weighed = weighed_in_water(5.0, 4.68, temperature_c=4.0, balance_g=1e-9)
    low, high = weighed.band_g_cm3
    assert high == pytest.approx(weighed.density_g_cm3, rel=1e-8)
    assert low < weighed.density_g_cm3 * (1 - 1e-6)
    # A band from 1 to 5 C holds the densest water, which neither of its ends has.
    across = weighed_in_water(5.0, 4.68, temperature_c=3.0, balance_g=1e-9, temperature_band_c=2)
    at_ends = [water_density(t) for t in (1.0, 3.0, 5.0)]
    lift = 5.0 / 0.32
    by_ends = lift * (max(at_ends) - AIR_DENSITY_G_CM3) + AIR_DENSITY_G_CM3
    # Water is 5e-6 denser at 4 C than at 5 C; the balance's step counts 3e-12 here.
    assert across.band_g_cm3[1] > by_ends * (1 + 2e-6)


@given(st.floats(0, 1000), st.sampled_from(["Ag", "Cu"]))
def test_a_mixture_of_added_volumes_is_read_back(permille: float, light: str) -> None:
    w = permille / 1000
    rho_l = elements()[light].density_g_cm3
    rho = 1 / (w / GOLD + (1 - w) / rho_l)
    share = gold_share(rho, (0.99 * rho, 1.01 * rho), light=light)
    assert share.permille == pytest.approx(permille, abs=1e-6)
    assert 0 <= share.permille_low <= share.permille <= share.permille_high <= 1000
    assert share.karat == pytest.approx(24 * w, abs=1e-7)
    assert share.volume_percent == pytest.approx(100 * w * rho / GOLD, abs=1e-6)


def test_the_same_density_is_two_karats() -> None:
    # Derived with 19.30, 10.49 and 8.96: 16.9 kt with silver, 18.8 kt with copper.
    share = gold_share(15.45, (15.4, 15.5))
    said = " ".join(share.limits)
    assert "(16.9 kt) as gold-silver but 784 permille (18.8 kt) as gold-copper" in said
    copper = gold_share(15.45, (15.4, 15.5), light="Cu")
    assert "(18.8 kt) as gold-copper but 703 permille (16.9 kt) as gold-silver" in copper.limits[1]
    # Own densities take the place of the table's, and then no correction is known.
    own = gold_share(15.45, (15.4, 15.5), heavy_g_cm3=19.26, light_g_cm3=10.45)
    assert own.permille == pytest.approx(1000 * 19.26 * 5.0 / (15.45 * 8.81))
    assert "volumes do not quite add" in said
    assert "volumes do not quite add" not in " ".join(own.limits)


def test_the_correction_leads_to_the_recipe() -> None:
    # A sound 750 gold-copper as the recipe's rule weighs it: additive volumes read it too low.
    alloy = alloy_from_recipe("red", {"Au": 75, "Cu": 25})
    rho = alloy.density_g_cm3
    share = gold_share(rho, (rho, rho), light="Cu")
    assert share.permille < 742
    (corrected,) = [limit for limit in share.limits if "nearer" in limit]
    # First order only: a tenth of the correction of about 14 permille, and whole permille.
    assert float(corrected.split("nearer ")[1].split()[0]) == pytest.approx(750, abs=2)


def test_a_piece_of_5_g_on_two_balances() -> None:
    # 15.45 g/cm3 of equal silver and copper in the alloy: light part 2/(1/10.49 + 1/8.96).
    light = 2 / (1 / SILVER + 1 / COPPER)
    air, water = readings(5 / 15.45, 15.45, 20)
    half_widths = []
    for step in (0.01, 0.001):
        weighed = weighed_in_water(air, water, balance_g=step)
        share = gold_share(weighed.density_g_cm3, weighed.band_g_cm3, light_g_cm3=light)
        half_widths.append((share.permille_high - share.permille_low) / 2)
    # Computed by squares in the table of facts: 27 and 3. Two equal errors in one direction give
    # sqrt(2) of it, and a degree of water adds 0.02 % of the density, 0.3 permille.
    assert half_widths[0] == pytest.approx(27 * math.sqrt(2) + 0.3, abs=1)
    assert half_widths[1] == pytest.approx(3 * math.sqrt(2), abs=0.75)
    share = gold_share(15.45, (15.45, 15.45), light_g_cm3=light)
    assert any("1 % of porosity makes it read 13 permille" in limit for limit in share.limits)


def test_a_density_beyond_an_end_counts_as_the_end_only_within_its_band() -> None:
    fine = gold_share(19.35, (19.2, 19.5))
    assert (fine.permille, fine.permille_high, fine.karat) == (1000, 1000, 24)
    assert "beyond the 19.3 of fine gold" in fine.limits[0]
    with pytest.raises(InputError, match=r"denser than gold.*platinum.*misreading"):
        gold_share(19.35, (19.33, 19.37))
    with pytest.raises(InputError, match=r"lighter than silver.*pores.*third.*light='Cu'"):
        gold_share(10.0, (9.9, 10.1))
    with pytest.raises(InputError, match="lighter than copper") as refused:
        gold_share(8.0, (7.9, 8.1), light="Cu")
    assert refused.value.problems[0].nearest == ""


def sound(name: str) -> Alloy:
    return alloy_by_name(name)


@given(st.floats(0, 30), st.floats(-1, 1))
def test_pores_are_found_within_both_bands(percent: float, off: float) -> None:
    alloy = sound("gold-750-yellow-3n")
    true = alloy.density_g_cm3 + off * alloy.density_uncertainty_g_cm3
    rho = true * (1 - percent / 100)
    found = porosity(rho, (0.998 * rho, 1.002 * rho), alloy)
    assert found.percent_low < percent < found.percent_high
    assert found.percent_low < found.percent < found.percent_high
    assert found.verdict == ("porous" if found.percent_low > 0 else "within the band")


def test_denser_than_the_recipe_is_told() -> None:
    alloy = sound("gold-750-yellow-3n")
    found = porosity(16.5, (16.45, 16.55), alloy)
    assert found.verdict == "denser than the recipe"
    assert found.percent_high < 0
    assert "another alloy or a misreading" in found.text
    assert "by 6.0 to 9.0 %" in found.text  # 15.52 and 15.19 against 16.45 and 16.55
    hollow = porosity(13.0, (12.95, 13.05), alloy)
    assert "look for a hollow" in hollow.text
    # 1 % of pores costs 13 permille of 750 gold with equal silver and copper.
    assert any("13 permille less gold" in limit for limit in hollow.limits)


def test_every_result_says_what_it_is_not() -> None:
    results: list[Any] = [
        weighed_in_water(5, 4.68),
        weighed_with_volume(5, 0.32, volume_step_cm3=0.01),
        gold_share(15, (14.9, 15.1)),
        porosity(15, (14.9, 15.1), sound("gold-750-green")),
    ]
    for result in results:
        said = " ".join(result.limits)
        for word in ("not an assay", "stones", "hollow", "bubbles", "solder"):
            assert word in said


@pytest.mark.parametrize(
    ("readings", "told"),
    [
        ((4.68, 5), "nearest: 5 g in air and 4.68 g in water, if the two are swapped"),
        ((5, 5), "weighs less in water"),
        ((5, -0.1), "floats"),
        ((5, 0), "floats, or was tared away"),
        ((0, 4), "the weight in air is not an amount"),
        ((-5, -6), "the weight in air is not an amount"),
        ((math.nan, 4), "the weight in air is not an amount"),
        ((5, math.inf), "the weight in water is not an amount"),
        ((5, "4.68"), "the weight in water is not an amount"),
        ((0.1, 0.09), r"as large as what is measured.*nearest: a step of 0\.001 g"),
        ((5, 4.9), r"denser than any metal.*up to 22\.56 g/cm3 \(iridium\)"),
    ],
)
def test_readings_that_cannot_be(readings: tuple[Any, Any], told: str) -> None:
    with pytest.raises(InputError, match=told):
        weighed_in_water(*readings)


@pytest.mark.parametrize(
    ("temperature", "told"),
    [
        (68, r"68 F is 20\.0 C"),
        (104, r"104 F is 40\.0 C"),
        (293.15, r"293\.15 K is 20\.0 C"),
        (-1, "allowed: 0 to 40 C; nearest: 0 C"),
        (150, "allowed: 0 to 40 C; nearest: 40 C"),
        (math.nan, "allowed: 0 to 40 C"),
        ("20", "no number"),
    ],
)
def test_temperatures_that_cannot_be(temperature: Any, told: str) -> None:
    with pytest.raises(InputError, match=told):
        water_density(temperature)
    with pytest.raises(InputError, match=told):
        weighed_in_water(5, 4.68, temperature_c=temperature)


@pytest.mark.parametrize("step", [0, -0.01, math.nan, 0.32, 1])
def test_steps_that_cannot_be(step: float) -> None:
    with pytest.raises(InputError, match="step"):
        weighed_in_water(5, 4.68, balance_g=step)
    with pytest.raises(InputError, match="step"):
        weighed_with_volume(5, 0.32, volume_step_cm3=step)


def test_all_problems_are_told_at_once() -> None:
    with pytest.raises(InputError) as refused:
        weighed_in_water(-5, 4, temperature_c=68, balance_g=0, temperature_band_c=-1)
    assert len(refused.value.problems) == 4
    with pytest.raises(InputError) as refused:
        weighed_with_volume(0, -1, volume_step_cm3=0, balance_g=0)
    assert len(refused.value.problems) == 4


def test_a_loss_taken_for_a_weight_in_water_is_doubted() -> None:
    # A vessel of water on the balance shows 0.32 g, the loss, for a piece of 5 g.
    weighed = weighed_in_water(5, 0.32)
    assert "4.68 g in water and has 15.58 g/cm3" in weighed.limits[0]
    # A real piece of glass is light too, but its loss is no metal's weight.
    assert "lighter" not in weighed_in_water(5, 3.0).limits[0]


def test_a_volume_in_mm3_is_recognised() -> None:
    with pytest.raises(InputError, match=r"looks like mm3.*nearest: 0\.675 cm3"):
        weighed_with_volume(9.85, 675, volume_step_cm3=1)


def test_densities_and_metals_that_cannot_be() -> None:
    alloy = sound("gold-750-green")
    for density, band, told in (
        (0.0, (1.0, 2.0), "the density is not an amount"),
        (15.0, (16.0, 14.0), "not inside its band"),
        (15.0, (15.1, 16.0), "not inside its band"),
        (15.0, (math.nan, 16.0), "an end of the density's band is not an amount"),
    ):
        with pytest.raises(InputError, match=told):
            gold_share(density, band)
        with pytest.raises(InputError, match=told):
            porosity(density, band, alloy)
    with pytest.raises(RecipeError, match="nearest: heavy='Au', light='Ag'"):
        gold_share(15, (14, 16), "Ag", "Au")
    with pytest.raises(RecipeError, match="Au is not lighter than Au"):
        gold_share(15, (14, 16), "Au", "Au")
    with pytest.raises(RecipeError, match="nearest: Au"):
        gold_share(15, (14, 16), "gold")
    with pytest.raises(InputError, match="density of the light metal"):
        gold_share(15, (14, 16), light_g_cm3=-1)
