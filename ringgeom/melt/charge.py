"""The charges: grams of every source in every melt, in steps of the balance, fineness held."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from ringgeom.melt.aim import aims
from ringgeom.melt.melt import Take, made_recipe, worst_permille
from ringgeom.melt.rounding import rounded
from ringgeom.melt.solved import Solved
from ringgeom.melt.source import Array, Source
from ringgeom.melt.wanted import FINE_PERMILLE, Wanted, Window, windows
from ringgeom.melt.why import mending
from ringgeom.metal.melting import melting_order
from ringgeom.shop import MeltSettings, Prices

DUST_G = 1e-4
"""Missing metal below this is the solver's rounding, not a lack."""

MOST_ROUNDS = 6
"""Rounds to find the margin for the worst case; two are usual."""

CRUMB = 0.02
"""An alloy is left out of a melt that would take less than this share of it: our judgement."""

SOME_ZINC = 0.01
"""From this share on a source goes in late: zinc boils near 907 C."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Given:
    """What a plan is made of."""

    usable: tuple[Source, ...]
    wanted: Sequence[Wanted]
    symbols: tuple[str, ...]
    prices: Prices | None
    from_stock: bool


Limits = Sequence[Mapping[str, Window]]


def held(given: Given, settings: MeltSettings) -> tuple[Solved, Array, Limits]:
    """A plan whose fineness also holds in the worst case, if the stock has the metal for it.

    The margin grows by what the worst case takes, until it holds or metal would be missing.
    """
    extra = [0.0] * len(given.wanted)
    cannot: set[int] = set()
    best: tuple[Solved, Array, Limits] | None = None
    for _ in range(MOST_ROUNDS + len(given.wanted)):
        limits = [
            windows(one, given.symbols, settings, extra_permille=more)
            for one, more in zip(given.wanted, extra, strict=True)
        ]
        found = _solved(given, limits, settings)
        if best:
            more_missing = (found.missing_g - best[0].missing_g).sum(axis=0) > DUST_G
            poor = {k for k in range(len(extra)) if more_missing[k] and extra[k] > 0}
            if poor:
                # metal for the others' margins goes on; these melts stay as they were
                cannot |= poor
                extra = [0.0 if k in cannot else more for k, more in enumerate(extra)]
                continue
            if more_missing.any():
                break
        grams = _rounded(found.grams, given, limits, settings)
        best = found, grams, limits
        needs = [
            0.0
            if k in cannot or found.missing_g[:, k].sum() > DUST_G
            else _extra(given, grams, k, settings)
            for k in range(len(given.wanted))
        ]
        if not settings.hold_worst_case or all(n <= m for n, m in zip(needs, extra, strict=True)):
            break
        extra = [max(more, need) for more, need in zip(extra, needs, strict=True)]
    assert best is not None
    return best


def _extra(given: Given, grams: Array, number: int, settings: MeltSettings) -> float:
    """The margin that a melt needs for its worst case [permille]; 0 when it already holds.

    What the worst case takes away hardly changes with the fineness, so it is what must be added.
    """
    one = given.wanted[number]
    take = taken(given.usable, grams, number)
    if one.mark_symbol is None or not take or one.wanted_permille >= FINE_PERMILLE:
        return 0.0
    fume = settings.zinc_fume_percent / 100
    made = made_recipe(one.alloy.name, take, fume=fume)[0].fineness_permille(one.mark_symbol)
    worst = worst_permille(one.mark_symbol, take, step_g=settings.balance_g)
    return made - worst + 0.02 if worst < one.wanted_permille - 1e-9 else 0.0


def _solved(given: Given, limits: Limits, settings: MeltSettings) -> Solved:
    fume = settings.zinc_fume_percent / 100
    if not given.from_stock:
        return _from_fine(given, limits, fume)
    # a plan from fine metals alone needs no programme
    from ringgeom.melt.solve import Terms, solved

    banned: frozenset[tuple[int, int]] = frozenset()
    best: Solved | None = None
    for _ in range(MOST_ROUNDS):
        terms = Terms(
            windows=limits,
            fume=fume,
            remelt=settings.remelt_percent / 100,
            aims=aims(given.usable, given.wanted, settings, given.prices),
            banned=banned,
        )
        found = solved(given.usable, given.wanted, given.symbols, terms)
        if best and found.missing_g.sum() > best.missing_g.sum() + DUST_G:
            return best
        best, crumbs = found, _crumbs(found.grams, given, settings)
        if not crumbs - banned:
            return best
        banned |= crumbs
    assert best is not None
    return best


def _crumbs(grams: Array, given: Given, settings: MeltSettings) -> frozenset[tuple[int, int]]:
    """Alloys of which a melt would take next to nothing: not worth their doubt.

    A lot that is to be used up is taken in whatever amount.
    """
    wanted_out = settings.use_up if settings.aim == "use up" else ""
    return frozenset(
        (i, k)
        for i, source in enumerate(given.usable)
        for k, one in enumerate(given.wanted)
        if source.name != wanted_out
        and len(source.recipe.shares) > 1
        and 0 < grams[i, k] < CRUMB * one.grams
    )


def _from_fine(given: Given, limits: Limits, fume: float) -> Solved:
    """From fine metals there is nothing to choose: the recipe itself, zinc topped up."""
    grams = np.zeros((len(given.usable), len(given.wanted)))
    for k, one in enumerate(given.wanted):
        for i, source in enumerate(given.usable):
            symbol = source.recipe.symbols[0]
            lost = fume if symbol == "Zn" else 0.0
            grams[i, k] = one.grams * limits[k][symbol].aimed / (1 - lost)
    return Solved(grams=grams, missing_g=np.zeros((len(given.symbols), len(given.wanted))))


def _rounded(exact: Array, given: Given, limits: Limits, settings: MeltSettings) -> Array:
    """Melt by melt; of what the others have been promised, whole steps stay theirs."""
    step = settings.balance_g
    grams = np.floor(exact / step + 1e-6) * step
    stock = np.array([source.grams for source in given.usable])
    for k, one in enumerate(given.wanted):
        others = grams.sum(axis=1) - grams[:, k]
        grams[:, k] = rounded(
            exact[:, k],
            np.maximum(0.0, np.round(stock - others, 9)),
            exact[:, k + 1 :].sum(axis=1) <= DUST_G,
            given.usable,
            one,
            limits[k],
            step_g=step,
            fume=settings.zinc_fume_percent / 100,
            remelt=settings.remelt_percent / 100,
        )
    return grams


def mended_by(given: Given, settings: MeltSettings, lacking_g: float) -> tuple[str, ...]:
    """Which of the shop's own rules, lifted, would mend a plan that lacks metal, in words."""
    if lacking_g <= DUST_G:
        return ()

    def trial(changed: MeltSettings) -> float:
        limits = [windows(one, given.symbols, changed) for one in given.wanted]
        return float(_solved(given, limits, changed).missing_g.sum())

    return mending(trial, settings, lacking_g)


def taken(usable: Sequence[Source], grams: Array, number: int) -> tuple[Take, ...]:
    """The portions of one melt, in the order of melting."""
    order = melting_order({s for source in usable for s in source.recipe.symbols})
    portions = [
        Take(source=source, grams=float(grams[i, number]))
        for i, source in enumerate(usable)
        if grams[i, number] > 0
    ]
    return tuple(sorted(portions, key=lambda portion: _place(portion.source, order)))


def _place(source: Source, order: tuple[str, ...]) -> tuple[bool, int, bool]:
    """Where a source comes in the order of melting: zinc late, fine metal before alloys."""
    return (
        source.share("Zn") >= SOME_ZINC,
        order.index(source.recipe.symbols[0]),
        source.kind != "fine",
    )
