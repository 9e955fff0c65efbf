"""Expansion of an alloy in the fire, and what it does to one ring fitted on another."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from ringgeom.errors import InputError, Problem, RecipeError
from ringgeom.facts import table
from ringgeom.metal.element import elements, unknown_symbol_problem
from ringgeom.metal.recipe import Recipe

NO_PLAY_MM = 0.0005
"""Less than half a micrometre is no movement that a bench can see."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Expansion:
    """Linear expansion of an alloy.

    Attributes
    ----------
    per_k : float
        Lengthening for each kelvin, as a share of the length [1/K].
    source, known : str
        Where the metals' values are from, and the mark of the least certain one.
    """

    per_k: float
    source: str
    known: str


def expansion_per_k(recipe: Recipe) -> Expansion | None:
    """Linear expansion of a recipe, mixed by the volumes of its metals.

    Parameters
    ----------
    recipe : Recipe
        Shares in percent by mass; they count relative to their sum.

    Returns
    -------
    Expansion or None
        None when no source gives the expansion of a metal: `expansion_missing` names it.

    Raises
    ------
    RecipeError
        A symbol is not known.

    Source
    ------
    CRC Handbook for the metals; mixing by volume fraction is a rule of thumb.

    Examples
    --------
    >>> three_n = Recipe.of("3N", {"Au": 75, "Ag": 12.5, "Cu": 12.5})
    >>> round(expansion_per_k(three_n).per_k * 1e6, 2)
    15.56
    """
    if expansion_missing(recipe):
        return None
    known = elements()
    volumes = {symbol: share / known[symbol].density_g_cm3 for symbol, share in recipe.shares}
    rows = _rows()
    lengthening = math.fsum(
        volume * float(rows[symbol]["per_k_1e6"]) for symbol, volume in volumes.items()
    )
    used = [rows[symbol] for symbol in recipe.symbols]
    return Expansion(
        per_k=1e-6 * lengthening / math.fsum(volumes.values()),
        source="; ".join(sorted({row["source"] for row in used})),
        known="memory" if any(row["known"] == "memory" for row in used) else "read",
    )


def expansion_missing(recipe: Recipe) -> tuple[str, ...]:
    """Metals of a recipe whose expansion no source gives, largest share first.

    Raises
    ------
    RecipeError
        A symbol is not known.
    """
    unknown = [symbol for symbol in recipe.symbols if symbol not in elements()]
    if unknown:
        raise RecipeError([unknown_symbol_problem(symbol) for symbol in unknown])
    return tuple(symbol for symbol in recipe.symbols if symbol not in _rows())


def opening_mm(diameter_mm: float, outer: Recipe, inner: Recipe, heat_k: float) -> float:
    """How far a ring on another opens when both are heated, measured on the diameter.

    Parameters
    ----------
    diameter_mm : float
        Where they meet, cold [mm].
    outer, inner : Recipe
        The ring outside and the ring inside.
    heat_k : float
        How much hotter than when they were fitted [K]; below 0 when cooled.

    Returns
    -------
    float
        Above 0 the outer ring opens, below 0 it grips [mm]; half of it on each side.

    Raises
    ------
    RecipeError
        No source gives the expansion of a metal; it is named.
    InputError
        The diameter is no length, or the heat no number.

    Source
    ------
    Linear expansion: d x (difference of expansion) x heat.

    Examples
    --------
    >>> silver, platinum = Recipe.of("Ag", {"Ag": 100}), Recipe.of("Pt", {"Pt": 100})
    >>> round(opening_mm(20, silver, platinum, 700), 3)
    0.141
    """
    if not 0 < diameter_mm < math.inf:
        raise InputError(
            Problem(text="no such diameter", value=f"{diameter_mm:g} mm", allowed="above 0 mm")
        )
    if not math.isfinite(heat_k):
        raise InputError(
            Problem(text="no such heat", value=f"{heat_k:g} K", allowed="a finite number of K")
        )
    rates = []
    problems = []
    for recipe in (outer, inner):
        found = expansion_per_k(recipe)
        if found is None:
            problems.append(_missing_problem(recipe))
        else:
            rates.append(found.per_k)
    if problems:
        raise RecipeError(problems)
    return diameter_mm * (rates[0] - rates[1]) * heat_k


def opening_text(diameter_mm: float, outer: Recipe, inner: Recipe, heat_k: float) -> str:
    """The same in words, for the sheet; an unknown expansion is told, not raised.

    Parameters
    ----------
    diameter_mm, outer, inner, heat_k
        As for `opening_mm`.

    Returns
    -------
    str
        One sentence, with the diameter [mm], the heat [K] and the movement [mm].

    Raises
    ------
    InputError
        The diameter is no length, or the heat no number.
    """
    try:
        opening = opening_mm(diameter_mm, outer, inner, heat_k)
    except RecipeError as error:
        return "; ".join(problem.text for problem in error.problems)
    said = f"{outer.name} on {inner.name}, {diameter_mm:.2f} mm across, {heat_k:g} K hotter: "
    if abs(opening) < NO_PLAY_MM:
        return said + "the two move together"
    does = "opens" if opening > 0 else "grips"
    return said + f"the outer {does} by {abs(opening):.3f} mm on the diameter"


def _missing_problem(recipe: Recipe) -> Problem:
    missing = ", ".join(expansion_missing(recipe))
    return Problem(
        text=f"{recipe.name}: no source gives the expansion of {missing}",
        value=missing,
        allowed=" ".join(_rows()),
    )


@cache
def _rows() -> Mapping[str, dict[str, str]]:
    return MappingProxyType({row["symbol"]: row for row in table("expansion")})
