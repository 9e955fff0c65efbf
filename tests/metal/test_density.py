"""Density of a recipe: derived checks, and how honest its band is."""

from __future__ import annotations

from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ringgeom.errors import RecipeError
from ringgeom.facts import table
from ringgeom.metal import (
    Alloy,
    Recipe,
    alloy_by_name,
    alloy_from_recipe,
    catalogue,
    density_evidence,
    elements,
    evidence_classes,
    ideal_density,
    recipe_density,
)

THREE_N = Recipe.of("3N", {"Au": 75, "Ag": 12.5, "Cu": 12.5})

mixes = st.dictionaries(
    st.sampled_from(sorted(elements())), st.floats(0.01, 100), min_size=1, max_size=6
)


@given(mixes)
def test_ideal_mixing_stays_between_its_metals(shares: dict[str, float]) -> None:
    densities = [elements()[symbol].density_g_cm3 for symbol in shares]
    density = ideal_density(Recipe.of("mix", shares))
    # Sums of at most six terms: binary rounding only.
    assert min(densities) * (1 - 1e-12) <= density <= max(densities) * (1 + 1e-12)


@given(mixes)
def test_the_rule_in_use_is_never_denser_than_the_densest_metal(shares: dict[str, float]) -> None:
    densest = max(3.4 if s == "Si" else elements()[s].density_g_cm3 for s in shares)
    # Silicon and beryllium alone can be lighter than silicon dissolved, counted at 3.4.
    assert recipe_density(Recipe.of("mix", shares)) <= densest * (1 + 1e-12)


@given(mixes, st.floats(0.01, 100))
def test_only_proportions_count(shares: dict[str, float], factor: float) -> None:
    scaled = {symbol: share * factor for symbol, share in shares.items()}
    one, other = Recipe.of("one", shares), Recipe.of("other", scaled)
    # Binary rounding only.
    assert recipe_density(one) == pytest.approx(recipe_density(other), rel=1e-12)
    assert ideal_density(one) == pytest.approx(ideal_density(other), rel=1e-12)


@given(mixes)
def test_a_recipe_moved_by_a_hair_never_jumps(shares: dict[str, float]) -> None:
    # Two metals at least, since silicon alone is not dissolved in anything.
    moved = {"Au": 50.0, "Cu": 50.0} | shares
    before = recipe_density(Recipe.of("before", moved))
    after = recipe_density(Recipe.of("after", moved | {"Zn": moved.get("Zn", 0.0) + 1e-6}))
    # 1e-6 of zinc in at least 0.02 of metal, up to 3 times lighter than it: under 2e-4.
    assert after == pytest.approx(before, rel=2e-4)


def test_one_metal_is_its_handbook_density() -> None:
    for entry in elements().values():
        # Division and back: binary rounding only.
        alone = Recipe.of("alone", {entry.symbol: 100})
        assert recipe_density(alone) == pytest.approx(entry.density_g_cm3, rel=1e-12)


def test_counting_atoms_one_by_one_gives_the_same_density() -> None:
    # Derived: a box of a million atoms, each with the volume it has in its own metal, plus the
    # pair terms, weighed with the atomic mass constant 1.66053907e-24 g (CODATA 2018).
    dalton_g, a3_in_cm3 = 1.66053907e-24, 1e-24
    omega = {("Au", "Cu"): 0.73, ("Ag", "Au"): -0.21}
    moles = {s: share / elements()[s].atomic_weight for s, share in THREE_N.shares}
    atoms = {s: 1e6 * count / sum(moles.values()) for s, count in moles.items()}
    mass_g = sum(count * elements()[s].atomic_weight * dalton_g for s, count in atoms.items())
    volume_a3 = sum(
        count * elements()[s].atomic_weight * dalton_g / elements()[s].density_g_cm3 / a3_in_cm3
        for s, count in atoms.items()
    )
    for pair in combinations(sorted(atoms), 2):
        volume_a3 += omega.get(pair, 0.0) * atoms[pair[0]] * atoms[pair[1]] / 1e6
    # The constant is rounded to nine digits.
    expected = mass_g / (volume_a3 * a3_in_cm3)
    assert recipe_density(THREE_N) == pytest.approx(expected, rel=1e-8)


def test_averaging_densities_by_mass_is_wrong() -> None:
    # Computed: 0.75 x 19.30 + 0.125 x 10.49 + 0.125 x 8.96 = 16.906 against 15.449.
    averaged = 0.75 * 19.30 + 0.125 * 10.49 + 0.125 * 8.96
    # The figure 9.4 is rounded to 0.1.
    assert 100 * (averaged / ideal_density(THREE_N) - 1) == pytest.approx(9.4, abs=0.05)
    assert averaged > 1.05 * recipe_density(THREE_N)


def test_equal_volumes_of_gold_and_silver() -> None:
    # Computed with 19.30 and 10.49: 648 fine, 14.90 g/cm3, both rounded in their last digit.
    recipe = Recipe.of("equal volumes", {"Au": 19.30, "Ag": 10.49}).normalised()
    assert recipe.fineness_permille("Au") == pytest.approx(648, abs=0.5)
    assert ideal_density(recipe) == pytest.approx(14.90, abs=0.006)


def test_equal_masses_of_gold_and_silver() -> None:
    # Computed with 19.30 and 10.49: 500 fine, 13.59 g/cm3, rounded in its last digit.
    recipe = Recipe.of("equal masses", {"Au": 1, "Ag": 1}).normalised()
    assert recipe.fineness_permille("Au") == 500.0
    assert ideal_density(recipe) == pytest.approx(13.59, abs=0.005)


