"""Worked examples of changing fineness, as bench guides print them.

Common practice, no source, unless a work is named. Karat is exact here: 14 kt is 583.33. The
answers are printed numbers or plain fractions of them, typed in and not computed by the program.
"""

from __future__ import annotations

import pytest
from judging.checks import published

from ringgeom.errors import RecipeError
from ringgeom.metal import Recipe, fineness, ideal_density
from ringgeom.metal.fineness_change import change_fineness
from ringgeom.metal.mixing import mixture, most_alloy, weigh_out
from ringgeom.metal.portion_text import mixed_from_texts
from ringgeom.units import G_PER_TROY_OUNCE

ROUNDING = 1e-9
EXACT = "a closed form of exact karats: rounding of binary numbers only"
HALF = "half a unit of the last digit printed"
GUIDES = "Worked examples of bench guides (common practice, no source)"

LOWERING = Recipe.of("alloy", {"Ag": 50, "Cu": 50})


def karat(number: float) -> Recipe:
    gold = 100 * number / 24
    return Recipe.of(
        f"{number:g} kt", {"Au": gold, "Ag": 100 - gold} if gold < 100 else {"Au": 100}
    )


def permille(number: float) -> float:
    return 1000 * number / 24


@pytest.mark.parametrize(
    ("lot", "before", "after", "printed"),
    [
        pytest.param(20, 10, 14, 8, id="20 g of 10 kt to 14 kt"),
        pytest.param(7, 10, 14, 2.8, id="7 g of 10 kt to 14 kt"),
        pytest.param(6, 10, 14, 2.4, id="6 dwt of 10 kt to 14 kt"),
    ],
)
def test_fine_gold_raises(lot: float, before: float, after: float, printed: float) -> None:
    # The formula is one of proportions, so pennyweights in are pennyweights out.
    change = change_fineness(karat(before), lot, permille(after), symbol="Au")
    assert change.adding.symbols == ("Au",)
    what = f"{lot} of {before} kt to {after} kt with fine gold: to add"
    published(GUIDES, what, change.add_g, printed, rel=ROUNDING, why=EXACT)
    assert change.total_g == pytest.approx(lot + printed, rel=ROUNDING)


@pytest.mark.parametrize(
    ("lot", "before", "after", "printed", "work"),
    [
        pytest.param(9, 18, 10, 7.2, GUIDES, id="9 dwt of 18 kt to 10 kt"),
        pytest.param(
            6,
            24,
            16,
            3,
            "Mechanical Dentistry and Metallurgy, p. 206",
            id="6 oz of fine gold to 16 ct",
        ),
    ],
)
def test_alloy_lowers(lot: float, before: float, after: float, printed: float, work: str) -> None:
    change = change_fineness(karat(before), lot, permille(after), symbol="Au", adding=LOWERING)
    what = f"{lot} of {before} kt to {after} kt with alloy: to add"
    published(work, what, change.add_g, printed, rel=ROUNDING, why=EXACT)


def test_10_g_of_18_kt_and_10_g_of_9_kt_are_13_5_kt() -> None:
    both = mixture("both", [(karat(18), 10), (karat(9), 10)])
    found = both.fineness_permille("Au") * 24 / 1000
    what = "10 g of 18 kt and 10 g of 9 kt [kt]"
    published(GUIDES, what, found, 13.5, rel=ROUNDING, why=EXACT)


def test_another_lot_raises_by_the_third_formula() -> None:
    # W (f2 - f1)/(fr - f2): 10 g of 9 kt to 13.5 kt with 18 kt, the example above turned round.
    change = change_fineness(karat(9), 10, permille(13.5), symbol="Au", adding=karat(18))
    assert change.add_g == pytest.approx(10, rel=ROUNDING)


def test_24_to_9_kt_takes_1_667_and_not_the_misprinted_1_677() -> None:
    change = change_fineness(karat(24), 1, permille(9), adding=LOWERING)
    what = "1 g of fine gold to 9 kt: to add [g]"
    published(GUIDES, what, change.add_g, 1.667, abs=0.0005, why=HALF)
    assert change.add_g != pytest.approx(1.677, abs=0.0005)
    # The misprint would miss 9 kt by 1.4 permille.
    missed = mixture("misprint", [(karat(24), 1), (LOWERING, 1.677)])
    assert missed.fineness_permille("Au") < 375 - 1


