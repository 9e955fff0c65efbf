"""Recipes: their arithmetic, how they are written, and every fault that must be told."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ringgeom.errors import RecipeError
from ringgeom.metal import (
    Recipe,
    alloy_from_recipe,
    alloy_from_text,
    elements,
    fineness,
    karat_to_permille,
    nearest_symbol,
    recipe_faults,
    shares_from_text,
)


def codes(**shares: float) -> dict[str, str]:
    """Fault codes of a recipe, with their level."""
    return {fault.code: fault.level for fault in recipe_faults(Recipe.of("test", shares))}


def test_shares_are_sorted_by_percent_then_symbol_and_zero_is_dropped() -> None:
    recipe = Recipe.of("3N", {"Cu": 12.5, "Ag": 12.5, "Au": 75, "Zn": 0})
    assert recipe.shares == (("Au", 75.0), ("Ag", 12.5), ("Cu", 12.5))
    assert recipe.percent("Ag") == 12.5
    assert recipe.percent("Zn") == 0.0
    assert recipe.fineness_permille("Au") == 750.0


def test_normalised_sums_to_hundred_and_keeps_proportions() -> None:
    recipe = Recipe.of("parts", {"Au": 3, "Ag": 1}).normalised()
    assert recipe.shares == (("Au", 75.0), ("Ag", 25.0))


@pytest.mark.parametrize(
    ("shares", "metal", "permille"),
    [
        ({"Au": 33.3, "Ag": 66.7}, "gold", 333.0),
        ({"Au": 33.2, "Ag": 66.8}, "silver", 668.0),
        ({"Au": 37.5, "Ag": 62.5}, "gold", 375.0),
        ({"Pt": 95, "Ru": 5}, "platinum", 950.0),
        ({"Pd": 50, "Ag": 50}, "palladium", 500.0),
        ({"Ag": 92.5, "Cu": 7.5}, "silver", 925.0),
        ({"Cu": 70, "Zn": 30}, "base", None),
        ({"Cu": 60, "Ag": 40}, "base", None),
    ],
)
def test_the_metal_an_alloy_is_named_after(
    shares: dict[str, float], metal: str, permille: float | None
) -> None:
    recipe = Recipe.of("test", shares)
    assert recipe.precious == metal
    assert (recipe.precious_symbol is None) == (metal == "base")
    # 10 times a decimal share: binary rounding only.
    assert fineness(recipe) == (None if permille is None else pytest.approx(permille, abs=1e-9))


@pytest.mark.parametrize(
    ("karat", "permille"),
    # Definition: 1000 k / 24; the two with decimals rounded to 0.01.
    [(9, 375), (10, 416.67), (14, 583.33), (18, 750), (22, 916.67), (24, 1000)],
)
def test_karat(karat: float, permille: float) -> None:
    assert karat_to_permille(karat) == pytest.approx(permille, abs=0.005)


@pytest.mark.parametrize("karat", [0, -9, 24.5, 585, float("nan")])
def test_no_such_karat(karat: float) -> None:
    with pytest.raises(RecipeError, match="no such karat"):
        karat_to_permille(karat)


@pytest.mark.parametrize(
    ("total", "faulty"),
    [(99.94, True), (99.95, False), (100, False), (100.05, False), (100.06, True)],
)
def test_the_sum_may_be_off_by_a_twentieth_of_a_percent(total: float, faulty: bool) -> None:
    recipe = Recipe.of("test", {"Au": 75, "Ag": total - 75})
    found = [fault for fault in recipe_faults(recipe) if fault.code == "recipe-sum"]
    assert bool(found) == faulty
    for fault in found:
        assert fault.level == "stop"
        # The sum of two floats: binary rounding only.
        assert fault.value == pytest.approx(total, abs=1e-9)
        assert fault.limit == 100.0


@pytest.mark.parametrize(
    ("shares", "hint"),
    [
        ({"Au": 0.75, "Ag": 0.25}, "multiply by 100"),
        ({"Au": 750, "Ag": 250}, "divide by 10"),
        ({"Au": 75, "Ag": 20}, "5 % is missing"),
        ({"Au": 75, "Ag": 30}, "5 % is too much"),
    ],
)
def test_a_wrong_sum_says_what_it_looks_like(shares: dict[str, float], hint: str) -> None:
    fault = recipe_faults(Recipe.of("test", shares))[0]
    assert hint in fault.fix


@pytest.mark.parametrize(
    ("symbol", "rest", "passes", "fails"),
    # REACH Annex XVII: entry 23 at or above 0.01 % (0.0099 passes), entry 63 at or above 0.05 %.
    [("Cd", "Ag", 0.0099, 0.01), ("Pb", "Ag", 0.0499, 0.05)],
)
def test_cadmium_and_lead_are_refused_at_their_limit(
    symbol: str, rest: str, passes: float, fails: float
) -> None:
    word = {"Cd": "cadmium", "Pb": "lead"}[symbol]
    assert codes(**{rest: 100 - passes, symbol: passes}) == {}
    assert codes(**{rest: 100 - fails, symbol: fails}) == {word: "stop"}


def test_nickel_and_beryllium_are_warned_of_in_any_amount() -> None:
    assert codes(Au=75, Cu=8.5, Zn=3, Ni=13.5) == {"nickel": "warn"}
    assert codes(Cu=98, Be=2) == {"beryllium": "warn"}
    nickel = recipe_faults(Recipe.of("test", {"Au": 99.9, "Ni": 0.1}))[0]
    assert "EN 1811" in nickel.fix


@pytest.mark.parametrize(
    ("shares", "percent"),
    [
        ({"Au": 18, "Ag": 12.5, "Cu": 12.5}, "75"),
        ({"Au": 14, "Ag": 41.5}, "58.33"),
        ({"Au": 9, "Ag": 20, "Cu": 42.5}, "37.5"),
    ],
)
def test_karat_written_for_percent(shares: dict[str, float], percent: str) -> None:
    faults = {fault.code: fault for fault in recipe_faults(Recipe.of("test", shares))}
    assert set(faults) == {"recipe-sum", "karat-for-percent"}
    hint = faults["karat-for-percent"]
    assert f"{shares['Au']:g} looks like karat: {shares['Au']:g} kt is {percent} %" in hint.text


@pytest.mark.parametrize(
    "shares",
    # 18 % of gold that sums is meant; 18 whose rest does not leave 75 is only a wrong sum.
    [{"Au": 18, "Ag": 82}, {"Au": 18, "Ag": 60}, {"Au": 17, "Ag": 29.17}],
)
def test_not_every_small_share_of_gold_is_a_karat(shares: dict[str, float]) -> None:
    assert "karat-for-percent" not in codes(**shares)


@pytest.mark.parametrize(
    ("word", "symbol"),
    [("AU", "Au"), ("Gold", "Au"), ("ag", "Ag"), ("SILVER", "Ag"), ("paladium", "Pd"), ("Xq", "")],
)
def test_nearest_symbol(word: str, symbol: str) -> None:
    assert nearest_symbol(word) == symbol


def test_every_metal_name_leads_to_its_symbol() -> None:
    for entry in elements().values():
        assert nearest_symbol(entry.name) == entry.symbol
        assert nearest_symbol(entry.symbol.upper()) == entry.symbol


def test_an_unknown_symbol_is_a_fault_with_a_hint() -> None:
    faults = recipe_faults(Recipe.of("test", {"Gold": 75, "Ag": 25}))
    assert [(fault.code, fault.level, fault.fix) for fault in faults] == [
        ("unknown-symbol", "stop", "write Au")
    ]


def test_an_unusable_recipe_tells_all_its_problems_at_once() -> None:
    with pytest.raises(RecipeError) as caught:
        alloy_from_recipe("test", {"AU": 50, "Xq": 20, "Cd": 20})
    problems = caught.value.problems
    assert [problem.nearest for problem in problems[:2]] == ["Au", ""]
    told = " ".join(problem.text for problem in problems)
    assert len(problems) == 4
    assert "add up to 90 %" in told
    assert "cadmium" in told


@pytest.mark.parametrize("share", [-1.0, float("nan"), float("inf"), True, "75"])
def test_a_share_that_is_no_percentage(share: float) -> None:
    with pytest.raises(RecipeError, match="share of Ag is not a percentage"):
        Recipe.of("test", {"Au": 75, "Ag": share})


def test_an_empty_recipe_and_a_metal_written_twice() -> None:
    with pytest.raises(RecipeError, match="no metal"):
        Recipe.of("test", {"Au": 0})
    with pytest.raises(RecipeError, match="Au stands twice"):
        Recipe(name="test", shares=(("Au", 50), ("Au", 50)))


SPELLINGS = (
    "Au 75 Ag 25|Au75Ag25|75 Au 25 Ag|75Au25Ag|Au 75, Ag 25|Au 75,Ag 25|75 Au, 25 Ag|75 Au,25 Ag"
    "|Au 75% Ag 25 %|Ag 25; Au 75| Au  75.0 / Ag 25.0 "
)


@pytest.mark.parametrize("text", SPELLINGS.split("|"))
def test_one_recipe_many_spellings(text: str) -> None:
    assert alloy_from_text(text).recipe.shares == (("Au", 75.0), ("Ag", 25.0))


def test_decimal_commas() -> None:
    alloy = alloy_from_text("Au 58,5 Ag 41,5")
    assert alloy.recipe.shares == (("Au", 58.5), ("Ag", 41.5))
    assert alloy.name == "Au 58.5 Ag 41.5"


def test_a_catalogue_name_is_no_recipe() -> None:
    assert alloy_from_text("gold-750-green").name == "gold-750-green"
    assert alloy_from_text(" brass-70-30 ").name == "brass-70-30"


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("AU 75 ag 25", "nearest: Au"),
        ("Gold 75 Silver 25", "nearest: Ag"),
        ("Gold 100", "nearest: Au"),
        ("Au 75 Ag", "each metal of a recipe needs one number"),
        ("Au 75,25 Ag", "each metal of a recipe needs one number"),
        ("Au 50 Au 25 Ag 25", "stands twice"),
        ("silver 925", "nearest: silver-925"),
        ("Au 105 Ag -5", "no alloy of this name"),
        ("18ct yellow", "18 kt is 750 permille"),
        ("", "no alloy of this name"),
    ],
)
def test_a_text_that_is_neither_name_nor_recipe(text: str, told: str) -> None:
    with pytest.raises(RecipeError, match=told):
        alloy_from_text(text)


@given(
    st.dictionaries(
        st.sampled_from(sorted(elements())), st.integers(1, 9999), min_size=1, max_size=6
    )
)
def test_what_is_written_is_read(hundredths: dict[str, int]) -> None:
    shares = {symbol: count / 100 for symbol, count in hundredths.items()}
    text = " ".join(f"{symbol} {share:.2f}" for symbol, share in shares.items())
    assert shares_from_text(text) == shares
    assert shares_from_text(text.replace(".", ",").replace(" ", "")) == shares
