"""A display colour for a metal, so that a viewer can tell parts apart. It predicts nothing."""

from __future__ import annotations

from functools import cache

from ringgeom.facts import table
from ringgeom.metal.alloy import Alloy
from ringgeom.metal.catalogue import catalogue
from ringgeom.metal.recipe import Recipe


def display_colour(alloy: Alloy) -> str:
    """#RRGGBB of the alloy's colour name; a recipe takes that of the nearest catalogue recipe.

    Examples
    --------
    >>> from ringgeom.metal import alloy_from_text
    >>> display_colour(alloy_from_text("Au 75 Ag 25")) == display_colour(
    ...     alloy_from_text("gold-750-green"))
    True
    """
    name = alloy.colour_name or min(catalogue(), key=lambda known: _apart(known, alloy)).colour_name
    return _colours()[name]


@cache
def _colours() -> dict[str, str]:
    return {row["colour_name"]: row["display"] for row in table("display_colours")}


def _apart(known: Alloy, alloy: Alloy) -> float:
    a, b = known.recipe.normalised(), alloy.recipe.normalised()
    symbols = {*_symbols(a), *_symbols(b)}
    return sum((a.percent(symbol) - b.percent(symbol)) ** 2 for symbol in symbols)


def _symbols(recipe: Recipe) -> tuple[str, ...]:
    return tuple(symbol for symbol, _ in recipe.shares)
