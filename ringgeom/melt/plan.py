"""The plan: all melts of one or several rings from one stock, in one optimum."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from ringgeom.melt.aim import check_aim
from ringgeom.melt.charge import DUST_G, Given, held, mended_by, taken
from ringgeom.melt.melt import Melt, Missing, colour_shift, made_recipe, worst_permille
from ringgeom.melt.source import Array, KeptOut, Source, sources
from ringgeom.melt.wanted import Wanted, Window, windows
from ringgeom.melt.why import not_taken, off_recipe, too_coarse
from ringgeom.metal import alloy_from_recipe
from ringgeom.notebook import table_html
from ringgeom.shop import Lot, MeltSettings, Prices
from ringgeom.units import grams


@dataclass(frozen=True, slots=True, kw_only=True)
class Left:
    """What is left of a lot after all melts [g]."""

    lot: str
    grams: float


@dataclass(frozen=True, slots=True, kw_only=True)
class MeltPlan:
    """All melts, what is left of the stock, and the lots that are kept out of all of them."""

    melts: tuple[Melt, ...]
    left: tuple[Left, ...]
    kept_out: tuple[KeptOut, ...]
    bought_cost: float | None = None
    currency: str = ""

    @property
    def possible(self) -> bool:
        """Whether the stock can make every melt."""
        return all(melt.possible for melt in self.melts)

    @property
    def new_gold_g(self) -> float:
        """Gold that comes from fine metal and master alloys [g]."""
        return sum(
            portion.grams * portion.source.share("Au")
            for melt in self.melts
            for portion in melt.take
            if portion.source.is_new
        )

    def _repr_html_(self) -> str:
        """What to weigh out for each melt, or what is missing, for a notebook."""
        return table_html(
            {
                "for": melt.wanted.job,
                "melt": melt.wanted.alloy.name,
                "weigh out": name,
                "g": grams(mass_g),
                "fineness at worst": _permille(melt.worst_permille if melt.possible else None),
            }
            for melt in self.melts
            for name, mass_g in _portions(melt)
        )


def _portions(melt: Melt) -> list[tuple[str, float]]:
    if melt.possible:
        return [(portion.source.name, portion.grams) for portion in melt.take]
    return [(f"MISSING: fine {one.symbol}", one.grams) for one in melt.missing]


def _permille(share: float | None) -> str:
    return "" if share is None else f"{share:.1f}"


def melt_plan(
    wanted: Sequence[Wanted],
    lots: Sequence[Lot] = (),
    settings: MeltSettings | None = None,
    prices: Prices | None = None,
) -> MeltPlan:
    """What to weigh out for each melt.

    Without lots, every melt comes from fine metals. With lots, all melts share them in one
    optimum; a melt that the stock cannot make says what is missing, never a negative gram.

    Raises
    ------
    InputError
        The aim needs a price or a lot that is not there, or two lots have one name.
    """
    settings = settings or MeltSettings()
    asked = dict.fromkeys(s for one in wanted for s in one.alloy.recipe.symbols)
    usable, out = sources(lots, asked, settings)
    symbols = tuple(
        dict.fromkeys([*asked, *(s for source in usable for s in source.recipe.symbols)])
    )
    check_aim(lots, usable, settings, prices)
    given = Given(
        usable=usable, wanted=wanted, symbols=symbols, prices=prices, from_stock=bool(lots)
    )
    found, grams, limits = held(given, settings)
    lacking = float(found.missing_g.sum())
    said = mended_by(given, settings, lacking)
    melts = tuple(
        _melt(
            k, one, usable, grams, found.missing_g[:, k], symbols, windows(one, symbols, settings),
            excluded=(*out, *not_taken(usable, grams, k, wanted, limits[k])),
            why=said, settings=settings,
        )
        for k, one in enumerate(wanted)
    )  # fmt: skip
    left = tuple(
        Left(lot=source.name, grams=max(0.0, source.grams - float(grams[i].sum())))
        for i, source in enumerate(usable)
        if not source.bought
    )
    return MeltPlan(
        melts=melts,
        left=left,
        kept_out=out,
        bought_cost=_bought_cost(melts, prices),
        currency=prices.currency if prices else "",
    )


def _bought_cost(melts: Sequence[Melt], prices: Prices | None) -> float | None:
    """What the metal to be bought costs; None without a price of every metal of it."""
    cost = 0.0
    for portion in (p for melt in melts for p in melt.take if p.source.bought):
        price = prices.per_g(portion.source.recipe.symbols[0]) if prices else None
        if price is None or prices is None:
            return None
        cost += portion.grams * price * (1 + prices.premium_percent / 100)
    return cost


def _melt(
    number: int,
    wanted: Wanted,
    usable: Sequence[Source],
    grams: Array,
    missing_g: Array,
    symbols: tuple[str, ...],
    limits: Mapping[str, Window],
    *,
    excluded: tuple[KeptOut, ...],
    why: tuple[str, ...],
    settings: MeltSettings,
) -> Melt:
    fume = settings.zinc_fume_percent / 100
    missing = tuple(
        Missing(symbol=symbol, grams=float(missing_g[n]))
        for n, symbol in enumerate(symbols)
        if missing_g[n] > DUST_G
    )
    take = taken(usable, grams, number)
    symbol = wanted.mark_symbol
    if not take:
        return Melt(
            wanted=wanted, take=(), poured_g=0.0, fume_g=0.0, made=wanted.alloy,
            fineness_permille=None, worst_permille=None, shift_de00=0.0, remelt_percent=0.0,
            possible=False, missing=missing,
            why=why if missing else too_coarse(settings.balance_g, wanted), excluded=excluded,
        )  # fmt: skip
    recipe, poured, lost = made_recipe(wanted.alloy.name, take, fume=fume)
    if symbol and not missing:
        missing = _lifted(symbol, recipe.fineness_permille(symbol), poured, wanted)
    broken = () if missing else off_recipe(settings.balance_g, recipe, poured, limits)
    charge = sum(portion.grams for portion in take)
    again = sum(portion.grams for portion in take if not portion.source.is_new)
    return Melt(
        wanted=wanted,
        take=take,
        poured_g=poured,
        fume_g=lost,
        made=alloy_from_recipe(wanted.alloy.name, dict(recipe.shares)),
        fineness_permille=recipe.fineness_permille(symbol) if symbol else None,
        worst_permille=worst_permille(symbol, take, step_g=settings.balance_g) if symbol else None,
        shift_de00=colour_shift(recipe, wanted.alloy),
        remelt_percent=100 * again / charge,
        possible=not missing,
        missing=missing,
        why=why if missing else broken,
        excluded=excluded,
    )


def _lifted(symbol: str, made: float, poured_g: float, wanted: Wanted) -> tuple[Missing, ...]:
    """Fine metal that lifts a melt which the balance's steps leave under its fineness."""
    lack = wanted.wanted_permille - made
    if lack <= 1e-6 or wanted.wanted_permille >= 1000:
        return ()
    return (Missing(symbol=symbol, grams=poured_g * lack / (1000 - wanted.wanted_permille)),)
