"""Lots and prices as a shop writes them: every slip told with its place and the way out.

Expected texts are only the word that shows the slip was understood; numbers are *derived*.
"""

from __future__ import annotations

import pytest

from ringgeom.errors import InputError, Problem
from ringgeom.melt import Wanted, melt_plan
from ringgeom.metal import alloy_from_recipe
from ringgeom.shop import Lot, MeltSettings, Prices, Shop, shop_from_text

GREEN = Wanted(job="", alloy=alloy_from_recipe("green", {"Au": 75, "Ag": 25}), grams=4.0)

OUNCE_G = 31.1034768
"""480 grains of 64.79891 mg: exact by definition."""


def lot(line: str) -> str:
    """A shop file with one good lot, one of its lines changed or added; line 4 is `line`."""
    keys = {"grams": "grams = 5.0", "recipe": "recipe = { Au = 75, Ag = 25 }"}
    keys.pop(line.split("=")[0].strip(), None)
    return "\n".join(["# stock", "[[lot]]", 'name = "old ring"', line, *keys.values()])


def refused(text: str) -> tuple[Problem, ...]:
    with pytest.raises(InputError) as caught:
        shop_from_text(text)
    return caught.value.problems


def one(text: str) -> Problem:
    problems = refused(text)
    assert len(problems) == 1, problems
    return problems[0]


def test_a_good_lot_is_read() -> None:
    shop = shop_from_text(lot('flags = ["solder"]'))
    (read,) = shop.lots
    assert read.grams == 5.0
    assert read.flags == ("solder",)
    assert read.made_of is not None
    assert read.made_of.shares == (("Au", 75.0), ("Ag", 25.0))
    assert read.is_kind == "scrap"


@pytest.mark.parametrize(
    "written", ['"Au 75 Ag 25"', "{ Au = 75, Ag = 25 }", '"75 Au, 25 Ag"', "{ Ag = 25, Au = 75.0 }"]
)
def test_a_recipe_may_be_text_or_a_table(written: str) -> None:
    made = shop_from_text(lot(f"recipe = {written}")).lots[0].made_of
    assert made is not None
    assert dict(made.shares) == {"Au": 75.0, "Ag": 25.0}


@pytest.mark.parametrize(
    ("recipe", "kind"),
    [
        ("{ Au = 100 }", "fine"),
        ("{ Ag = 99.9, Cu = 0.1 }", "fine"),
        ("{ Au = 75, Ag = 25 }", "scrap"),
    ],
)
def test_a_single_fine_metal_is_new_and_all_else_is_scrap_unless_told(
    recipe: str, kind: str
) -> None:
    assert shop_from_text(lot(f"recipe = {recipe}")).lots[0].is_kind == kind


def test_a_lot_need_not_have_a_recipe() -> None:
    text = '[[lot]]\nname = "grandmother, stamped 14k"\ngrams = 3.2\n'
    assert shop_from_text(text).lots[0].made_of is None


@pytest.mark.parametrize("grams", ["0", "-1.5", "nan", "inf", '"5"', "true"])
def test_grams_are_a_positive_number(grams: str) -> None:
    problem = one(lot(f"grams = {grams}"))
    assert "grams" in problem.where
    assert '"old ring"' in problem.where
    assert problem.line == 4
    assert problem.value == grams


@pytest.mark.parametrize(
    ("recipe", "words"),
    [
        # 75 + 24 is one short
        ("{ Au = 75, Ag = 24 }", ("99", "1 %")),
        ("{ Au = 75, Ag = 26 }", ("101", "1 %")),
        # 18/24 is 75 %
        ("{ Au = 18, Ag = 12.5, Cu = 12.5 }", ("karat", "75")),
        # 14/24 is 58.33 %
        ('"Au 14 Ag 20 Cu 21.7"', ("karat", "58.33")),
        ("{ Au = 18, Ag = 6 }", ("parts of 24", "Au 75", "Ag 25")),
        ("{ Au = 0.75, Ag = 0.25 }", ("fraction", "100")),
        ("{ Au = 750, Ag = 250 }", ("permille", "10")),
        ("{ Au = 75, Sliver = 25 }", ("Sliver", "Ag")),
        ("{ Au = 75, Xx = 25 }", ("Xx",)),
        ("{ Au = 75, ag = 25 }", ("ag", "Ag")),
        ("{ Au = -5, Ag = 105 }", ("-5",)),
        ("{}", ("no metal",)),
        ('"18k"', ("karat", "750")),
        ('"Au 75 Ag"', ("Au 75 Ag",)),
        ("18", ("18",)),
    ],
)
def test_what_is_no_recipe_is_told_with_the_way_out(recipe: str, words: tuple[str, ...]) -> None:
    problems = refused(lot(f"recipe = {recipe}"))
    said = " ".join(str(problem) for problem in problems)
    for word in words:
        assert word in said
    for problem in problems:
        assert "recipe" in problem.where
        assert problem.line == 4


@pytest.mark.parametrize(
    ("line", "nearest"),
    [
        ('flags = ["soldered"]', "solder"),
        ('flags = ["plate"]', "plated"),
        ('kind = "return"', "returns"),
        ("uncertainty_permile = 2", "uncertainty_permille"),
        ('flag = ["solder"]', "flags"),
    ],
)
def test_an_unknown_word_names_the_nearest(line: str, nearest: str) -> None:
    problem = one(lot(line))
    assert problem.nearest == nearest
    assert nearest in problem.allowed
    assert problem.line == 4


def test_every_wrong_lot_is_told_at_once() -> None:
    text = lot("grams = -1") + "\n" + lot('flags = ["glue"]')
    assert [problem.where.split(".")[0][:5] for problem in refused(text)] == ["lot 1", "lot 2"]


