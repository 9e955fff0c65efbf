"""A change of fineness as it is weighed out, in steps of the balance."""

from __future__ import annotations

import math
from dataclasses import dataclass

from ringgeom.errors import RecipeError
from ringgeom.metal.amount import amount_problems
from ringgeom.metal.fineness_change import Change, permille_of
from ringgeom.metal.mixing import mixture
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
