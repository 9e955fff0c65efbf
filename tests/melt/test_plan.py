"""The melt plan: its balance of metal, what is missing, what is kept out, and the margin.

Expected numbers are *derived*, by independent arithmetic in `stock`. Every property is tried on
stocks at random.
"""

from __future__ import annotations

from math import ceil

import pytest
from hypothesis import HealthCheck, assume, given, settings
from melt.stock import (
    BINARY,
    EXACT,
    FINE,
    GREEN,
    STERLING,
    YELLOW,
    lot,
    lot_of,
    melts,
    metal_g,
    poured_g,
    rules,
    stocks,
    used_g,
    want,
)

from ringgeom.melt import Wanted, melt_plan
from ringgeom.metal import fineness
from ringgeom.shop import Flag, Lot, MeltSettings

often = settings(
    max_examples=25, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow]
)
"""The same stocks every time; a plan takes some 20 ms, more on a busy machine."""


@often
@given(wanted=melts(), lots=stocks(), shop=rules())
def test_no_gram_is_negative_and_no_lot_is_overdrawn(
    wanted: tuple[Wanted, ...], lots: tuple[Lot, ...], shop: MeltSettings
) -> None:
    plan = melt_plan(wanted, lots, shop)
    assert all(portion.grams > 0 for melt in plan.melts for portion in melt.take)
    assert all(lack.grams > 0 for melt in plan.melts for lack in melt.missing)
    left = {rest.lot: rest.grams for rest in plan.left}
    for one in lots:
        assert used_g(plan, one.name) <= one.grams + BINARY
        assert left[one.name] == pytest.approx(one.grams - used_g(plan, one.name), abs=BINARY)
        assert left[one.name] >= 0


@often
@given(wanted=melts(), lots=stocks(), shop=rules())
def test_every_metal_balances(
    wanted: tuple[Wanted, ...], lots: tuple[Lot, ...], shop: MeltSettings
) -> None:
    """What is weighed in is what is poured and what goes off as fume, metal by metal."""
    for melt in melt_plan(wanted, lots, shop).melts:
        if not melt.take:
            continue
        weighed, poured = metal_g(melt), poured_g(melt, shop)
        assert melt.poured_g == pytest.approx(sum(poured.values()), rel=BINARY)
        assert melt.fume_g == pytest.approx(
            weighed.get("Zn", 0.0) - poured.get("Zn", 0.0), abs=BINARY
        )
        for symbol, grams in poured.items():
            made = melt.made.recipe.percent(symbol) / 100 * melt.poured_g
            assert made == pytest.approx(grams, abs=1e-8)
        assert set(melt.made.recipe.symbols) <= set(weighed)
        again = sum(p.grams for p in melt.take if p.source.kind in ("returns", "scrap"))
        charge = sum(p.grams for p in melt.take)
        assert melt.remelt_percent == pytest.approx(100 * again / charge, abs=1e-8)


@often
@given(wanted=melts(), lots=stocks(), shop=rules())
def test_a_melt_is_possible_or_says_what_is_missing(
    wanted: tuple[Wanted, ...], lots: tuple[Lot, ...], shop: MeltSettings
) -> None:
    plan = melt_plan(wanted, lots, shop)
    for melt in plan.melts:
        assert melt.possible == (not melt.missing)
        # only metals of the recipe can be missing
        assert {lack.symbol for lack in melt.missing} <= set(melt.wanted.alloy.recipe.symbols)
        # every lot is either in the melt or kept out with a reason
        taken = {portion.source.name for portion in melt.take}
        out = {kept.lot for kept in melt.excluded}
        assert not taken & out
        assert {one.name for one in lots} <= taken | out
        assert all(kept.why for kept in melt.excluded)


@often
@given(wanted=melts(), lots=stocks(), shop=rules(hold_worst_case=False))
def test_adding_exactly_what_is_missing_makes_it_possible(
    wanted: tuple[Wanted, ...], lots: tuple[Lot, ...], shop: MeltSettings
) -> None:
    plan = melt_plan(wanted, lots, shop)
    assume(not plan.possible)
    lacking: dict[str, float] = {}
    for melt in plan.melts:
        for lack in melt.missing:
            lacking[lack.symbol] = lacking.get(lack.symbol, 0.0) + lack.grams
    step = shop.balance_g
    added = tuple(
        # weighed on the balance: up to a whole step, and one for good measure
        lot_of(f"added {symbol}", round((ceil(grams / step) + 1) * step, 6), {symbol: 100.0})
        for symbol, grams in lacking.items()
    )
    assert melt_plan(wanted, lots + added, shop).possible
    # and half of it does not: what is missing is not told too high
    half = tuple(one.model_copy(update={"grams": one.grams / 2 - step}) for one in added)
    if all(one.grams > 0 for one in half):
        assert not melt_plan(wanted, lots + half, shop).possible


REFUSED: dict[str, Lot] = {
    flag: Lot(name=flag, grams=20.0, recipe=YELLOW, flags=(flag,))
    for flag in ("solder", "plated", "stones", "ferrous", "nickel", "dirty")
} | {
    "untested": Lot(name="untested", grams=20.0),
    # REACH Annex XVII entries 23 and 63: from 0.01 % cadmium, 0.05 % lead
    "cadmium": lot("cadmium", 20.0, Au=75, Ag=12.5, Cu=12.49, Cd=0.01),
    "lead": lot("lead", 20.0, Au=75, Ag=12.5, Cu=12.45, Pb=0.05),
}


