"""At the crucible: pouring, hints and the order of melting."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ringgeom.errors import RecipeError
from ringgeom.metal import Alloy, Recipe, alloy_by_name, alloy_from_text, catalogue, elements
from ringgeom.metal.melting import ORDER_WORDS, hints, melting_order, pour_c


def test_sterling_pours_where_print_says() -> None:
    pour = pour_c(alloy_by_name("silver-925"))
    assert pour is not None
    assert pour.aim_c is not None
    # Published: sterling pours at 950 to 982 C (read).
    assert 950 <= pour.aim_c <= 982
    assert not pour.too_hot_for_gypsum


def test_the_pour_is_75_above_the_liquidus() -> None:
    pour = pour_c(alloy_by_name("gold-750-yellow-3n"))
    assert pour is not None
    # Common practice, no source: 75 C above, 50 to 100; the liquidus is 895 C.
    assert (pour.low_c, pour.aim_c, pour.high_c) == (945.0, 970.0, 995.0)
    assert pour.investment == "gypsum-bonded"
    assert "595 to 705 C for fine work, 425 to 540 C for heavy" in pour.flask
    assert "hot end" not in pour.flask


@pytest.mark.parametrize(
    ("liquidus_c", "hot"),
    # Common practice, no source: warned of above 1150 C, which is 1075 C + 75 C.
    [(1075.0, False), (1075.1, True)],
)
def test_gypsum_bonded_investment_has_a_limit(liquidus_c: float, hot: bool) -> None:
    pour = pour_c(replace(alloy_by_name("gold-750-yellow-3n"), liquidus_c=liquidus_c))
    assert pour is not None
    assert pour.too_hot_for_gypsum is hot
    assert ("1175 C" in pour.text) is hot
    assert pour.investment == ("phosphate-bonded" if hot else "gypsum-bonded")


@pytest.mark.parametrize("name", ["platinum-950-ru", "palladium-950-ru", "palladium-500-ag"])
def test_platinum_and_palladium_follow_the_investments_maker(name: str) -> None:
    pour = pour_c(alloy_by_name(name))
    assert pour is not None
    assert pour.aim_c is pour.low_c is pour.high_c is None
    assert pour.investment == "phosphate-bonded"
    assert "maker" in pour.text


def test_white_gold_pours_into_the_hot_end() -> None:
    pour = pour_c(alloy_by_name("gold-750-white-ni-hard"))
    assert pour is not None
    assert "white gold at the hot end" in pour.flask
    hot = pour_c(alloy_by_name("gold-750-white-pd-20"))
    assert hot is not None
    assert hot.too_hot_for_gypsum


def test_no_liquidus_no_pour() -> None:
    assert pour_c(alloy_from_text("Au 75 Ag 25")) is None


@pytest.mark.parametrize("alloy", catalogue(), ids=lambda alloy: alloy.name)
def test_every_alloy_is_poured_or_nothing_is_claimed(alloy: Alloy) -> None:
    pour = pour_c(alloy)
    if pour is None:
        assert alloy.liquidus_c is None
    elif pour.aim_c is not None:
        assert alloy.liquidus_c is not None
        assert pour.aim_c > alloy.liquidus_c


@pytest.mark.parametrize(
    ("shares", "codes"),
    # Common practice, no source: 18 ct with copper from about 20 % orders; zinc boils near 907 C.
    [
        ({"Au": 75, "Ag": 5, "Cu": 20}, ["copper-ordering"]),
        ({"Au": 75, "Ag": 5.1, "Cu": 19.9}, []),
        ({"Au": 69.9, "Cu": 30.1}, []),
        ({"Au": 70, "Cu": 30}, ["copper-ordering"]),
        ({"Au": 80, "Cu": 20}, ["copper-ordering"]),
        ({"Ag": 92.5, "Cu": 7.5}, ["silver-sulphide"]),
        ({"Au": 58.33, "Ag": 41.67}, ["silver-sulphide"]),
        ({"Au": 75, "Ag": 25}, []),
        ({"Au": 41.7, "Ag": 11.7, "Cu": 40.8, "Zn": 5.8}, ["zinc-last"]),
        ({"Au": 37.5, "Ag": 30, "Cu": 30, "Zn": 2.5}, ["silver-sulphide", "zinc-last"]),
    ],
    ids=str,
)
def test_hints(shares: dict[str, float], codes: list[str]) -> None:
    found = hints(Recipe.of("test", shares))
    assert [hint.code for hint in found] == codes
    assert all(hint.source and hint.known for hint in found)


def test_the_disagreement_on_cooling_is_printed_not_decided() -> None:
    text = hints(Recipe.of("red", {"Au": 75, "Cu": 25}))[0].text
    assert "Sources disagree" in text
    assert "quench" in text
    assert "air" in text


@pytest.mark.parametrize(
    ("symbols", "order"),
    # common practice, no source: precious metals first by melting point (Pd 1555, Au 1064, Ag 962),
    # then the others (Ni 1455, Cu 1085), what dissolves only (Ru 2333) after them, zinc last
    [
        (["Zn", "Ag", "Cu", "Au"], ("Au", "Ag", "Cu", "Zn")),
        (["Au", "Pd", "Ni"], ("Pd", "Au", "Ni")),
        # tin and gallium melt lower than zinc, and yet zinc comes last
        (["Ga", "Zn", "Sn", "Cu"], ("Cu", "Sn", "Ga", "Zn")),
        (["Au", "Au"], ("Au",)),
        (["Ru", "Pt"], ("Pt", "Ru")),
    ],
)
def test_melting_order(symbols: list[str], order: tuple[str, ...]) -> None:
    assert melting_order(symbols) == order


def test_a_recipe_is_ordered_like_its_symbols() -> None:
    assert melting_order(alloy_by_name("brass-70-30").recipe) == ("Cu", "Zn")
    assert "disagree" in ORDER_WORDS


@given(st.lists(st.sampled_from(sorted(elements())), min_size=1))
def test_nothing_is_lost_and_zinc_is_last(symbols: list[str]) -> None:
    order = melting_order(symbols)
    assert sorted(order) == sorted(set(symbols))
    assert "Zn" not in order[:-1]


def test_an_unknown_metal_is_refused() -> None:
    with pytest.raises(RecipeError, match="nearest: Au"):
        melting_order(["Gold"])
