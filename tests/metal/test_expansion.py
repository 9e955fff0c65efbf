"""Expansion at heat: the mixing rule, what is unknown, and which way a ring moves."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ringgeom.errors import InputError, RecipeError
from ringgeom.facts import table
from ringgeom.metal import Recipe, alloy_by_name, elements
from ringgeom.metal.expansion import (
    expansion_missing,
    expansion_per_k,
    opening_mm,
    opening_text,
)

SILVER = Recipe.of("fine silver", {"Ag": 100})
PLATINUM = Recipe.of("fine platinum", {"Pt": 100})
GERMANIUM_SILVER = Recipe.of("germanium silver", {"Ag": 92.5, "Cu": 6.3, "Ge": 1.2})

KNOWN = sorted(row["symbol"] for row in table("expansion"))
mixes = st.dictionaries(st.sampled_from(KNOWN), st.floats(0.1, 100), min_size=1, max_size=5)


def test_every_row_is_a_metal_with_its_source() -> None:
    rows = table("expansion")
    assert len({row["symbol"] for row in rows}) == len(rows)
    for row in rows:
        assert row["symbol"] in elements()
        # Metals of jewellery lie between tungsten (4.5) and indium (32.1), CRC Handbook.
        assert 4 < float(row["per_k_1e6"]) < 33
        assert row["source"]
        assert row["known"] in ("read", "memory")


@given(mixes)
def test_an_alloy_lies_between_its_metals(shares: dict[str, float]) -> None:
    found = expansion_per_k(Recipe.of("mix", shares))
    assert found is not None
    own = [float(row["per_k_1e6"]) for row in table("expansion") if row["symbol"] in shares]
    # 1e-9 of a value near 20 is far above rounding in a sum of five terms
    assert min(own) - 1e-9 <= 1e6 * found.per_k <= max(own) + 1e-9


def test_shares_count_relative_to_their_sum() -> None:
    whole = expansion_per_k(Recipe.of("a", {"Au": 75, "Cu": 25}))
    half = expansion_per_k(Recipe.of("b", {"Au": 37.5, "Cu": 12.5}))
    assert whole is not None
    assert half is not None
    assert whole.per_k == pytest.approx(half.per_k, rel=1e-12)


def test_volumes_mix_and_not_masses() -> None:
    found = expansion_per_k(Recipe.of("half", {"Au": 50, "Cu": 50}))
    assert found is not None
    # By mass it would be (14.2 + 16.5) / 2 = 15.35; copper takes 68 % of the volume.
    gold, copper = 50 / 19.3, 50 / 8.96
    by_hand = (14.2 * gold + 16.5 * copper) / (gold + copper)
    assert 1e6 * found.per_k == pytest.approx(by_hand, rel=1e-12)
    assert 1e6 * found.per_k > 15.7


def test_what_is_unknown_is_named_and_not_guessed() -> None:
    assert expansion_per_k(GERMANIUM_SILVER) is None
    assert expansion_missing(GERMANIUM_SILVER) == ("Ge",)
    assert expansion_missing(SILVER) == ()
    with pytest.raises(RecipeError, match=r"germanium silver: no source .* of Ge"):
        opening_mm(20, GERMANIUM_SILVER, PLATINUM, 700)
    assert "no source gives the expansion of Ge" in opening_text(
        20, GERMANIUM_SILVER, PLATINUM, 700
    )
    with pytest.raises(RecipeError, match="'Xx'"):
        expansion_per_k(Recipe.of("x", {"Ag": 90, "Xx": 10}))


def test_the_least_certain_metal_gives_the_mark() -> None:
    ruthenium = expansion_per_k(alloy_by_name("platinum-950-ru").recipe)
    iridium = expansion_per_k(alloy_by_name("platinum-950-ir").recipe)
    assert ruthenium is not None
    assert iridium is not None
    assert (ruthenium.known, iridium.known) == ("read", "memory")


def test_outside_opens_and_inside_grips() -> None:
    opens = opening_mm(20, SILVER, PLATINUM, 700)
    assert opens > 0
    assert opening_mm(20, PLATINUM, SILVER, 700) == pytest.approx(-opens, rel=1e-12)
    # cooling undoes heating, and twice the diameter moves twice as far
    assert opening_mm(20, SILVER, PLATINUM, -700) == pytest.approx(-opens, rel=1e-12)
    assert opening_mm(40, SILVER, PLATINUM, 700) == pytest.approx(2 * opens, rel=1e-12)
    assert opening_mm(20, SILVER, SILVER, 700) == 0


def test_in_words() -> None:
    assert opening_text(20, SILVER, PLATINUM, 700) == (
        "fine silver on fine platinum, 20.00 mm across, 700 K hotter: "
        "the outer opens by 0.141 mm on the diameter"
    )
    assert "the outer grips by 0.141 mm" in opening_text(20, PLATINUM, SILVER, 700)
    assert "move together" in opening_text(20, SILVER, SILVER, 700)


@pytest.mark.parametrize(
    ("diameter", "heat"), [(0, 700), (-1, 700), (float("nan"), 1), (20, 1e999)]
)
def test_what_is_no_ring_or_no_heat_is_refused(diameter: float, heat: float) -> None:
    with pytest.raises(InputError, match="no such"):
        opening_mm(diameter, SILVER, PLATINUM, heat)
