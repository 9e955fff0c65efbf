"""Weighed out on a balance: whole steps, fineness never lost, the other limits by a step at most.

Expected numbers are *derived*: the worst case is found by trying every sign of half a step on
every portion, the limits from what a melt must be.
"""

from __future__ import annotations

from collections.abc import Mapping

import pytest
from hypothesis import HealthCheck, assume, given, settings
from melt.stock import (
    BINARY,
    EXACT,
    FINE,
    GREEN,
    LOW,
    STERLING,
    YELLOW,
    lot,
    melts,
    poured_g,
    rules,
    stocks,
    want,
    worst,
)

from ringgeom.melt import Melt, Wanted, melt_plan
from ringgeom.shop import Lot, MeltSettings

often = settings(
    max_examples=25, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow]
)
"""The same stocks every time; a plan takes some 20 ms, more on a busy machine."""

SURE_PERMILLE = 1e-6
"""Binary rounding of a fineness."""


def in_steps(grams: float, step_g: float) -> bool:
    # a step of 0.001 g is no binary number
    return abs(grams / step_g - round(grams / step_g)) < 1e-6


def slack(melt: Melt, shop: MeltSettings) -> float:
    """What rounding may move of a share: a step for each portion, in all that is poured.

    A portion that is rounded away to nothing is one more, so one is added.
    """
    return (len(melt.take) + 1) * shop.balance_g / min(melt.poured_g, melt.wanted.grams)


@often
@given(wanted=melts(), lots=stocks(), shop=rules())
def test_portions_are_whole_steps_or_all_there_is(
    wanted: tuple[Wanted, ...], lots: tuple[Lot, ...], shop: MeltSettings
) -> None:
    plan = melt_plan(wanted, lots, shop)
    for number, melt in enumerate(plan.melts):
        for portion in melt.take:
            before = sum(
                p.grams
                for earlier in plan.melts[:number]
                for p in earlier.take
                if p.source.name == portion.source.name
            )
            # the rest of a lot goes in without weighing a part off
            rest = portion.source.grams - before
            assert in_steps(portion.grams, shop.balance_g) or portion.grams == pytest.approx(
                rest, abs=BINARY
            )


@often
@given(wanted=melts(), lots=stocks(), shop=rules())
def test_grams_carry_no_binary_tail(
    wanted: tuple[Wanted, ...], lots: tuple[Lot, ...], shop: MeltSettings
) -> None:
    """What is left of 4.60 g after 0.82 g is 3.78 g, not 3.7799999999999994."""
    for melt in melt_plan(wanted, lots, shop).melts:
        for portion in melt.take:
            # lots are given to 0.01 g, balances show 0.001 g: six places are more than enough
            assert portion.grams == round(portion.grams, 6)


@often
@given(wanted=melts(), lots=stocks(), shop=rules())
def test_the_fineness_of_a_possible_melt_is_never_under_its_recipe(
    wanted: tuple[Wanted, ...], lots: tuple[Lot, ...], shop: MeltSettings
) -> None:
    """ISO 9202: a fineness is a minimum."""
    for melt in melt_plan(wanted, lots, shop).melts:
        if not melt.possible:
            continue
        made, symbol = poured_g(melt, shop), melt.wanted.mark_symbol
        assert symbol is not None
        fineness = 1000 * made[symbol] / sum(made.values())
        assert fineness >= melt.wanted.wanted_permille - SURE_PERMILLE
        assert melt.fineness_permille == pytest.approx(fineness, abs=SURE_PERMILLE)


@often
@given(wanted=melts(), lots=stocks(), shop=rules())
def test_the_worst_case_is_the_worst_of_all_signs(
    wanted: tuple[Wanted, ...], lots: tuple[Lot, ...], shop: MeltSettings
) -> None:
    for melt in melt_plan(wanted, lots, shop).melts:
        if melt.take:
            assert melt.worst_permille == pytest.approx(
                worst(melt, shop.balance_g), abs=SURE_PERMILLE
            )


@often
@given(wanted=melts(), lots=stocks(fine=True), shop=rules(hold_worst_case=True))
def test_the_worst_case_holds_where_fine_metal_is_at_hand(
    wanted: tuple[Wanted, ...], lots: tuple[Lot, ...], shop: MeltSettings
) -> None:
    for melt in melt_plan(wanted, lots, shop).melts:
        assert melt.possible
        assert worst(melt, shop.balance_g) >= melt.wanted.wanted_permille - SURE_PERMILLE


