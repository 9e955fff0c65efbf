"""Melting metals together: what comes out, what to weigh out, how far the metal in hand goes.

Mass is kept, metal by metal; nothing here knows of fume or loss.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from ringgeom.errors import Problem, RecipeError
from ringgeom.metal.amount import amount_problems
from ringgeom.metal.element import elements, unknown_symbol_problem
from ringgeom.metal.fault import recipe_faults
from ringgeom.metal.recipe import Recipe

UNWEIGHABLE = ("unknown-symbol", "recipe-sum", "karat-for-percent")
"""Faults of a recipe that leave open what a gram of it holds; hazards do not."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Portion:
    """One metal on the balance: its symbol, and grams [g]."""

    metal: str
    grams: float


@dataclass(frozen=True, slots=True, kw_only=True)
class InHand:
    """How much of an alloy the metal in hand makes.

    Attributes
    ----------
    limiting : str
        The metal that is used up first.
    alloy_g : float
        Most that can be made [g].
    needed : tuple of Portion
        Every metal of the alloy, all in all.
    add : tuple of Portion
        Of these, the metals that are not in hand.
    left : tuple of Portion
        What stays of every metal in hand; 0 of the limiting one.
    """

    limiting: str
    alloy_g: float
    needed: tuple[Portion, ...]
    add: tuple[Portion, ...]
    left: tuple[Portion, ...]


def mixture(name: str, portions: Sequence[tuple[Recipe, float]]) -> Recipe:
    """The recipe of several metals or alloys melted together.

    Parameters
    ----------
    name : str
        What to call the mixture.
    portions : sequence of (Recipe, float)
        Each with its mass [g].

    Returns
    -------
    Recipe
        Shares in percent by mass, summing to 100.

    Raises
    ------
    RecipeError
        No portions, a mass that is none, a recipe that does not say what a gram holds: all at once.

    Source
    ------
    Conservation of mass, metal by metal.

    Examples
    --------
    10 g of 18 kt and 10 g of 9 kt make 13.5 kt, 562.5 fine:

    >>> one, other = Recipe.of("18", {"Au": 75, "Ag": 25}), Recipe.of("9", {"Au": 37.5, "Cu": 62.5})
    >>> mixture("both", [(one, 10), (other, 10)]).fineness_permille("Au")
    562.5
    """
    problems = [] if portions else [Problem(text=f"{name}: there is nothing to melt")]
    for recipe, grams in portions:
        problems += amount_problems(f"the mass of {recipe.name}", grams, "g")
        problems += unweighable_problems(recipe)
    if problems:
        raise RecipeError(problems)
    held: dict[str, list[float]] = {}
    for recipe, grams in portions:
        for portion in _weighed(recipe, grams):
            held.setdefault(portion.metal, []).append(portion.grams)
    masses = {symbol: math.fsum(parts) for symbol, parts in held.items()}
    total = math.fsum(masses.values())
    return Recipe.of(name, {symbol: 100.0 * mass / total for symbol, mass in masses.items()})


def weigh_out(recipe: Recipe, grams: float) -> tuple[Portion, ...]:
    """What to weigh out of each fine metal for so many grams of an alloy.

    Parameters
    ----------
    recipe : Recipe
        Shares in percent by mass.
    grams : float
        Mass of the alloy [g].

    Returns
    -------
    tuple of Portion
        Largest first, not rounded; they sum to ``grams``.

    Raises
    ------
    RecipeError
        A mass that is none, or a recipe that does not say what a gram holds.

    Examples
    --------
    >>> [(p.metal, p.grams) for p in weigh_out(Recipe.of("sterling", {"Ag": 92.5, "Cu": 7.5}), 40)]
    [('Ag', 37.0), ('Cu', 3.0)]
    """
    problems = [
        *amount_problems(f"the mass of {recipe.name}", grams, "g"),
        *unweighable_problems(recipe),
    ]
    if problems:
        raise RecipeError(problems)
    return _weighed(recipe, grams)


def most_alloy(recipe: Recipe, have: Mapping[str, float]) -> InHand:
    """The most of an alloy that the fine metals in hand make, and what they need beside them.

    Metals of the recipe that are not in ``have`` count as bought freely; metals in ``have`` that
    are not in the recipe stay as they are.

    Parameters
    ----------
    recipe : Recipe
        The alloy to make, shares in percent by mass.
    have : mapping
        Symbol to grams of fine metal in hand [g].

    Returns
    -------
    InHand
        The limiting metal, the alloy's mass, what to add and what is left.

    Raises
    ------
    RecipeError
        A mass that is none, unknown symbols, or nothing in hand that the recipe holds.

    Source
    ------
    Conservation of mass: total = min(mass in hand / mass fraction).

    Examples
    --------
    >>> inhand = most_alloy(Recipe.of("3N", {"Au": 75, "Ag": 12.5, "Cu": 12.5}), {"Au": 30})
    >>> inhand.alloy_g, [(portion.metal, portion.grams) for portion in inhand.add]
    (40.0, [('Ag', 5.0), ('Cu', 5.0)])
    """
    problems = list(unweighable_problems(recipe))
    for symbol, grams in have.items():
        if symbol not in elements():
            problems.append(unknown_symbol_problem(symbol))
        problems += amount_problems(f"the mass of {symbol} in hand", grams, "g")
    usable = [symbol for symbol in recipe.symbols if symbol in have]
    if not usable and not problems:
        problems.append(
            Problem(
                text=f"{recipe.name}: none of its metals is in hand",
                value=", ".join(have) or "nothing in hand",
                allowed=" ".join(recipe.symbols),
            )
        )
    if problems:
        raise RecipeError(problems)
    total_percent = recipe.sum_percent

    def makes(symbol: str) -> float:
        return have[symbol] * total_percent / recipe.percent(symbol)

    limiting = min(usable, key=makes)
    alloy_g = makes(limiting)
    needed = _weighed(recipe, alloy_g)
    takes = {portion.metal: portion.grams for portion in needed}
    return InHand(
        limiting=limiting,
        alloy_g=alloy_g,
        needed=needed,
        add=tuple(portion for portion in needed if portion.metal not in have),
        left=tuple(
            # The limiting metal is used up by definition; rounding shall not leave a trace of it.
            Portion(
                metal=symbol,
                grams=0.0 if symbol == limiting else max(grams - takes.get(symbol, 0.0), 0.0),
            )
            for symbol, grams in have.items()
        ),
    )


def unweighable_problems(recipe: Recipe) -> tuple[Problem, ...]:
    """Why a recipe does not say what a gram of it holds; empty when it does."""
    return tuple(
        Problem(text=fault.text, nearest=fault.fix)
        for fault in recipe_faults(recipe)
        if fault.code in UNWEIGHABLE
    )


def _weighed(recipe: Recipe, grams: float) -> tuple[Portion, ...]:
    total_percent = recipe.sum_percent
    return tuple(
        Portion(metal=symbol, grams=grams * share / total_percent)
        for symbol, share in recipe.shares
    )