def test_two_lots_of_one_name_are_refused() -> None:
    """Wherever it is noticed: when the file is read, or when the lots are planned with."""
    text = lot("grams = 2.0") + "\n" + lot("grams = 3.0")
    with pytest.raises(InputError, match="old ring"):
        melt_plan([GREEN], shop_from_text(text).lots)


@pytest.mark.parametrize("ounce", ["28.35", "28.349523125", "30", "31.2"])
def test_another_ounce_than_the_troy_ounce_is_refused(ounce: str) -> None:
    problem = one(f'[prices]\ncurrency = "EUR"\nAu = 2300\nounce_g = {ounce}\n')
    assert problem.where.endswith("ounce_g")
    assert problem.line == 4
    assert "31.1" in problem.allowed


@pytest.mark.parametrize("ounce", ["31.1", "31.103", "31.1035", "31.1034768"])
def test_the_troy_ounce_is_read_as_price_lists_round_it(ounce: str) -> None:
    shop = shop_from_text(f'[prices]\ncurrency = "EUR"\nAu = 2300\nounce_g = {ounce}\n')
    assert shop.prices is not None
    # the exact ounce, however it was rounded: binary rounding only
    assert shop.prices.per_g("Au") == pytest.approx(2300 / OUNCE_G, rel=1e-12)


@pytest.mark.parametrize(
    ("unit", "gold", "meant"), [("troy ounce", 75.0, '"g"'), ("g", 2300.0, '"troy ounce"')]
)
def test_gold_in_the_other_unit_is_questioned(unit: str, gold: float, meant: str) -> None:
    """Gold cost 20 to 110 EUR, USD or GBP a gram since 2005: common practice, no source."""
    text = f'[prices]\ncurrency = "EUR"\nunit = "{unit}"\nAu = {gold}\n'
    problem = one(text)
    assert problem.where == "prices.Au"
    assert problem.line == 4
    assert meant in problem.nearest
    assert shop_from_text(text + "sure = true\n").prices is not None


def test_a_price_per_gram_and_one_per_ounce_are_the_same_price() -> None:
    def price(unit: str, gold: float) -> Prices:
        prices = shop_from_text(
            f'[prices]\ncurrency = "EUR"\nunit = "{unit}"\nAu = {gold}\nsure = true\n'
        ).prices
        assert prices is not None
        return prices

    # binary rounding only
    assert price("g", 2300 / OUNCE_G).per_g("Au") == pytest.approx(
        price("troy ounce", 2300.0).per_g("Au"), rel=1e-12
    )
    assert price("g", 80.0).per_g("Ag") is None


@pytest.mark.parametrize(
    ("line", "word"),
    [("Au = 0", "0"), ("Au = -3", "-3"), ('Au = "2300"', "2300"), ("Au = inf", "inf")],
)
def test_a_price_is_a_positive_number(line: str, word: str) -> None:
    problem = one(f'[prices]\ncurrency = "EUR"\n{line}\n')
    assert word in problem.value
    assert problem.line == 3


@pytest.mark.parametrize(
    ("line", "nearest"), [("Gold = 2300", "Au"), ("premum_percent = 3", "premium_percent")]
)
def test_an_unknown_key_of_prices_names_the_nearest(line: str, nearest: str) -> None:
    """Unknown keys are errors that name the nearest key, with their own line."""
    problem = one(f'[prices]\ncurrency = "EUR"\nAg = 25\n{line}\n')
    assert problem.nearest == nearest
    assert problem.line == 4


def test_prices_need_a_currency() -> None:
    assert "currency" in one("[prices]\nAu = 2300\n").where


@pytest.mark.parametrize(
    "line",
    [
        "balance_g = 0",
        "balance_g = -0.01",
        "remelt_percent = 120",
        "zinc_fume_percent = 50",
        "margin_permille = -1",
        'aim = "cheapest"',
        'aim = "use up"',
        'buy = ["Gold"]',
        "tolerance = { Xx = 3 }",
        'allow = ["glue"]',
        "balance = 0.01",
    ],
)
def test_settings_of_the_melt_are_refused_outside_their_range(line: str) -> None:
    problem = one(f"[melt]\n{line}\n")
    assert problem.where.startswith("melt")
    assert problem.line == 2


def test_least_cost_needs_a_price_of_each_precious_metal() -> None:
    lots = (Lot(name="rest", grams=9.0, recipe={"Au": 75.0, "Ag": 25.0}),)
    settings = MeltSettings(aim="least cost", remelt_percent=100)
    gold_only = Prices.model_validate({"currency": "EUR", "Au": 2300.0})
    with pytest.raises(InputError, match="Au Ag"):
        melt_plan([GREEN], lots, settings)
    with pytest.raises(InputError, match="Ag") as caught:
        melt_plan([GREEN], lots, settings, gold_only)
    assert "Au" not in caught.value.problems[0].text
    both = Prices.model_validate({"currency": "EUR", "Au": 2300.0, "Ag": 25.0})
    assert melt_plan([GREEN], lots, settings, both).possible


def test_a_lot_to_use_up_must_be_in_the_stock() -> None:
    lots = (Lot(name="rest", grams=9.0, recipe={"Au": 75.0, "Ag": 25.0}),)
    with pytest.raises(InputError) as caught:
        melt_plan([GREEN], lots, MeltSettings(aim="use up", use_up="rests"))
    (problem,) = caught.value.problems
    assert problem.value == "rests"
    assert "rest" in problem.allowed


def test_without_a_shop_file_nothing_is_priced_and_nothing_is_on_hand() -> None:
    assert Shop().prices is None
    assert Shop().lots == ()
