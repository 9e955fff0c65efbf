"""Every weighing of a small stock in whole steps of a balance: the search, with its own arithmetic.

Nothing of the melt plan is used but the call of it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from ringgeom.melt import Melt, MeltPlan, Wanted, melt_plan
from ringgeom.metal import alloy_from_recipe
from ringgeom.shop import Lot, MeltSettings

Grams = NDArray[np.float64]

EPS = 1e-9
"""Binary rounding of decimal grams and shares."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rules:
    """The shop's rules of a case; permille and percent as a shop writes them."""

    step_g: float
    tolerance: float = 60.0
    over: float = 60.0
    stray: float = 20.0
    remelt: float = 50.0
    fume: float = 5.0
    margin: float = 0.0
    buy: tuple[str, ...] = ()

    def settings(self, *, worst: bool = False) -> MeltSettings:
        return MeltSettings(
            hold_worst_case=worst,
            balance_g=self.step_g,
            tolerance_permille=self.tolerance,
            fineness_over_permille=self.over,
            stray_permille=self.stray,
            remelt_percent=self.remelt,
            zinc_fume_percent=self.fume,
            margin_permille=self.margin,
            buy=self.buy,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Metal:
    """A lot: percent, grams, and whether it is new (fine or master) or was melted before."""

    shares: Mapping[str, float]
    grams: float
    kind: str = "scrap"

    @property
    def new(self) -> bool:
        return self.kind in ("fine", "master")


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """A stock, what is to be melted from it, and the rules."""

    melts: tuple[tuple[Mapping[str, float], float], ...]
    lots: tuple[Metal, ...]
    rules: Rules = field(default_factory=lambda: Rules(step_g=0.5))

    def plan(self, *, worst: bool = False) -> MeltPlan:
        return melt_plan(
            [
                Wanted(job="", alloy=alloy_from_recipe(f"melt {k}", shares), grams=grams)
                for k, (shares, grams) in enumerate(self.melts)
            ],
            [
                Lot(
                    name=f"lot {i}",
                    grams=lot.grams,
                    recipe=dict(lot.shares),
                    uncertainty_permille=0.0,
                    kind=lot.kind,  # type: ignore[arg-type]
                )
                for i, lot in enumerate(self.lots)
            ],
            self.rules.settings(worst=worst),
        )


def windows(shares: Mapping[str, float], rules: Rules, symbol: str) -> tuple[float, float]:
    """Least and most of a metal; the fineness is a minimum and gold (or silver) bears the mark."""
    mark = "Au" if shares.get("Au", 0) > 33 else "Ag"
    marked = shares[mark] / 100
    raised = marked + rules.margin / 1000
    if symbol == mark:
        return raised, min(1.0, raised + rules.over / 1000)
    if shares.get(symbol, 0) == 0:
        return 0.0, rules.stray / 1000
    aimed = shares[symbol] / 100 * (1 - raised) / (1 - marked)
    return max(0.0, aimed - rules.tolerance / 1000), aimed + rules.tolerance / 1000


def poured(ways: Grams, lots: Sequence[Metal], symbol: str, fume: float) -> Grams:
    """Grams of a metal in what is poured, for every way to weigh; zinc loses its fume."""
    kept = 1 - fume / 100 if symbol == "Zn" else 1.0
    poured_share = np.array([kept * lot.shares.get(symbol, 0.0) / 100 for lot in lots])
    return np.asarray(ways @ poured_share)


def symbols_of(shares: Mapping[str, float], lots: Sequence[Metal]) -> list[str]:
    return sorted({*shares, *(s for lot in lots for s in lot.shares)})


def every_way(lots: Sequence[Metal], step: float, most_g: float) -> Grams:
    """Every weighing in whole steps, within the stock, that weighs no more than `most_g`."""
    ways = np.zeros((1, 0))
    for lot in lots:
        portions = step * np.arange(int(min(lot.grams, most_g) / step + EPS) + 1)
        ways = np.hstack(
            [np.repeat(ways, len(portions), axis=0), np.tile(portions, len(ways))[:, None]]
        )
        ways = ways[ways.sum(axis=1) <= most_g + EPS]
    return ways


def feasible(
    case: Case, number: int, lots: Sequence[Metal], *, step: float, loose: bool = False
) -> Grams:
    """Weighings of one melt that keep every rule; `loose` by what cutting to whole steps takes."""
    shares, wanted_g = case.melts[number]
    rules = case.rules
    slip = step if loose else 0.0
    most_g = (wanted_g if loose else wanted_g + 4 * step) / (1 - rules.fume / 100)
    ways = every_way(lots, step, most_g)
    metals = {s: poured(ways, lots, s, rules.fume) for s in symbols_of(shares, lots)}
    total = np.sum(list(metals.values()), axis=0)
    basis = np.full_like(total, wanted_g) if loose else total
    good = total >= wanted_g - EPS - slip * len(lots)
    if loose:
        good &= total <= wanted_g + EPS
    for symbol, grams in metals.items():
        least, most = windows(shares, rules, symbol)
        lost = slip * sum(lot.shares.get(symbol, 0.0) / 100 for lot in lots)
        good &= (grams >= least * basis - lost - EPS) & (grams <= most * basis + EPS)
    again = ways @ np.array([0.0 if lot.new else 1.0 for lot in lots])
    good &= again <= rules.remelt / 100 * basis + EPS
    return np.asarray(ways[good])


def together(case: Case, *, loose: bool = False) -> list[Grams]:
    """Weighings of all melts that the stock bears, one array for each melt, row by row."""
    step = case.rules.step_g
    first = feasible(case, 0, case.lots, step=step, loose=loose)
    if len(case.melts) == 1:
        return [first]
    second = feasible(case, 1, case.lots, step=step, loose=loose)
    stock = np.array([lot.grams for lot in case.lots])
    pairs = [
        (row, other)
        for row in first
        for other in second[np.all(second <= stock - row + EPS, axis=1)]
    ]
    return [np.array([pair[k] for pair in pairs]) for k in range(2)]


def least_new_gold(case: Case, found: Sequence[Grams]) -> float:
    gold = np.array([lot.shares.get("Au", 0.0) / 100 if lot.new else 0.0 for lot in case.lots])
    return float(np.sum([ways @ gold for ways in found], axis=0).min())


def worst_share(way: Grams, lots: Sequence[Metal], mark: str, step: float) -> float:
    """Least fineness [permille] when each portion is half a step off, either way."""
    used = [i for i in range(len(lots)) if way[i] > 0]
    signs = np.array(np.meshgrid(*[[-0.5, 0.5]] * len(used))).reshape(len(used), -1)
    off = np.maximum(0.0, way[used][:, None] + step * signs)
    rich = np.array([lots[i].shares.get(mark, 0.0) / 100 for i in used])
    return float(1000 * (rich @ off / off.sum(axis=0)).min())


def grams_of(melt: Melt, lots: int) -> Grams:
    """Grams of each lot in a melt, read off the plan."""
    taken = {portion.source.name: portion.grams for portion in melt.take}
    return np.array([taken.get(f"lot {i}", 0.0) for i in range(lots)])
