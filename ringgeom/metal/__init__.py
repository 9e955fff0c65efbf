"""Metal: a recipe, what it weighs, how sure that is, and what is wrong with it."""

from __future__ import annotations

from ringgeom.metal.alloy import Alloy, alloy_from_recipe
from ringgeom.metal.assayed import Assayed, assayed
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
from ringgeom.metal.fineness_change import Change, change_fineness
from ringgeom.metal.hazard import RecipeFault, hazard_faults
from ringgeom.metal.meant import alloy_meant
from ringgeom.metal.mixing import InHand, most_alloy
from ringgeom.metal.portion_text import Mixed, metals_in_hand, mixed_from_texts, portion_from_text
from ringgeom.metal.recipe import Recipe, fineness, karat_to_permille
from ringgeom.metal.written import alloy_from_text, shares_from_text

__all__ = [
    "Alloy",
    "Assayed",
    "Change",
    "Element",
    "Evidence",
    "InHand",
    "Mixed",
    "Recipe",
    "RecipeFault",
    "alloy_by_name",
    "alloy_from_recipe",
    "alloy_from_text",
    "alloy_meant",
    "alloy_names",
    "assayed",
    "catalogue",
    "change_fineness",
    "density_evidence",
    "element",
    "elements",
    "evidence_classes",
    "fineness",
    "hazard_faults",
    "ideal_density",
    "karat_to_permille",
    "metals_in_hand",
    "mixed_from_texts",
    "most_alloy",
    "nearest_symbol",
    "portion_from_text",
    "recipe_density",
    "recipe_faults",
    "shares_from_text",
]
