"""Mixing and changing fineness: every metal balances, nothing is negative, no way out is wrong.

All expected numbers are derived: mass is kept, metal by metal.
"""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from ringgeom.errors import RecipeError
from ringgeom.metal import Recipe, elements
from ringgeom.metal.fineness_change import change_fineness, permille_of
from ringgeom.metal.mixing import mixture, most_alloy, weigh_out
from ringgeom.metal.reaching import reach_recipe

ROUNDING = 1e-9
"""Sums of a few products, and one division by a difference: binary rounding with room."""

FINE_GOLD = Recipe.of("fine gold", {"Au": 100})
THREE_N = Recipe.of("3N", {"Au": 75, "Ag": 12.5, "Cu": 12.5})
KT_14 = Recipe.of("14 kt", {"Au": 1400 / 24, "Ag": 500 / 24, "Cu": 500 / 24})

WEARABLE = sorted(set(elements()) - {"Cd", "Pb", "Be"})


@st.composite
def recipes(draw: st.DrawFn, symbols: list[str] = WEARABLE) -> Recipe:
    parts = draw(
        st.dictionaries(st.sampled_from(symbols), st.floats(0.1, 100), min_size=1, max_size=5)
    )
    total = sum(parts.values())
    return Recipe.of("drawn", {symbol: 100 * part / total for symbol, part in parts.items()})


@st.composite
def golds(draw: st.DrawFn, low: float = 110, high: float = 990) -> Recipe:
    """Gold of a fineness in permille, with two other metals."""
    gold = draw(st.floats(low, high)) / 10
    share = draw(st.floats(0.05, 0.95))
    one, other = draw(st.sampled_from([("Ag", "Cu"), ("Pd", "Ag"), ("Cu", "Zn")]))
    rest = 100 - gold
    return Recipe.of("gold", {"Au": gold, one: rest * share, other: rest * (1 - share)})


masses = st.floats(0.01, 1e3)


def grams_of(recipe: Recipe, symbol: str, grams: float) -> float:
    return grams * recipe.percent(symbol) / recipe.sum_percent


@given(st.lists(st.tuples(recipes(), masses), min_size=1, max_size=5))
def test_every_metal_of_a_mixture_balances(portions: list[tuple[Recipe, float]]) -> None:
    result = mixture("pot", portions)
    total = sum(grams for _, grams in portions)
    assert result.sum_percent == pytest.approx(100, rel=ROUNDING)
    for symbol in elements():
        held = sum(grams_of(recipe, symbol, grams) for recipe, grams in portions)
        assert grams_of(result, symbol, total) == pytest.approx(held, rel=ROUNDING, abs=0)


@given(recipes(), masses)
def test_weighing_out_sums_to_the_mass(recipe: Recipe, grams: float) -> None:
    portions = weigh_out(recipe, grams)
    assert [portion.metal for portion in portions] == list(recipe.symbols)
    assert all(portion.grams > 0 for portion in portions)
    assert math.fsum(p.grams for p in portions) == pytest.approx(grams, rel=ROUNDING)


@given(recipes(), st.dictionaries(st.sampled_from(WEARABLE), masses, min_size=1))
def test_metal_in_hand_is_used_up_or_left(recipe: Recipe, have: dict[str, float]) -> None:
    assume(set(have) & set(recipe.symbols))
    made = most_alloy(recipe, have)
    needed = {portion.metal: portion.grams for portion in made.needed}
    left = {portion.metal: portion.grams for portion in made.left}
    assert left[made.limiting] == 0
    assert set(left) == set(have)
    assert {portion.metal for portion in made.add} == set(recipe.symbols) - set(have)
    for symbol, grams in have.items():
        assert left[symbol] >= 0
        assert left[symbol] + needed.get(symbol, 0) == pytest.approx(grams, rel=ROUNDING)
    assert math.fsum(needed.values()) == pytest.approx(made.alloy_g, rel=ROUNDING)


def test_silver_in_hand_may_run_out_before_gold() -> None:
    made = most_alloy(THREE_N, {"Au": 31.1, "Ag": 1.0, "Pt": 5.0})
    # 1 g of silver is one eighth of 8 g; that takes 6 g of gold and 1 g of copper.
    assert (made.limiting, made.alloy_g) == ("Ag", 8.0)
    assert [(p.metal, p.grams) for p in made.add] == [("Cu", 1.0)]
    assert {p.metal: p.grams for p in made.left} == {"Au": pytest.approx(25.1), "Ag": 0, "Pt": 5}


