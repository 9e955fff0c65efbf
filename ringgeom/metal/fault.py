"""Every check of a recipe in one place: sum, symbols, karat written for percent, hazards."""

from __future__ import annotations

from ringgeom.metal.element import elements, nearest_symbol
from ringgeom.metal.hazard import RecipeFault, hazard_faults
from ringgeom.metal.recipe import Recipe, karat_to_permille

SUM_TOLERANCE_PERCENT = 0.05
"""How far a recipe may be from 100 %: printed recipes round each share to 0.1 or 0.01 %."""

SUM_SLACK_PERCENT = 1e-9
"""Binary rounding of decimal shares: 99.95 may arrive a hair below itself."""

USUAL_KARATS = (8.0, 9.0, 10.0, 12.0, 14.0, 15.0, 16.0, 18.0, 20.0, 21.0, 22.0, 24.0)
"""Karats in which gold is named; any other number is not taken for one."""

KARAT_SUM_TOLERANCE_PERCENT = 0.5
"""14 kt is written both as 583 and 585 permille, shop recipes round to half a percent."""


def recipe_faults(recipe: Recipe) -> tuple[RecipeFault, ...]:
    """Everything that stops, or warns of, a recipe.

    Parameters
    ----------
    recipe : Recipe
        Shares in percent by mass, as written.

    Returns
    -------
    tuple of RecipeFault
        Unknown symbols first, then the sum, a karat written for a percentage, and hazards.

    Examples
    --------
    >>> [fault.code for fault in recipe_faults(Recipe.of("x", {"Au": 18, "Ag": 25}))]
    ['recipe-sum', 'karat-for-percent']
    """
    return (
        *_unknown_symbols(recipe),
        *_sum_fault(recipe),
        *_karat_fault(recipe),
        *hazard_faults(recipe),
    )


def _unknown_symbols(recipe: Recipe) -> tuple[RecipeFault, ...]:
    faults = []
    for symbol, share in recipe.shares:
        if symbol in elements():
            continue
        nearest = nearest_symbol(symbol)
        faults.append(
            RecipeFault(
                code="unknown-symbol",
                level="stop",
                value=share,
                limit=None,
                unit="% by mass",
                text=f"{recipe.name}: {symbol!r} is not the symbol of a known metal",
                fix=f"write {nearest}" if nearest else f"use one of {' '.join(elements())}",
            )
        )
    return tuple(faults)


def _sum_fault(recipe: Recipe) -> tuple[RecipeFault, ...]:
    total = recipe.sum_percent
    if abs(total - 100.0) <= SUM_TOLERANCE_PERCENT + SUM_SLACK_PERCENT:
        return ()
    if abs(total - 1.0) < 0.01:
        fix = "these look like fractions: multiply by 100 to make them percent"
    elif abs(total - 1000.0) < 1.0:
        fix = "these look like permille: divide by 10 to make them percent"
    elif abs(total - 24.0) < 0.01:
        shares = ", ".join(f"{symbol} {share / 0.24:.4g}" for symbol, share in recipe.shares)
        fix = f"these look like parts of 24: in percent they are {shares}"
    elif total < 100.0:
        fix = f"{100.0 - total:.4g} % is missing: add it, or correct a share"
    else:
        fix = f"{total - 100.0:.4g} % is too much: correct a share"
    return (
        RecipeFault(
            code="recipe-sum",
            level="stop",
            value=total,
            limit=100.0,
            unit="% by mass",
            text=f"{recipe.name}: the shares add up to {total:.6g} %, not to 100 "
            f"(within {SUM_TOLERANCE_PERCENT:g})",
            fix=fix,
        ),
    )


def _karat_fault(recipe: Recipe) -> tuple[RecipeFault, ...]:
    gold, total = recipe.percent("Au"), recipe.sum_percent
    if gold not in USUAL_KARATS or abs(total - 100.0) <= SUM_TOLERANCE_PERCENT:
        return ()
    meant = karat_to_permille(gold) / 10.0
    if abs(total - gold + meant - 100.0) > KARAT_SUM_TOLERANCE_PERCENT:
        return ()
    return (
        RecipeFault(
            code="karat-for-percent",
            level="stop",
            value=gold,
            limit=meant,
            unit="% by mass",
            text=f"{recipe.name}: {gold:g} looks like karat: {gold:g} kt is {meant:.4g} %",
            fix=f"write Au {meant:.4g}",
        ),
    )
