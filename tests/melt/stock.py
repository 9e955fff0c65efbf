"""Stocks and melts at random, and the arithmetic of a melt done over again, for the melt tests."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import product

from hypothesis import strategies as st

from ringgeom.melt import Melt, MeltPlan, Wanted
from ringgeom.metal import alloy_from_recipe
from ringgeom.shop import Lot, LotKind, MeltSettings, Prices

YELLOW = {"Au": 75.0, "Ag": 12.5, "Cu": 12.5}
GREEN = {"Au": 75.0, "Ag": 25.0}
LOW = {"Au": 58.5, "Ag": 20.0, "Cu": 21.5}
ZINC = {"Au": 58.5, "Ag": 10.0, "Cu": 25.0, "Zn": 6.5}
STERLING = {"Ag": 92.5, "Cu": 7.5}

RECIPES = (YELLOW, GREEN, LOW, ZINC, STERLING)

EXACT = MeltSettings(hold_worst_case=False)
"""Without the margin for the worst case, where two plans are compared gram by gram."""

BINARY = 1e-9
"""Binary rounding of decimal grams and percents."""

SOLVER_G = 1e-4
"""Far below any balance, far above the tolerance of a linear programme on grams (1e-7)."""


def want(shares: Mapping[str, float], grams: float, job: str = "") -> Wanted:
    return Wanted(job=job, alloy=alloy_from_recipe("wanted", shares), grams=grams)


def lot(name: str, grams: float, kind: LotKind | None = None, **shares: float) -> Lot:
    return lot_of(name, grams, shares, kind)


def lot_of(
    name: str, grams: float, shares: Mapping[str, float], kind: LotKind | None = None
) -> Lot:
    recipe = {symbol: float(percent) for symbol, percent in shares.items() if percent}
    return Lot(name=name, grams=grams, recipe=recipe or None, kind=kind)


FINE = (
    lot("gold", 60.0, Au=100),
    lot("silver", 60.0, Ag=100),
    lot("copper", 60.0, Cu=100),
    lot("zinc", 60.0, Zn=100),
)
"""Enough of every fine metal for any melt here."""


@st.composite
def scraps(draw: st.DrawFn, number: int) -> Lot:
    """A lot of gold or silver alloy, weighed on the shop's balance."""
    grams = draw(st.integers(20, 1500)) * 0.01
    kinds: tuple[LotKind, ...] = ("returns", "scrap", "scrap")
    gold = draw(st.sampled_from([37.5, 58.5, 75.0, 91.6]))
    silver = round((100 - gold) * draw(st.integers(2, 8)) / 10, 2)
    return Lot(
        name=f"lot {number}",
        grams=round(grams, 2),
        recipe={"Au": gold, "Ag": silver, "Cu": round(100 - gold - silver, 2)},
        kind=draw(st.sampled_from(kinds)),
        uncertainty_permille=draw(st.sampled_from([0.0, 0.0, 2.0])),
    )


@st.composite
def stocks(draw: st.DrawFn, *, fine: bool | None = None) -> tuple[Lot, ...]:
    """Up to three lots of scrap, a master alloy or not, and fine metals or some of them."""
    found = [draw(scraps(number)) for number in range(draw(st.integers(0, 3)))]
    if draw(st.booleans()):
        grams = draw(st.integers(20, 900)) / 100
        found.append(lot("master", grams, "master", Ag=45, Cu=50, Zn=5))
    whole = draw(st.booleans()) if fine is None else fine
    for metal in FINE:
        if whole:
            found.append(metal)
        elif draw(st.booleans()):
            grams = draw(st.integers(20, 900)) / 100
            found.append(metal.model_copy(update={"grams": grams}))
    return tuple(found) or (FINE[0],)


@st.composite
def melts(draw: st.DrawFn, most: int = 2) -> tuple[Wanted, ...]:
    return tuple(
        want(draw(st.sampled_from(RECIPES)), draw(st.integers(200, 2000)) / 100, f"job {k}")
        for k in range(draw(st.integers(1, most)))
    )


@st.composite
def rules(draw: st.DrawFn, /, **fixed: object) -> MeltSettings:
    asked: dict[str, object] = {
        "balance_g": draw(st.sampled_from([0.001, 0.01, 0.1])),
        "remelt_percent": draw(st.sampled_from([0.0, 50.0, 100.0])),
        "margin_permille": draw(st.sampled_from([0.0, 2.0])),
        "zinc_fume_percent": draw(st.sampled_from([0.0, 5.0, 20.0])),
        "hold_worst_case": draw(st.booleans()),
    }
    return MeltSettings.model_validate(asked | fixed)


def metal_g(melt: Melt) -> dict[str, float]:
    """Grams of every metal weighed in, added up portion by portion."""
    found: dict[str, float] = {}
    for portion in melt.take:
        for symbol, percent in portion.source.recipe.shares:
            found[symbol] = found.get(symbol, 0.0) + portion.grams * percent / 100
    return found


def poured_g(melt: Melt, settings: MeltSettings) -> dict[str, float]:
    """Grams of every metal poured: weighed in, less the zinc's fume."""
    found = metal_g(melt)
    if "Zn" in found:
        found["Zn"] *= 1 - settings.zinc_fume_percent / 100
    return found


def worst(melt: Melt, step_g: float) -> float:
    """Least fineness [permille] of all ways in which each portion is half a step off.

    The lots are as poor as they may be, and no zinc goes off.
    """
    symbol = melt.wanted.mark_symbol
    assert symbol is not None
    rich = [
        max(0.0, portion.source.share(symbol) - portion.source.uncertainty_permille / 1000)
        for portion in melt.take
    ]
    found = []
    for signs in product((-0.5, 0.5), repeat=len(rich)):
        grams = [
            max(0.0, p.grams + sign * step_g) for p, sign in zip(melt.take, signs, strict=True)
        ]
        if sum(grams) > 0:
            held = sum(g * r for g, r in zip(grams, rich, strict=True))
            found.append(1000 * held / sum(grams))
    return min(found)


def used_g(plan: MeltPlan, name: str) -> float:
    return sum(p.grams for melt in plan.melts for p in melt.take if p.source.name == name)


def cost(plan: MeltPlan, prices: Prices) -> float:
    """What the metal of a plan is worth: new at its price, melted before at the scrap's."""
    total = 0.0
    for melt in plan.melts:
        for portion in melt.take:
            value = sum(
                percent / 100 * (prices.per_g(symbol) or 0.0)
                for symbol, percent in portion.source.recipe.shares
            )
            if portion.source.bought:
                value *= 1 + prices.premium_percent / 100
            elif not portion.source.is_new:
                value *= prices.scrap_percent / 100
            total += value * portion.grams
    return total


def steps_g(plan: MeltPlan, settings: MeltSettings, steps: float = 2.0) -> float:
    """What rounding may move in a plan: so many steps for every portion weighed."""
    return steps * settings.balance_g * sum(max(1, len(melt.take)) for melt in plan.melts)