def test_an_ounce_of_fine_gold_to_750_160_90() -> None:
    # The guide prints 31.1 g, but its silver is that of a whole troy ounce.
    made = most_alloy(Recipe.of("rose", {"Au": 75, "Ag": 16, "Cu": 9}), {"Au": G_PER_TROY_OUNCE})
    grams = {portion.metal: portion.grams for portion in made.add}
    assert set(grams) == {"Ag", "Cu"}
    of = "1 ozt of fine gold to 750/160/90"
    for what, found, printed in (
        ("alloy", made.alloy_g, 41.47),
        ("silver to add", grams["Ag"], 6.64),
        ("copper to add", grams["Cu"], 3.73),
    ):
        published(GUIDES, f"{of}: {what} [g]", found, printed, abs=0.005, why=HALF)


def test_an_ounce_of_finished_750_160_90() -> None:
    out = weigh_out(Recipe.of("rose", {"Au": 75, "Ag": 16, "Cu": 9}), 31.1)
    assert [portion.metal for portion in out] == ["Au", "Ag", "Cu"]
    why = f"{HALF}; 23.325 stands on the edge between 23.32 and 23.33"
    for portion, printed in zip(out, (23.32, 4.98, 2.80), strict=True):
        what = f"1 ozt of 750/160/90: {portion.metal} [g]"
        published(GUIDES, what, portion.grams, printed, abs=0.0051, why=why)


def test_a_negative_amount_is_never_an_answer() -> None:
    # 20 g of 10 kt to 14 kt with 9 kt: the formula alone gives -16 g.
    with pytest.raises(RecipeError, match="stands in the way"):
        change_fineness(karat(10), 20, permille(14), adding=karat(9), symbol="Au")


def test_equal_volumes_of_gold_and_silver() -> None:
    both = mixed_from_texts(["1 cm3 Au", "1 cm3 Ag"]).made.recipe
    # Derived with 19.30 and 10.49: 19.30/29.79, and the mean of both densities.
    assert both.percent("Au") == pytest.approx(64.79, abs=0.005)
    found = fineness(both)
    assert found is not None
    assert round(found) == 648
    assert 24 * found / 1000 == pytest.approx(15.55, abs=0.005)
    assert ideal_density(both) == pytest.approx(14.895, rel=ROUNDING)


def test_a_filled_vessel_of_gold_and_of_silver() -> None:
    both = mixed_from_texts(["1 cm3 Au", "1 cm3 Ag"]).made.recipe
    # Weighed on a bench at about 34 to 18: common practice, no source; both are whole numbers.
    found = 18 * both.percent("Au") / both.percent("Ag")
    why = "both are whole numbers, weighed on a bench"
    published(GUIDES, "gold to 18 of silver in equal volumes", found, 34, rel=0.03, why=why)


def test_equal_masses_of_gold_and_silver() -> None:
    gold, silver = Recipe.of("gold", {"Au": 100}), Recipe.of("silver", {"Ag": 100})
    both = mixture("equal masses", [(gold, 1), (silver, 1)])
    assert both.fineness_permille("Au") == 500
    assert 24 * both.percent("Au") / 100 == 12
    density = ideal_density(both)
    # Derived: 2/(1/19.30 + 1/10.49), printed to 0.01.
    assert density == pytest.approx(13.59, abs=0.005)
    published(
        "T.K. Rose, The Metallurgy of Gold, table XIV",
        "50 % gold by ideal mixing at 20 C [g/cm3]",
        density,
        13.60,
        rel=0.008,
        why="measured at 15 C with ends 0.2 and 0.4 % lower; gold-silver is denser than its added "
        "volumes by up to 0.8 %",
    )
    # Gold's share of the volume, 35.2 %.
    assert both.percent("Au") * density / 19.30 == pytest.approx(35.2, abs=0.05)