@pytest.mark.parametrize("step_g", [0.1, 0.01, 0.001])
@pytest.mark.parametrize("grams", [2.0, 5.0, 31.1])
@pytest.mark.parametrize("shares", [YELLOW, GREEN, LOW, STERLING])
def test_the_worst_case_holds_from_fine_metals(
    shares: Mapping[str, float], grams: float, step_g: float
) -> None:
    """0.01 g on a melt of 2 g is 5 permille: the balance alone can cost the mark."""
    shop = MeltSettings(balance_g=step_g)
    (melt,) = melt_plan([want(shares, grams)], (), shop).melts
    assert worst(melt, step_g) >= melt.wanted.wanted_permille - SURE_PERMILLE


@often
@given(wanted=melts(), lots=stocks(), shop=rules(hold_worst_case=False))
def test_limits_are_kept_but_for_a_step_of_each_portion(
    wanted: tuple[Wanted, ...], lots: tuple[Lot, ...], shop: MeltSettings
) -> None:
    """Tolerance, stray metal, fineness over its minimum, and the share melted before."""
    for melt in melt_plan(wanted, lots, shop).melts:
        if not melt.possible:
            continue
        made, total = poured_g(melt, shop), melt.poured_g
        recipe, symbol = melt.wanted.alloy.recipe, melt.wanted.mark_symbol
        room = slack(melt, shop)
        marked = melt.wanted.wanted_permille / 1000
        raised = marked + shop.margin_permille / 1000
        for metal in {*made, *recipe.symbols}:
            share, asked = made.get(metal, 0.0) / total, recipe.percent(metal) / 100
            if metal == symbol:
                assert share <= raised + shop.fineness_over_permille / 1000 + room
                continue
            tolerance = (shop.tolerance_permille if asked else shop.stray_permille) / 1000
            # the margin is taken from the other metals in proportion
            aimed = asked * (1 - raised) / (1 - marked)
            assert abs(share - aimed) <= tolerance + room
        assert melt.remelt_percent / 100 <= shop.remelt_percent / 100 + room


@often
@given(wanted=melts(), lots=stocks(), shop=rules())
def test_enough_is_poured_but_for_a_step_of_each_portion(
    wanted: tuple[Wanted, ...], lots: tuple[Lot, ...], shop: MeltSettings
) -> None:
    for melt in melt_plan(wanted, lots, shop).melts:
        if melt.possible:
            steps = (len(melt.take) + 1) * shop.balance_g
            assert melt.poured_g >= melt.wanted.grams - steps
            # up to two steps more of each portion bring the fineness up
            assert melt.poured_g <= melt.wanted.grams + 2 * steps


@often
@given(wanted=melts(most=1), shop=rules(hold_worst_case=False))
def test_enough_is_poured_where_every_fine_metal_is_at_hand(
    wanted: tuple[Wanted, ...], shop: MeltSettings
) -> None:
    """On a balance of a thousandth of the melt or less there is always room to round up."""
    assume(wanted[0].grams >= 1000 * shop.balance_g)
    (bought,) = melt_plan(wanted, (), shop).melts
    assert bought.poured_g >= wanted[0].grams - BINARY
    # least new metal lies on the edge of another metal's tolerance, which goes before a last step
    (stocked,) = melt_plan(wanted, FINE, shop).melts
    assert stocked.poured_g >= wanted[0].grams - shop.balance_g - BINARY


def test_a_lot_shared_to_the_last_step_does_not_cost_the_fineness() -> None:
    """2.82 g of fine gold make 4.82 g of 585, and 4.8205 g are wanted in two melts.

    1.41 g of gold with 1.00 g of silver is 585.06: both melts can be poured over the minimum.
    """
    low = {"Au": 58.5, "Ag": 41.5}
    lots = (lot("gold", 2.82, Au=100), lot("silver", 50.0, Ag=100))
    plan = melt_plan([want(low, 2.4102), want(low, 2.4103)], lots, EXACT)
    for melt in plan.melts:
        assert melt.possible
        assert melt.fineness_permille is not None
        assert melt.fineness_permille >= 585 - SURE_PERMILLE


def test_two_grams_of_585_on_a_coarse_balance() -> None:
    """In steps of 0.1 g: 1.2 g of gold in 2.0 g is 600, 1.1 g would be 550."""
    shop = EXACT.model_copy(update={"balance_g": 0.1, "fineness_over_permille": 20.0})
    (melt,) = melt_plan([want({"Au": 58.5, "Ag": 41.5}, 2.0)], (), shop).melts
    assert melt.fineness_permille is not None
    assert melt.fineness_permille >= 585
    assert melt.poured_g >= 2.0 - BINARY