@given(golds(), masses, st.floats(110, 995))
def test_any_other_fineness_is_reached_and_every_metal_balances(
    lot: Recipe, grams: float, to: float
) -> None:
    before = permille_of(lot, "Au")
    assume(abs(to - before) > 0.01)
    change = change_fineness(lot, grams, to, symbol="Au")
    assert change.after_permille == pytest.approx(to, rel=ROUNDING)
    assert change.add_g > 0
    assert change.total_g == pytest.approx(grams + change.add_g, rel=ROUNDING)
    assert all(portion.grams > 0 for portion in change.add)
    added = {portion.metal: portion.grams for portion in change.add}
    assert set(added) == ({"Au"} if to > before else set(lot.symbols) - {"Au"})
    for symbol in lot.symbols:
        comes_out = grams_of(change.result, symbol, change.total_g)
        goes_in = grams_of(lot, symbol, grams) + added.get(symbol, 0)
        assert comes_out == pytest.approx(goes_in, rel=ROUNDING)


@given(golds(high=900), masses, st.floats(1, 90))
def test_raised_and_lowered_again_is_the_lot(lot: Recipe, grams: float, by: float) -> None:
    before = permille_of(lot, "Au")
    raised = change_fineness(lot, grams, before + by, symbol="Au")
    back = change_fineness(raised.result, raised.total_g, before, symbol="Au")
    for symbol in lot.symbols:
        assert back.result.percent(symbol) == pytest.approx(lot.percent(symbol), rel=ROUNDING)
    # Nothing was taken out, only added twice.
    assert back.total_g > raised.total_g > grams


@given(golds(), golds(), masses, st.floats(110, 990))
def test_an_addition_reaches_only_what_lies_between(
    lot: Recipe, adding: Recipe, grams: float, to: float
) -> None:
    one, other = permille_of(lot, "Au"), permille_of(adding, "Au")
    assume(abs(to - one) > 0.01 and abs(to - other) > 0.01)
    if min(one, other) < to < max(one, other):
        change = change_fineness(lot, grams, to, symbol="Au", adding=adding)
        gold = grams * one + change.add_g * other
        assert gold == pytest.approx(change.total_g * to, rel=1e-7)  # differences down to 0.01
        assert change.add_g > 0
    else:
        with pytest.raises(RecipeError, match="in the way"):
            change_fineness(lot, grams, to, symbol="Au", adding=adding)


@given(recipes(["Au", "Ag", "Cu", "Pd"]), masses, recipes(["Au", "Ag", "Cu", "Pd", "Zn"]))
def test_a_lot_reaches_a_recipe_that_holds_all_its_metals(
    lot: Recipe, grams: float, target: Recipe
) -> None:
    foreign = set(lot.symbols) - set(target.symbols)
    if any(lot.percent(symbol) > 0.0501 for symbol in foreign):
        with pytest.raises(RecipeError, match="melting takes nothing out"):
            reach_recipe(lot, grams, target)
        return
    assume(not foreign)
    reached = reach_recipe(lot, grams, target)
    assert all(portion.grams > 0 for portion in reached.add)
    assert reached.limiting not in {portion.metal for portion in reached.add}
    added = {portion.metal: portion.grams for portion in reached.add}
    for symbol in target.symbols:
        goes_in = grams_of(lot, symbol, grams) + added.get(symbol, 0)
        # What is left out as dust is below 1e-12 of the total.
        wanted = grams_of(target, symbol, reached.total_g)
        assert goes_in == pytest.approx(wanted, rel=1e-6, abs=1e-9 * grams)
        assert reached.result.percent(symbol) == pytest.approx(target.percent(symbol), rel=1e-6)
    # No smaller total would do: the limiting metal alone would then be too much.
    held = grams_of(lot, reached.limiting, grams)
    assert grams_of(target, reached.limiting, 0.999 * reached.total_g) < held


def test_the_metal_in_the_way_is_weighed() -> None:
    white = Recipe.of("white", {"Au": 75, "Pd": 15, "Ag": 10})
    # 15 % of 8 g.
    with pytest.raises(RecipeError, match=r"1\.2 g of Pd in 8 g"):
        reach_recipe(white, 8, THREE_N)


def test_a_trace_passes_and_stays_in_the_result() -> None:
    lot = Recipe.of("lot", {"Au": 75, "Ag": 12.5, "Cu": 12.45, "Zn": 0.05})
    reached = reach_recipe(lot, 20, THREE_N)
    assert [(p.metal, p.grams) for p in reached.traces] == [("Zn", pytest.approx(0.01))]
    # Silver and gold decide: 20 g of 3N less the copper, which comes up by 0.01 g.
    assert reached.total_g == pytest.approx(20.01)
    assert reached.result.percent("Zn") == pytest.approx(100 * 0.01 / 20.01)
    assert permille_of(reached.result, "Au") == pytest.approx(1000 * 15 / 20.01)


def test_nothing_is_added_to_a_lot_that_is_there_already() -> None:
    reached = reach_recipe(THREE_N, 10, THREE_N)
    assert (reached.add, reached.add_g, reached.total_g) == ((), 0.0, 10)
    change = change_fineness(Recipe.of("lot", {"Au": 58.5, "Ag": 41.5}), 10, 585)
    assert (change.add_g, change.add, change.total_g) == (0.0, (), 10)
    assert change.why.startswith("nothing")


