"""T.K. Rose, The Metallurgy of Gold: measured densities of gold-silver and gold-copper.

Table XIV, at 15 C with its own ends, fine gold 19.26 and fine silver 10.45, which are passed
in. Published numbers, typed from the table and not from the program's copy of it. Most of these
alloys helped to fit the excess volumes, so they show that the rule is applied as fitted, not
that it predicts.
"""

from __future__ import annotations

import pytest
from judging.checks import published

from ringgeom.metal import Recipe, alloy_by_name, ideal_density, recipe_density

ROSE = "T.K. Rose, The Metallurgy of Gold, table XIV"
ENDS_G_CM3 = {"Au": 19.26, "Ag": 10.45}

GOLD_SILVER = {  # gold in percent by mass: density [g/cm3]
    91.7: 18.08,
    87.9: 17.54,
    84.3: 16.96,
    75.0: 16.03,  # partly from memory
    66.7: 15.07,
    50.0: 13.60,
    25.0: 11.78,
    16.7: 11.28,
}
OUTLIER = (33.3, 13.0)
GOLD_COPPER = {91.67: 17.48, 90.0: 17.16}


def gold_silver(gold: float) -> Recipe:
    return Recipe.of(f"Rose {gold}", {"Au": gold, "Ag": 100 - gold})


def off_percent(computed: float, printed: float) -> float:
    return 100 * (computed / printed - 1)


@pytest.mark.parametrize(("gold", "printed"), GOLD_SILVER.items())
def test_table_xiv(gold: float, printed: float) -> None:
    density = recipe_density(gold_silver(gold), element_densities_g_cm3=ENDS_G_CM3)
    published(
        ROSE,
        f"{gold:g} % gold, the rest silver [g/cm3]",
        density,
        printed,
        rel=0.0055,
        why="neighbours in the table scatter by 0.5 % about any smooth curve (84.3 up, 75.0 down)",
    )


def test_table_xiv_by_ideal_mixing() -> None:
    errors = [
        off_percent(ideal_density(gold_silver(gold), element_densities_g_cm3=ENDS_G_CM3), printed)
        for gold, printed in GOLD_SILVER.items()
    ]
    why = "computed from the table by separate arithmetic, rounded to 0.01"
    mean, worst = sum(map(abs, errors)) / len(errors), max(map(abs, errors))
    what = "ideal mixing of its gold-silver"
    published(ROSE, f"{what}, mean error [%]", mean, 0.36, abs=0.006, why=why)
    published(ROSE, f"{what}, worst error [%]", worst, 0.77, abs=0.006, why=why)


def test_the_excess_volume_comes_nearer_than_ideal_mixing() -> None:
    def mean_absolute(rule) -> float:  # type: ignore[no-untyped-def]
        errors = [
            abs(off_percent(rule(gold_silver(gold), element_densities_g_cm3=ENDS_G_CM3), printed))
            for gold, printed in GOLD_SILVER.items()
        ]
        return sum(errors) / len(errors)

    assert mean_absolute(recipe_density) < 0.9 * mean_absolute(ideal_density)


def test_the_row_at_333_fine_is_an_outlier() -> None:
    """Left out of all statistics: no curve through its neighbours comes near it.

    Both neighbours (25.0 and 50.0 % gold) lie within half a percent of the rule; this row is
    nearly 5 % off, nine times the worst of all others, as by a misprint or a slip.
    """
    gold, printed = OUTLIER
    off = off_percent(
        recipe_density(gold_silver(gold), element_densities_g_cm3=ENDS_G_CM3), printed
    )
    others = [
        off_percent(recipe_density(gold_silver(other), element_densities_g_cm3=ENDS_G_CM3), density)
        for other, density in GOLD_SILVER.items()
    ]
    # Even the straight line between its printed neighbours misses it by 4 %: density against
    # gold is curved upwards, so the true value lies below that line, farther still.
    chord = 11.78 + (13.60 - 11.78) * (33.3 - 25.0) / (50.0 - 25.0)
    assert printed > 1.04 * chord
    assert abs(off) > 4
    assert abs(off) > 5 * max(map(abs, others))


@pytest.mark.parametrize(("gold", "printed"), GOLD_COPPER.items())
def test_coin_gold(gold: float, printed: float) -> None:
    recipe = Recipe.of("coin gold", {"Au": gold, "Cu": 100 - gold})
    published(
        ROSE,
        f"{gold:g} % gold, the rest copper [g/cm3]",
        recipe_density(recipe),
        printed,
        rel=0.002,
        why="printed to 0.01 in 17, and 19.26 against 19.30 for fine gold is 0.2 %",
    )
    # The text claims no change of volume on mixing; its own figures say 0.7 to 0.9 % expansion.
    assert 0.7 <= off_percent(ideal_density(recipe), printed) <= 0.9


@pytest.mark.parametrize(
    ("name", "gold"),
    [("gold-917-green", 91.7), ("gold-750-green", 75.0), ("gold-500-green", 50.0)],
)
def test_the_catalogue_prints_what_rose_printed(name: str, gold: float) -> None:
    alloy = alloy_by_name(name)
    assert alloy.recipe.percent("Au") == gold
    assert alloy.density_published_g_cm3 == GOLD_SILVER[gold]
    published(
        ROSE,
        f"{name} of the catalogue [g/cm3]",
        alloy.density_g_cm3,
        GOLD_SILVER[gold],
        rel=0.008,
        why="the table's scatter, and 0.2 to 0.4 % between its ends and those at 20 C",
    )
