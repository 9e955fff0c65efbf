"""An alloy meant to be used as it is written: what is no recipe is refused, not only told."""

from __future__ import annotations

from ringgeom.errors import Problem, RecipeError
from ringgeom.metal.alloy import Alloy
from ringgeom.metal.fault import recipe_faults
from ringgeom.metal.written import alloy_from_text

NO_RECIPE = ("unknown-symbol", "recipe-sum", "karat-for-percent")


def alloy_meant(text: str) -> Alloy:
    """An alloy from one line of text, whose shares sum to 100.

    Metals that harm are not refused here: they can be asked about.

    Raises
    ------
    RecipeError
        As `alloy_from_text`; or the shares do not make a recipe, with the way out.
    """
    alloy = alloy_from_text(text)
    wrong = [fault for fault in recipe_faults(alloy.recipe) if fault.code in NO_RECIPE]
    if wrong:
        raise RecipeError([Problem(text=f"{fault.text}; {fault.fix}") for fault in wrong])
    return alloy
