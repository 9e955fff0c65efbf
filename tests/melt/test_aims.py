"""What the shop aims at: least new gold, least cost, a lot used up; and melts that share.

Expected numbers are *derived*: each aim is judged against another plan, gram by gram.
"""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from melt.stock import (
    BINARY,
    EXACT,
    FINE,
    GREEN,
    SOLVER_G,
    YELLOW,
    cost,
    lot,
    lot_of,
    melts,
    rules,
    steps_g,
    stocks,
    used_g,
    want,
)

from ringgeom.melt import Wanted, melt_plan
from ringgeom.shop import Lot, MeltSettings, Prices

often = settings(
    max_examples=25, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow]
)
"""The same stocks every time; a plan takes some 20 ms, more on a busy machine."""

PRICES = Prices.model_validate(
    {
        "currency": "EUR",
        "Au": 2300.0,
        "Ag": 28.0,
        "Cu": 0.3,
        "Zn": 0.1,
        "premium_percent": 4.0,
        "scrap_percent": 92.0,
    }
)
"""Of no date: any prices do, both plans are judged at the same."""


@often
@given(wanted=melts(most=1), lots=stocks(fine=True), other=melts(most=1), shop=rules())
def test_two_melts_together_never_need_more_new_gold_than_in_turn(
    wanted: tuple[Wanted, ...],
    lots: tuple[Lot, ...],
    other: tuple[Wanted, ...],
    shop: MeltSettings,
) -> None:
    shop = shop.model_copy(update={"hold_worst_case": False})
    first = melt_plan(wanted, lots, shop)
    rest = {one.lot: one.grams for one in first.left}
    # what rounding leaves of a lot is not worth weighing again
    kept = tuple(
        one.model_copy(update={"grams": rest[one.name]})
        for one in lots
        if rest[one.name] > shop.balance_g
    )
    second = melt_plan(other, kept, shop)
    assume(first.possible and second.possible)
    both = melt_plan((*wanted, *other), lots, shop)
    assert both.possible
    assert (
        both.new_gold_g
        <= first.new_gold_g
        + second.new_gold_g
        # every portion of either plan may be rounded by two steps
        + steps_g(both, shop)
        + steps_g(first, shop)
        + steps_g(second, shop)
        + SOLVER_G
    )


def test_sharing_gives_the_scrap_to_the_melt_that_saves_most() -> None:
    """One after the other the first takes the rich scrap, and the second cannot do without.

    10 g of 375 and 10 g of 750, half of each remelt; 5 g of scrap at 750, 9 g at 375. Each melt
    takes 5 g again; as rich as may be, they hold 5 x 0.75 + 5 x 0.375 = 5.625 g of gold together,
    of 11.25 g that both need: 5.625 g are new.
    """
    low = {"Au": 37.5, "Ag": 31.5, "Cu": 31.0}
    lots = (lot("rich", 5.0, Au=75, Ag=12.5, Cu=12.5), lot_of("poor", 9.0, low), *FINE)
    plan = melt_plan([want(low, 10.0), want(YELLOW, 10.0)], lots, EXACT)
    # steps of 0.01 g, two for the gold of each melt
    assert plan.new_gold_g == pytest.approx(5.625, abs=0.04)


@often
@given(wanted=melts(), lots=stocks(fine=True), shop=rules(hold_worst_case=False))
def test_least_cost_never_costs_more_than_least_new_gold(
    wanted: tuple[Wanted, ...], lots: tuple[Lot, ...], shop: MeltSettings
) -> None:
    gold = melt_plan(wanted, lots, shop, PRICES)
    cheap = melt_plan(wanted, lots, shop.model_copy(update={"aim": "least cost"}), PRICES)
    assert cheap.possible == gold.possible
    assume(gold.possible)
    price = PRICES.per_g("Au") or 0.0
    # no portion is dearer than gold; every portion of either may be rounded by two steps
    slack = price * (steps_g(cheap, shop) + steps_g(gold, shop))
    assert cost(cheap, PRICES) <= cost(gold, PRICES) + slack + 1e-3


@often
@given(
    wanted=melts(),
    lots=stocks(),
    shop=rules(hold_worst_case=False),
    number=st.integers(0, 6),
)
def test_use_up_uses_at_least_as_much_of_the_lot_as_any_other_aim(
    wanted: tuple[Wanted, ...], lots: tuple[Lot, ...], shop: MeltSettings, number: int
) -> None:
    name = lots[number % len(lots)].name
    used_up = melt_plan(
        wanted, lots, shop.model_copy(update={"aim": "use up", "use_up": name}), PRICES
    )
    for aim in ("least new gold", "least cost"):
        other = melt_plan(wanted, lots, shop.model_copy(update={"aim": aim}), PRICES)
        assert other.possible == used_up.possible
        if not used_up.possible:
            continue
        # the lot's portion of each melt, a step down in one plan and two up in the other
        slack = 3 * shop.balance_g * len(wanted) + SOLVER_G
        assert used_g(used_up, name) >= used_g(other, name) - slack


@pytest.mark.parametrize("unit_g", [1.0, 31.1034768])
def test_a_plan_by_cost_is_found_at_any_price(unit_g: float) -> None:
    """One lot that is the very alloy: nothing to choose, whatever it costs."""
    prices = Prices.model_validate(
        {"currency": "EUR", "Au": 70 * unit_g, "Ag": 0.9 * unit_g, "sure": True}
    )
    shop = EXACT.model_copy(update={"aim": "least cost", "remelt_percent": 100.0})
    plan = melt_plan([want(GREEN, 4.0)], (lot("rest", 9.0, Au=75, Ag=25),), shop, prices)
    assert plan.possible
    assert used_g(plan, "rest") == pytest.approx(4.0, abs=BINARY)


@pytest.mark.parametrize("aim", ["least new gold", "least cost"])
def test_what_lies_in_the_drawer_goes_before_what_must_be_bought(aim: str) -> None:
    """6 g of 750 need 4.5 g of gold: 3 g are there, so 1.5 g are bought, never more."""
    shop = EXACT.model_copy(update={"aim": aim, "buy": ("Au", "Ag"), "fineness_over_permille": 0.1})
    lots = (lot("gold", 3.0, Au=100), lot("silver", 1.0, Ag=100))
    plan = melt_plan([want(GREEN, 6.0)], lots, shop, PRICES)
    assert plan.possible
    # two steps of 0.01 g for the rounding of each portion
    assert used_g(plan, "gold") == pytest.approx(3.0, abs=0.02)
    assert used_g(plan, "silver") == pytest.approx(1.0, abs=0.02)
    bought = {p.source.recipe.symbols[0]: p.grams for p in plan.melts[0].take if p.source.bought}
    assert bought["Au"] == pytest.approx(1.5, abs=0.02)
    assert bought["Ag"] == pytest.approx(0.5, abs=0.02)


def test_scrap_saves_new_gold_up_to_half_of_the_charge() -> None:
    """8 g of 750 with 4 g of 750 scrap: 3 g of gold are new, though gold to spare is there."""
    lots = (lot("scrap", 20.0, Au=75, Ag=12.5, Cu=12.5), *FINE)
    plan = melt_plan([want(YELLOW, 8.0)], lots, EXACT)
    # a fineness of no more than 750, and two steps of 0.01 g
    assert plan.new_gold_g == pytest.approx(3.0, abs=0.02)
