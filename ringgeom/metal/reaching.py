"""Turning the whole of a lot into another recipe by adding fine metals."""

from __future__ import annotations

import math
from dataclasses import dataclass

from ringgeom.errors import Problem, RecipeError
from ringgeom.metal.amount import amount_problems
from ringgeom.metal.mixing import Portion, mixture, unweighable_problems, weigh_out
from ringgeom.metal.recipe import Recipe

TRACE_PERCENT = 0.05
"""A foreign metal up to this share of the lot is let through: as far as a recipe may be from 100 %
by the rounding of printed shares."""

DUST = 1e-12
"""An addition below this share of the total is the rounding of binary numbers, not metal."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reached:
    """A lot turned into another recipe.

    Attributes
    ----------
    limiting : str
        The metal of which the lot holds most against the target: it decides the total, and none
        of it is added.
    lot_g, add_g, total_g : float
        Mass of the lot, of all additions, and of both [g].
    add : tuple of Portion
        Fine metals to add, in the target's order; empty when the lot already is the target.
    traces : tuple of Portion
        Metals of the lot that the target does not name, small enough to pass.
    result : Recipe
        What comes out, summing to 100 percent: the target, but for the traces.
    """

    limiting: str
    lot_g: float
    add_g: float
    total_g: float
    add: tuple[Portion, ...]
    traces: tuple[Portion, ...]
    result: Recipe


def reach_recipe(lot: Recipe, grams: float, target: Recipe) -> Reached:
    """The least of a target alloy that takes up all of a lot, by adding fine metals.

    Parameters
    ----------
    lot : Recipe
        What is in hand, shares in percent by mass.
    grams : float
        Its mass [g].
    target : Recipe
        The alloy to make of it.

    Returns
    -------
    Reached
        What to add of each metal, and what comes out.

    Raises
    ------
    RecipeError
        The lot holds more than ``TRACE_PERCENT`` of a metal that the target does not, or a number
        that is no mass.

    Source
    ------
    Conservation of mass: total = max over the metals of (mass in the lot / fraction in the target).

    Examples
    --------
    10 g of a green 18 kt to a yellow one of the same fineness: its silver decides.

    >>> green = Recipe.of("green", {"Au": 75, "Ag": 25})
    >>> yellow = Recipe.of("yellow", {"Au": 75, "Ag": 12.5, "Cu": 12.5})
    >>> reached = reach_recipe(green, 10, yellow)
    >>> reached.limiting, reached.total_g, [(p.metal, p.grams) for p in reached.add]
    ('Ag', 20.0, [('Au', 7.5), ('Cu', 2.5)])
    """
    problems = [
        *amount_problems(f"the mass of {lot.name}", grams, "g"),
        *unweighable_problems(lot),
        *unweighable_problems(target),
    ]
    if problems:
        raise RecipeError(problems)
    held = {portion.metal: portion.grams for portion in weigh_out(lot, grams)}
    foreign = tuple(
        portion for portion in weigh_out(lot, grams) if portion.metal not in target.symbols
    )
    limit_g = grams * TRACE_PERCENT / 100.0
    # A share of just 0.05 may arrive a hair above itself.
    too_much = [portion for portion in foreign if portion.grams > limit_g * (1 + DUST)]
    if too_much:
        raise RecipeError([_in_the_way(lot, grams, portion, target) for portion in too_much])
    takes = {
        symbol: held.get(symbol, 0.0) * target.sum_percent / target.percent(symbol)
        for symbol in target.symbols
    }
    limiting = max(takes, key=lambda symbol: takes[symbol])
    full_g = takes[limiting]
    add = tuple(
        Portion(metal=portion.metal, grams=portion.grams - held.get(portion.metal, 0.0))
        for portion in weigh_out(target, full_g)
        if portion.metal != limiting
        and portion.grams - held.get(portion.metal, 0.0) > DUST * full_g
    )
    add_g = math.fsum(portion.grams for portion in add)
    fine = [(Recipe.of(portion.metal, {portion.metal: 100.0}), portion.grams) for portion in add]
    return Reached(
        limiting=limiting,
        lot_g=grams,
        add_g=add_g,
        total_g=grams + add_g,
        add=add,
        traces=foreign,
        result=mixture(target.name, [(lot, grams), *fine]),
    )


def _in_the_way(lot: Recipe, grams: float, portion: Portion, target: Recipe) -> Problem:
    return Problem(
        text=f"{lot.name} holds {portion.grams:.4g} g of {portion.metal} in {grams:g} g, and "
        f"{target.name} holds none: melting takes nothing out",
        value=f"{100.0 * portion.grams / grams:.4g} % {portion.metal}",
        allowed=f"up to {TRACE_PERCENT:g} % of a metal that the target does not hold",
        nearest=f"a target that holds {portion.metal}, or refining the lot",
    )
