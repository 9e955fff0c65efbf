"""Bringing a lot to another fineness, or to another recipe, by adding metal.

With W grams of fineness f1 to be brought to f2 by metal of fineness fr:

    add = W (f2 - f1) / (fr - f2)

Fine metal is fr = 1000, and alloy without the metal is fr = 0: W (f2 - f1)/(1000 - f2) raises,
W (f1 - f2)/f2 lowers. Nothing can be taken out of a lot by melting, so a plan that would need
less than nothing is refused.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from ringgeom.errors import Problem, RecipeError
from ringgeom.metal.amount import amount_problems, fineness_problems
from ringgeom.metal.element import elements, unknown_symbol_problem
from ringgeom.metal.hazard import hazard_faults
from ringgeom.metal.mixing import Portion, mixture, unweighable_problems, weigh_out
from ringgeom.metal.recipe import Recipe

SAME = 1e-9
"""Fineness that agrees to this is the same: decimal shares are not exact in binary."""

NEVER_ADDED = {"cadmium", "lead", "beryllium"}
"""A lot may hold these from old solder; no plan of this program adds more of them unasked."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """A lot brought to another fineness.

    Attributes
    ----------
    symbol : str
        The metal whose fineness is meant.
    before_permille, after_permille : float
        Fineness of the lot and of the result [permille by mass].
    lot_g, add_g, total_g : float
        Mass of the lot, of what is added, and of both [g].
    adding : Recipe
        What is added.
    add : tuple of Portion
        The same, metal by metal; empty when there is nothing to add.
    result : Recipe
        All metals of the result, summing to 100 percent.
    why : str
        Why this is added, in words: as asked, or what was chosen.
    """

    symbol: str
    before_permille: float
    after_permille: float
    lot_g: float
    add_g: float
    total_g: float
    adding: Recipe
    add: tuple[Portion, ...]
    result: Recipe
    why: str


def change_fineness(
    recipe: Recipe,
    grams: float,
    to_permille: float,
    *,
    symbol: str | None = None,
    adding: Recipe | None = None,
) -> Change:
    """Bring a lot to a higher or lower fineness.

    Unless told what to add, the fine metal raises, and the lot's other metals, in the proportion
    they have in the lot, lower. The result is exact, not rounded to a balance's step: fineness
    is a minimum, so round what raises up and what lowers down.

    Parameters
    ----------
    recipe : Recipe
        The lot, shares in percent by mass.
    grams : float
        Mass of the lot [g].
    to_permille : float
        Fineness wanted [permille by mass], above 100.
    symbol : str, optional
        The metal whose fineness is meant; by default the one the lot is named after.
    adding : Recipe, optional
        What to add: an alloy, another lot.

    Returns
    -------
    Change
        What to add, and all metals of the result.

    Raises
    ------
    RecipeError
        Nothing that is added reaches the fineness, or a number that is no mass or no fineness.

    Source
    ------
    Conservation of mass: add = W (f2 - f1)/(fr - f2).

    Examples
    --------
    7 g of 10 kt to 14 kt takes 2.8 g of fine gold:

    >>> lot = Recipe.of("10 kt", {"Au": 1000 / 24, "Ag": 1400 / 24})
    >>> round(change_fineness(lot, 7, 14000 / 24).add_g, 9)
    2.8
    """
    problems = [
        *amount_problems(f"the mass of {recipe.name}", grams, "g"),
        *unweighable_problems(recipe),
        *(unweighable_problems(adding) if adding else ()),
    ]
    meant = symbol or recipe.precious_symbol
    if meant is None:
        problems.append(_whose_fineness(recipe))
    elif meant not in elements():
        problems.append(unknown_symbol_problem(meant))
    problems += fineness_problems(to_permille, meant)
    if problems or meant is None:
        raise RecipeError(problems)
    before = permille_of(recipe, meant)
    named = f"{recipe.name} at {to_permille:g} permille"
    same = math.isclose(before, to_permille, rel_tol=SAME)
    raising = to_permille > before
    if adding is not None:
        why = f"{adding.name}, as asked"
    elif raising or same:
        adding = _fine(meant)
        why = f"{adding.name}, since no other addition was named: it takes the fewest grams"
    else:
        adding = _others(recipe, grams, to_permille, meant)
        why = f"{adding.name} in the proportion of the lot, since no other addition was named"
    if same:
        why = f"nothing: {recipe.name} already is {before:.6g} permille {meant}"
        return Change(
            symbol=meant,
            before_permille=before,
            after_permille=before,
            lot_g=grams,
            add_g=0.0,
            total_g=grams,
            adding=adding,
            add=(),
            result=Recipe(name=named, shares=recipe.normalised().shares),
            why=why,
        )
    added = permille_of(adding, meant)
    beyond = added > to_permille if raising else added < to_permille
    if not beyond or math.isclose(added, to_permille, rel_tol=SAME):
        raise RecipeError(_out_of_reach(recipe, grams, to_permille, meant, adding))
    add_g = grams * (to_permille - before) / (added - to_permille)
    result = mixture(named, [(recipe, grams), (adding, add_g)])
    return Change(
        symbol=meant,
        before_permille=before,
        after_permille=permille_of(result, meant),
        lot_g=grams,
        add_g=add_g,
        total_g=grams + add_g,
        adding=adding,
        add=weigh_out(adding, add_g),
        result=result,
        why=why,
    )


def permille_of(recipe: Recipe, symbol: str) -> float:
    """Fineness of a recipe relative to the sum of its shares [permille by mass]."""
    return 1000.0 * recipe.percent(symbol) / recipe.sum_percent


def _fine(symbol: str) -> Recipe:
    return Recipe.of(f"fine {elements()[symbol].name}", {symbol: 100.0})


def _others(recipe: Recipe, grams: float, to_permille: float, symbol: str) -> Recipe:
    """The lot without the metal, to lower it with."""
    others = {held: share for held, share in recipe.shares if held != symbol}
    before = permille_of(recipe, symbol)
    add_g = grams * (before - to_permille) / to_permille
    metal = elements()[symbol].name
    way_out = f"{add_g:.6g} g of an alloy without {metal}"
    if not others:
        raise RecipeError(
            Problem(
                text=f"{recipe.name} holds nothing but {metal}, so name what lowers it",
                value=f"{before:.6g} to {to_permille:.6g} permille",
                allowed=f"an addition below {to_permille:.6g} permille {metal}",
                nearest=way_out,
            )
        )
    adding = Recipe.of(f"the other metals of {recipe.name}", others).normalised()
    bad = [fault.code for fault in hazard_faults(adding) if fault.code in NEVER_ADDED]
    if bad:
        raise RecipeError(
            Problem(
                text=f"{recipe.name} holds {' and '.join(bad)}, and more of that is not added: "
                "name what lowers it",
                value=f"{before:.6g} to {to_permille:.6g} permille",
                allowed=f"an addition below {to_permille:.6g} permille {metal}",
                nearest=way_out,
            )
        )
    return adding


def _out_of_reach(
    recipe: Recipe, grams: float, to_permille: float, symbol: str, adding: Recipe
) -> Problem:
    """Why an addition does not bring a lot to a fineness, and what would."""
    before, added = permille_of(recipe, symbol), permille_of(adding, symbol)
    metal = elements()[symbol].name
    low, high = sorted((before, added))
    allowed = f"between {low:.6g} and {high:.6g} permille with this addition"
    if math.isclose(low, high, rel_tol=SAME):
        allowed = "no change at all with this addition, which has the lot's own fineness"
    value = f"{adding.name} at {added:.6g} permille"
    if to_permille < before:
        return Problem(
            text=f"{recipe.name} ({before:.6g} permille) cannot be lowered to {to_permille:.6g} "
            f"permille by adding this: its {metal} stands in the way",
            value=value,
            allowed=allowed,
            nearest=f"{grams * (before - to_permille) / to_permille:.6g} g of an alloy "
            f"without {metal}",
        )
    # Fine metal all through has no room for another: the lot's own metals are then in the way.
    fine = math.isclose(to_permille, 1000.0, rel_tol=SAME)
    holder = recipe if fine else adding
    stays = ", ".join(held for held in holder.symbols if held != symbol) or "other metal"
    way_out = (
        f"refining, which takes out {stays}; or 999 permille with "
        f"{grams * (999.0 - before):.6g} g of fine {metal}"
        if fine and before < 999.0
        else f"refining, which takes out {stays}"
        if fine
        else f"{grams * (to_permille - before) / (1000.0 - to_permille):.6g} g of fine {metal}"
    )
    return Problem(
        text=f"{recipe.name} ({before:.6g} permille) cannot be raised to {to_permille:.6g} "
        f"permille by adding this: the {stays} of {holder.name} stands in the way",
        value=value,
        allowed=allowed,
        nearest=way_out,
    )


def _whose_fineness(recipe: Recipe) -> Problem:
    return Problem(
        text=f"{recipe.name} is named after no precious metal: say whose fineness is meant",
        allowed="a symbol, as symbol='Au'",
    )