@pytest.mark.parametrize("name", REFUSED)
def test_what_must_not_be_melted_is_kept_out_with_its_reason(name: str) -> None:
    """Each would be a perfect charge by itself; with fine metals or without it stays out."""
    refused = REFUSED[name]
    shop = MeltSettings(remelt_percent=100)
    for lots in ((refused,), (refused, *FINE)):
        plan = melt_plan([want(YELLOW, 6.0)], lots, shop)
        assert used_g(plan, refused.name) == 0
        assert [kept.lot for kept in plan.kept_out] == [refused.name]
        assert plan.kept_out[0].why
        assert plan.kept_out[0] in plan.melts[0].excluded
        assert plan.possible == (len(lots) > 1)


@pytest.mark.parametrize("flag", ["solder", "plated", "stones", "ferrous", "nickel", "dirty"])
def test_a_flag_that_the_shop_allows_does_not_keep_a_lot_out(flag: Flag) -> None:
    shop = EXACT.model_copy(update={"allow": (flag,), "remelt_percent": 100.0})
    plan = melt_plan([want(YELLOW, 6.0)], (REFUSED[flag],), shop)
    assert plan.possible
    assert used_g(plan, flag) == pytest.approx(6.0, abs=BINARY)


@pytest.mark.parametrize("symbol", ["Ni", "Be"])
def test_nickel_and_beryllium_never_stray_in(symbol: str) -> None:
    """A tenth of a percent is far under what may stray in of another metal."""
    shop = MeltSettings(remelt_percent=100)
    shares = {"Au": 75.0, "Ag": 12.5, "Cu": 12.4, symbol: 0.1}
    plan = melt_plan([want(YELLOW, 6.0)], (lot_of("old", 20.0, shares), *FINE), shop)
    assert plan.possible
    assert used_g(plan, "old") == 0


def test_karat_alone_does_not_make_a_colour() -> None:
    """18 kt red scrap is no green 750: gold is right, silver is not, and it stays out."""
    red = lot("red", 20.0, Au=75, Ag=4.5, Cu=20.5)
    plan = melt_plan([want(GREEN, 8.0)], (red, *FINE), MeltSettings(remelt_percent=100))
    assert used_g(plan, "red") == 0
    (why,) = [kept.why for kept in plan.melts[0].excluded if kept.lot == "red"]
    assert "copper" in why


@pytest.mark.parametrize("margin", [0.0, 2.0, 10.0])
@pytest.mark.parametrize(
    "shares", [{"Au": 100.0}, {"Ag": 99.9, "Cu": 0.1}, {"Au": 99.9, "Ag": 0.1}]
)
def test_fine_metal_cannot_be_raised_and_is_not_refused(
    shares: dict[str, float], margin: float
) -> None:
    """A margin cannot be added to 999: fine metal on hand does for fine metal wanted."""
    stock = (lot_of("grain", 20.0, shares, "fine"),)
    plan = melt_plan([want(shares, 5.0)], stock, MeltSettings(margin_permille=margin))
    assert plan.possible
    assert used_g(plan, "grain") == pytest.approx(5.0, abs=BINARY)


@pytest.mark.parametrize("margin", [0.0, 2.0, 10.0])
def test_the_margin_is_added_to_the_fineness(margin: float) -> None:
    shop = EXACT.model_copy(update={"margin_permille": margin})
    for lots in ((), FINE):
        (melt,) = melt_plan([want(YELLOW, 20.0)], lots, shop).melts
        assert melt.fineness_permille is not None
        assert melt.fineness_permille >= 750 + margin - 1e-6
        # up to 3 permille over, and a step of 0.01 g for each of three portions of 20 g
        assert melt.fineness_permille <= 750 + margin + 3 + 1.5


@pytest.mark.parametrize(
    ("gold", "over", "possible"),
    [(75.0, 3.0, True), (75.25, 3.0, True), (75.4, 3.0, False), (75.4, 5.0, True)],
)
def test_metal_that_is_too_good_cannot_be_poured_unmixed(
    gold: float, over: float, possible: bool
) -> None:
    """752.5 is within 3 permille over 750, 754 is not; silver to thin it would be missing."""
    shop = EXACT.model_copy(
        update={
            "remelt_percent": 100.0,
            "tolerance_permille": 50.0,
            "fineness_over_permille": over,
        }
    )
    plan = melt_plan([want(GREEN, 6.0)], (lot("rich", 9.0, Au=gold, Ag=100 - gold),), shop)
    assert plan.possible == possible
    if not possible:
        assert {lack.symbol for lack in plan.melts[0].missing} == {"Ag"}


def test_an_impossible_melt_does_not_spoil_another() -> None:
    """Sterling alone holds in the worst case; beside a melt that lacks gold it must, too."""
    lots = (lot("silver", 50.0, Ag=100), lot("copper", 10.0, Cu=100))
    sterling = want(STERLING, 10.0)
    (alone,) = melt_plan([sterling], lots).melts
    beside = melt_plan([sterling, want(GREEN, 10.0)], lots).melts
    assert [melt.possible for melt in beside] == [True, False]
    assert fineness(beside[0].made.recipe) is not None
    for melt in (alone, beside[0]):
        assert melt.worst_permille is not None
        assert melt.worst_permille >= 925 - 1e-6


def test_a_melt_that_cannot_be_raised_does_not_lower_another() -> None:
    """The only gold is 750 to the letter: that melt cannot hold, the sterling beside it can."""
    lots = (
        lot("rest", 9.0, Au=75, Ag=25),
        lot("silver", 50.0, Ag=100),
        lot("copper", 10.0, Cu=100),
    )
    shop = MeltSettings(remelt_percent=100)
    sterling, green = melt_plan([want(STERLING, 10.0), want(GREEN, 6.0)], lots, shop).melts
    assert sterling.possible
    assert green.possible
    assert sterling.worst_permille is not None
    assert sterling.worst_permille >= 925 - 1e-6
