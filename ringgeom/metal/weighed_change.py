"""A change of fineness as it is weighed out, in steps of the balance."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from ringgeom.errors import RecipeError
from ringgeom.metal.amount import amount_problems
from ringgeom.metal.fineness_change import Change, permille_of
from ringgeom.metal.mixing import Portion, mixture
from ringgeom.metal.recipe import Recipe


@dataclass(frozen=True, slots=True, kw_only=True)
class WeighedChange:
    """A change as it is weighed out, in steps of the balance.

    `add_g` is rounded up where it raises and down where it lowers: a fineness is a minimum.
    `result` and `after_permille` are what comes of it.
    """

    add_g: float
    total_g: float
    after_permille: float
    result: Recipe


def weighed_change(lot: Recipe, change: Change, *, balance_g: float) -> WeighedChange:
    """A change rounded to the balance so that its fineness is not missed.

    Raises
    ------
    RecipeError
        The balance's step is no amount.
    """
    problems = amount_problems("the step of the balance", balance_g, "g")
    if problems:
        raise RecipeError(problems)
    steps = change.add_g / balance_g
    raises = permille_of(change.adding, change.symbol) > change.after_permille
    whole = math.ceil(steps - 1e-9) if raises else math.floor(steps + 1e-9)
    add = round(whole * balance_g, 9)
    portions = [(lot, change.lot_g)] + ([(change.adding, add)] if add > 0 else [])
    result = mixture(change.result.name, portions)
    return WeighedChange(
        add_g=add,
        total_g=change.lot_g + add,
        after_permille=permille_of(result, change.symbol),
        result=result,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class WeighedOut:
    """Portions in steps of the balance, and the alloy that comes of them.

    `permille` is the fineness of the metal that the alloy is named after; None for a base metal.
    """

    portions: tuple[Portion, ...]
    total_g: float
    permille: float | None


def weighed_out(
    target: Recipe,
    portions: Sequence[Portion],
    *,
    whole: Mapping[str, float],
    balance_g: float,
    lot: tuple[Recipe, float] | None = None,
) -> WeighedOut:
    """Portions rounded so that the fineness holds: the precious metal up, the rest down.

    Parameters
    ----------
    portions : sequence of Portion
        Exact grams of every metal to weigh out.
    whole : mapping
        Metals that are taken as they lie, symbol to grams.
    lot : (Recipe, float), optional
        A lot that goes in whole beside them.
    """
    found = []
    for one in portions:
        steps = one.grams / balance_g
        if one.metal in whole:
            grams = whole[one.metal]
        elif one.metal == target.precious_symbol:
            grams = round(math.ceil(steps - 1e-9) * balance_g, 9)
        else:
            grams = round(math.floor(steps + 1e-9) * balance_g, 9)
        found.append(Portion(metal=one.metal, grams=grams))
    pot = [(Recipe.of(one.metal, {one.metal: 100.0}), one.grams) for one in found if one.grams > 0]
    made = mixture(target.name, [*pot, *([lot] if lot else [])])
    symbol = target.precious_symbol
    return WeighedOut(
        portions=tuple(found),
        total_g=math.fsum(grams for _, grams in pot) + (lot[1] if lot else 0.0),
        permille=None if symbol is None else permille_of(made, symbol),
    )