@pytest.mark.parametrize(
    ("shares", "name"),
    [
        ({"Au": 100}, "fine metal"),
        ({"Au": 75, "Ag": 25}, "gold-silver"),
        ({"Ag": 25, "Au": 75}, "gold-silver"),
        ({"Au": 90, "Cu": 10}, "gold-copper"),
        ({"Au": 75, "Ag": 12.5, "Cu": 12.5}, "gold-silver-copper"),
        ({"Ag": 92.5, "Cu": 7.5}, "silver-copper"),
        ({"Pt": 95, "Ru": 5}, "platinum with Ru Ir or Rh"),
        ({"Cu": 92, "Sn": 8}, "copper-tin"),
        ({"Cu": 65, "Zn": 17, "Ni": 18}, "copper with zinc nickel or silicon"),
        ({"Au": 37.5, "Ag": 10, "Cu": 45, "Zn": 7.5}, "gold with zinc"),
        ({"Au": 75, "Pd": 20, "Ag": 5}, "any other"),
        ({"Pt": 95, "Co": 5}, "any other"),
        # 0.2 % of zinc is 0.4 % of the volume: too little to matter; 1 % is enough.
        ({"Au": 58.33, "Ag": 32.5, "Cu": 8.97, "Zn": 0.2}, "gold-silver-copper"),
        ({"Au": 58.3, "Ag": 32.2, "Cu": 8.5, "Zn": 1.0}, "gold with zinc"),
        # 1 % of titanium is 4 % of the volume of fine gold.
        ({"Au": 99, "Ti": 1}, "any other"),
    ],
)
def test_which_evidence_counts(shares: dict[str, float], name: str) -> None:
    assert density_evidence(Recipe.of("test", shares)).name == name


def test_every_class_of_evidence_is_in_use() -> None:
    used = {density_evidence(alloy.recipe).name for alloy in catalogue()}
    assert used == {entry.name for entry in evidence_classes() if entry.match != "given"}


# The row at 333 fine is an outlier of its table: tests/published/test_rose_densities.py.
PRINTED = [
    row
    for row in table("alloys")
    if row["density_published_g_cm3"] and row["name"] != "gold-333-white"
]


@pytest.mark.parametrize("row", PRINTED, ids=lambda row: row["name"])
def test_a_printed_density_lies_in_the_band(row: dict[str, str]) -> None:
    alloy = alloy_by_name(row["name"])
    ends = {"Au": 19.26, "Ag": 10.45} if row["use_density_as_oracle"].startswith("yes (15") else {}
    density = recipe_density(alloy.recipe, element_densities_g_cm3=ends)
    text = row["density_published_g_cm3"]
    decimals = len(text.partition(".")[2])
    # The band, plus half a unit of the last digit that was printed.
    allowed = alloy.density_uncertainty_g_cm3 + 0.5 * 10.0**-decimals
    assert abs(density - float(text)) <= allowed


def catalogue_alloy_fields(alloy: Alloy) -> tuple[float, float, str]:
    return alloy.density_g_cm3, alloy.density_uncertainty_g_cm3, alloy.density_from


def test_the_catalogue_and_the_same_recipe_agree() -> None:
    for alloy in catalogue():
        own = alloy_from_recipe("own", dict(alloy.recipe.shares))
        assert catalogue_alloy_fields(own) == catalogue_alloy_fields(alloy)
        assert own.density_from == "recipe"
        assert own.density_basis


def test_a_given_density_overrides_and_says_so() -> None:
    alloy = alloy_from_recipe("Willow", {"Au": 75, "Ag": 25}, 16.0)
    assert (alloy.density_g_cm3, alloy.density_from) == (16.0, "given")
    # Half a percent of 16.0, the table's allowance for a given density.
    assert alloy.density_uncertainty_g_cm3 == pytest.approx(0.08, rel=1e-9)
    measured = alloy_from_recipe(
        "Willow",
        {"Au": 75, "Ag": 25},
        16.0,
        (93.0, -4.0, 25.0),
        density_from="measured",
        density_uncertainty_g_cm3=0.02,
    )
    assert measured.density_from == "measured"
    assert measured.density_uncertainty_g_cm3 == 0.02
    assert measured.lab == (93.0, -4.0, 25.0)


def test_a_given_density_may_be_what_a_balance_allows() -> None:
    # Derived: 5 g at 15.4 g/cm3 displaces 0.325 g; 0.001 g on that is 0.31 %, below the 0.5.
    given_class = next(entry for entry in evidence_classes() if entry.match == "given")
    assert 100 * 0.001 / (5 / 15.4) < given_class.uncertainty_percent < 1.0


@pytest.mark.parametrize("density", [23.6, 1.5, 0.0, -16.0, float("nan")])
def test_an_impossible_density_is_refused(density: float) -> None:
    # 23.6 is a printed "multiplier" for Pt950: denser than platinum itself, so not a density.
    with pytest.raises(RecipeError, match="no alloy of these metals has this density"):
        alloy_from_recipe("Pt950", {"Pt": 95, "Ru": 5}, density)


def test_an_impossible_colour_or_band_is_refused() -> None:
    with pytest.raises(RecipeError, match="lab is not a colour"):
        alloy_from_recipe("x", {"Au": 100}, None, (140.0, 0.0, 0.0))
    with pytest.raises(RecipeError, match="not a width"):
        alloy_from_recipe("x", {"Au": 100}, 19.3, density_uncertainty_g_cm3=0.0)


def test_a_density_needs_known_metals() -> None:
    with pytest.raises(RecipeError, match="nearest: Au"):
        recipe_density(Recipe.of("x", {"AU": 75, "Ag": 25}))
