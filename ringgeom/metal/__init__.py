"""Metal: a recipe, what it weighs, how sure that is, and what is wrong with it."""

from __future__ import annotations

from ringgeom.metal.alloy import Alloy, alloy_from_recipe
from ringgeom.metal.catalogue import alloy_by_name, alloy_names, catalogue
from ringgeom.metal.density import (
    Evidence,
    density_evidence,
    evidence_classes,
    ideal_density,
    recipe_density,
)
from ringgeom.metal.element import Element, element, elements, nearest_symbol
from ringgeom.metal.fault import recipe_faults
from ringgeom.metal.hazard import RecipeFault, hazard_faults
from ringgeom.metal.meant import alloy_meant
from ringgeom.metal.recipe import Recipe, fineness, karat_to_permille
from ringgeom.metal.written import alloy_from_text, shares_from_text

__all__ = [
    "Alloy",
    "Element",
    "Evidence",
    "Recipe",
    "RecipeFault",
    "alloy_by_name",
    "alloy_from_recipe",
    "alloy_from_text",
    "alloy_meant",
    "alloy_names",
    "catalogue",
    "density_evidence",
    "element",
    "elements",
    "evidence_classes",
    "fineness",
    "hazard_faults",
    "ideal_density",
    "karat_to_permille",
    "nearest_symbol",
    "recipe_density",
    "recipe_faults",
    "shares_from_text",
]