def test_what_lowers_is_chosen_and_told() -> None:
    change = change_fineness(THREE_N, 10, 600)
    assert change.adding.shares == (("Ag", 50.0), ("Cu", 50.0))
    assert "no other addition was named" in change.why
    asked = change_fineness(THREE_N, 10, 600, adding=Recipe.of("silver", {"Ag": 100}))
    assert asked.why == "silver, as asked"
    assert asked.add_g == pytest.approx(change.add_g)


def test_a_base_metal_must_say_whose_fineness() -> None:
    bronze = Recipe.of("bronze", {"Cu": 90, "Sn": 10})
    with pytest.raises(RecipeError, match="whose fineness"):
        change_fineness(bronze, 10, 375)
    # As much again as 375 to 625.
    assert change_fineness(bronze, 10, 375, symbol="Au").add_g == pytest.approx(6)


@pytest.mark.parametrize(
    ("asked", "symbol", "meant"),
    [
        (18, "Au", "750"),
        (8, "Au", "333.333"),
        (24, "Au", "1000"),
        (14.0, None, "583.333"),
        (0.75, "Au", "750"),
        (75, "Au", "750"),
        (92.5, "Ag", "925"),
        (18, "Ag", "180"),  # silver is not counted in karat
        (1.0, "Au", "1000"),
    ],
)
def test_another_unit_is_refused_with_the_permille(
    asked: float, symbol: str | None, meant: str
) -> None:
    with pytest.raises(RecipeError) as refused:
        change_fineness(KT_14, 10, asked, symbol=symbol)
    assert refused.value.problems[0].nearest == f"{meant} permille"


@pytest.mark.parametrize("asked", [0, -750, 5, 0.01, 1000.1, math.nan, math.inf, True, "750"])
def test_no_fineness_at_all(asked: Any) -> None:
    with pytest.raises(RecipeError) as refused:
        change_fineness(KT_14, 10, asked)
    (problem,) = refused.value.problems
    assert (problem.nearest, "fineness" in problem.text) == ("", True)


@pytest.mark.parametrize("grams", [0, -1.0, math.nan, math.inf, True, "10", None])
def test_no_mass_at_all(grams: Any) -> None:
    for call in (
        lambda: mixture("pot", [(THREE_N, grams)]),
        lambda: weigh_out(THREE_N, grams),
        lambda: most_alloy(THREE_N, {"Au": grams}),
        lambda: change_fineness(KT_14, grams, 750),
        lambda: reach_recipe(KT_14, grams, THREE_N),
    ):
        with pytest.raises(RecipeError, match=r"not an amount.*allowed: above 0"):
            call()


def test_all_problems_are_told_at_once() -> None:
    short = Recipe.of("short", {"Au": 75, "Ag": 12.5})
    with pytest.raises(RecipeError) as refused:
        change_fineness(short, -1, 18)
    # The lost copper must not pass for a fineness of 857.
    texts = [problem.text for problem in refused.value.problems]
    assert len(texts) == 3
    assert any("add up to 87.5 %" in text for text in texts)
    with pytest.raises(RecipeError, match="there is nothing to melt"):
        mixture("pot", [])
    with pytest.raises(RecipeError, match="nearest: Au"):
        most_alloy(THREE_N, {"gold": 3})
    with pytest.raises(RecipeError, match="none of its metals is in hand"):
        most_alloy(THREE_N, {"Pt": 3})


def test_the_way_out_of_an_impossible_change_works() -> None:
    with pytest.raises(RecipeError) as refused:
        change_fineness(KT_14, 10, 900, adding=THREE_N)
    (problem,) = refused.value.problems
    assert "Ag, Cu of 3N stands in the way" in problem.text
    # 10 g (900 - 583.333)/(1000 - 900).
    assert problem.nearest == "31.6667 g of fine gold"
    with pytest.raises(RecipeError, match=r"nothing but gold.*10 g of an alloy without gold"):
        change_fineness(FINE_GOLD, 10, 500)
    with pytest.raises(RecipeError, match="refining, which takes out Ag, Cu"):
        change_fineness(THREE_N, 10, 1000)
    with pytest.raises(RecipeError, match="its gold stands in the way"):
        change_fineness(KT_14, 10, 500, adding=THREE_N)


def test_cadmium_of_old_solder_is_not_added_unasked() -> None:
    old = Recipe.of("old", {"Au": 58.5, "Ag": 36.5, "Cd": 5})
    with pytest.raises(RecipeError, match="more of that is not added"):
        change_fineness(old, 10, 375)
    assert change_fineness(old, 10, 375, adding=Recipe.of("Ag", {"Ag": 100})).add_g > 0
