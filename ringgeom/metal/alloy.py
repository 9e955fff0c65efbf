"""An alloy: a recipe with the numbers that the bench needs from it."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from ringgeom.errors import Problem, RecipeError
from ringgeom.metal.density import (
    density_evidence,
    evidence_classes,
    excess_pairs,
    recipe_density,
)
from ringgeom.metal.element import elements, unknown_symbol_problem
from ringgeom.metal.fault import recipe_faults
from ringgeom.metal.recipe import Recipe, share_problems

DensityFrom = Literal["recipe", "measured", "given"]

DENSEST_FACTOR = 1.01
"""No alloy is denser than its densest metal; 1 % is left for handbook spread and weighing."""

LIGHTEST_FACTOR = 0.9
"""A tenth below the lightest metal is beyond any porosity worth weighing: a slip of the pen."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Alloy:
    """A metal to make a part of.

    Attributes
    ----------
    name : str
        Catalogue name, or the maker's own.
    recipe : Recipe
        Shares in percent by mass.
    density_g_cm3, density_uncertainty_g_cm3 : float
        Density of the sound solid near 20 C and the half width of its band [g/cm3].
    density_from : str
        ``recipe``, ``measured`` or ``given``.
    density_basis : str
        In words, how the density was found and why the band is as wide as it is.
    solidus_c, liquidus_c : float or None
        Melting range [C]; None when no source was seen.
    colour_name : str
        Colour as the source names it; empty for a recipe.
    lab : (float, float, float) or None
        CIELAB under D65, 2 degree observer, when given.
    source, known, note : str
        Where the recipe is from, the mark it carries, and remarks.
    density_published_g_cm3 : float or None
        Density that the source prints, for comparison only [g/cm3].
    """

    name: str
    recipe: Recipe
    density_g_cm3: float
    density_from: DensityFrom
    density_uncertainty_g_cm3: float
    density_basis: str
    solidus_c: float | None = None
    liquidus_c: float | None = None
    colour_name: str = ""
    lab: tuple[float, float, float] | None = None
    source: str
    known: str
    note: str = ""
    density_published_g_cm3: float | None = None


def computed_density(recipe: Recipe) -> tuple[float, float, str]:
    """Density of a recipe, half width of its band, both [g/cm3], and the basis in words."""
    density = recipe_density(recipe)
    evidence = density_evidence(recipe)
    pairs = excess_pairs(recipe)
    how = f"molar volumes with excess volume of {', '.join(pairs)}" if pairs else "ideal mixing"
    if len(recipe.shares) == 1:
        how = "handbook density of the metal"
    basis = (
        f"from the recipe: {how}; {evidence.name}, +/- {evidence.uncertainty_percent:g} %: "
        f"{evidence.reason}"
    )
    return density, density * evidence.uncertainty_percent / 100.0, basis


def alloy_from_recipe(
    name: str,
    shares: Mapping[str, float],
    density_g_cm3: float | None = None,
    lab: tuple[float, float, float] | None = None,
    *,
    density_from: Literal["given", "measured"] = "given",
    density_uncertainty_g_cm3: float | None = None,
) -> Alloy:
    """An alloy from the maker's own recipe.

    A sum other than 100 or a restricted metal does not raise here: ``recipe_faults`` tells,
    and the density is that of the shares relative to their sum.

    Parameters
    ----------
    name : str
        What the maker calls it.
    shares : mapping
        Symbol to percent by mass.
    density_g_cm3 : float, optional
        Overrides the computed density [g/cm3].
    lab : tuple of 3 floats, optional
        Measured CIELAB colour under D65, 2 degree observer.
    density_from : str
        Whether the override is ``given`` or ``measured`` by the shop.
    density_uncertainty_g_cm3 : float, optional
        Half width of the override's band [g/cm3].

    Returns
    -------
    Alloy
        Without melting range, which no recipe tells.

    Raises
    ------
    RecipeError
        Unknown symbols, shares that are no numbers, an impossible density or colour: all at once.
    """
    problems = list(share_problems(name, shares.items()))
    unknown = [symbol for symbol in shares if symbol not in elements()]
    problems += [unknown_symbol_problem(symbol) for symbol in unknown]
    if not problems:
        recipe = Recipe.of(name, shares)
        problems += _override_problems(recipe, density_g_cm3, density_uncertainty_g_cm3, lab)
    elif not share_problems(name, shares.items()):
        # The recipe must be rewritten anyway, so its other faults are told with it.
        faults = recipe_faults(Recipe.of(name, shares))
        problems += [
            Problem(text=f"{fault.text}; {fault.fix}")
            for fault in faults
            if fault.level == "stop" and fault.code != "unknown-symbol"
        ]
    if problems:
        raise RecipeError(problems)
    density, uncertainty, basis = computed_density(recipe)
    origin: DensityFrom = "recipe"
    if density_g_cm3 is not None:
        given = next(entry for entry in evidence_classes() if entry.match == "given")
        share = given.uncertainty_percent
        basis = f"{density_from} by the shop (the recipe gives {density:.2f} g/cm3)"
        if density_uncertainty_g_cm3 is None:
            basis += f", +/- {share:g} %: {given.reason}"
        uncertainty = density_uncertainty_g_cm3 or density_g_cm3 * share / 100.0
        density, origin = float(density_g_cm3), density_from
    return Alloy(
        name=name,
        recipe=recipe,
        density_g_cm3=density,
        density_from=origin,
        density_uncertainty_g_cm3=uncertainty,
        density_basis=basis,
        lab=lab,
        source="the maker's recipe",
        known="given",
    )


def _override_problems(
    recipe: Recipe,
    density_g_cm3: float | None,
    uncertainty_g_cm3: float | None,
    lab: tuple[float, float, float] | None,
) -> list[Problem]:
    problems = []
    if density_g_cm3 is not None:
        densities = [elements()[symbol].density_g_cm3 for symbol in recipe.symbols]
        low, high = LIGHTEST_FACTOR * min(densities), DENSEST_FACTOR * max(densities)
        if not low <= density_g_cm3 <= high:
            problems.append(
                Problem(
                    text=f"{recipe.name}: no alloy of these metals has this density",
                    value=f"{density_g_cm3:g} g/cm3",
                    allowed=f"{low:.2f} to {high:.2f} g/cm3",
                    nearest=f"{recipe_density(recipe):.2f} g/cm3 from the recipe",
                )
            )
    if uncertainty_g_cm3 is not None and not 0 < uncertainty_g_cm3 < math.inf:
        problems.append(
            Problem(
                text=f"{recipe.name}: the density's uncertainty is not a width",
                value=f"{uncertainty_g_cm3:g} g/cm3",
                allowed="above 0",
            )
        )
    if lab is not None and not (
        len(lab) == 3 and all(math.isfinite(part) for part in lab) and 0 <= lab[0] <= 100
    ):
        problems.append(
            Problem(
                text=f"{recipe.name}: lab is not a colour",
                value=str(lab),
                allowed="three numbers L, a, b with L from 0 to 100",
            )
        )
    return problems
