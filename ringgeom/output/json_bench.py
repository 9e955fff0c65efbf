"""The bench's own sums as JSON: mixtures, changes of fineness, weighing in water, melt plans."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from ringgeom.colour import colour
from ringgeom.colour.pair import Pair
from ringgeom.colour.search import Searched
from ringgeom.making.poured import Casting
from ringgeom.melt import MeltPlan
from ringgeom.metal import Alloy, fineness, recipe_faults
from ringgeom.metal.assayed import Assayed
from ringgeom.metal.caution import Caution
from ringgeom.metal.fineness_change import Change
from ringgeom.metal.mixing import InHand
from ringgeom.metal.portion_text import Mixed, WrittenPortion
from ringgeom.metal.reaching import Reached
from ringgeom.metal.weighed_change import WeighedChange, WeighedOut
from ringgeom.output.json_casting import casting_json
from ringgeom.output.json_metal import (
    caution_json,
    colour_json,
    contrast_json,
    melts_json,
    recipe_json,
)
from ringgeom.shop import MeltSettings


def mixture_json(found: Mixed) -> dict[str, Any]:
    """What comes of portions melted together."""
    return {
        "portions": [
            {"alloy": one.alloy.name, "grams": one.grams, "cm3": one.cm3} for one in found.portions
        ],
        "grams": found.grams,
        "recipe": recipe_json(found.made.recipe),
        "metal": found.made.recipe.precious,
        "fineness_permille": fineness(found.made.recipe),
        "density_g_cm3": found.made.density_g_cm3,
        "density_uncertainty_g_cm3": found.made.density_uncertainty_g_cm3,
        "colour": colour_json(found.made, colour(found.made)),
        "hazards": [fault.code for fault in recipe_faults(found.made.recipe)],
    }


def change_json(found: Change, weighed: WeighedChange, moved: Pair) -> dict[str, Any]:
    """A lot raised or lowered; the contrast is between before and after."""
    return {
        "metal": found.symbol,
        "before_permille": found.before_permille,
        "after_permille": found.after_permille,
        "lot_g": found.lot_g,
        "add_g": found.add_g,
        "add": [{"metal": one.metal, "grams": one.grams} for one in found.add],
        "total_g": found.total_g,
        "result": recipe_json(found.result),
        "adding": found.adding.name,
        "why": found.why,
        "weighed": {
            "add_g": weighed.add_g,
            "total_g": weighed.total_g,
            "after_permille": weighed.after_permille,
            "result": recipe_json(weighed.result),
        },
        "colour_shift": contrast_json(moved),
    }


def assay_json(found: Assayed) -> dict[str, Any]:
    """Density, share of gold and porosity, with their bands and limits."""
    weighed, share, pores = found.immersion, found.share, found.porosity
    return {
        "mass_g": weighed.mass_g,
        "volume_cm3": weighed.volume_cm3,
        "density_g_cm3": weighed.density_g_cm3,
        "density_band_g_cm3": list(weighed.band_g_cm3),
        "water_g_cm3": weighed.water_g_cm3,
        "share": None
        if share is None
        else {
            "of": share.heavy,
            "in": share.light,
            "permille": share.permille,
            "permille_low": share.permille_low,
            "permille_high": share.permille_high,
            "karat": share.karat,
            "volume_percent": share.volume_percent,
        },
        "not_shared": found.not_shared,
        "porosity": None
        if pores is None
        else {
            "percent": pores.percent,
            "percent_low": pores.percent_low,
            "percent_high": pores.percent_high,
            "expected_g_cm3": pores.expected_g_cm3,
            "verdict": pores.verdict,
            "text": pores.text,
        },
        "limits": list(found.limits),
    }


def searched_json(found: Searched) -> dict[str, Any]:
    """Recipes proposed for a colour."""
    return {
        "words": found.words,
        "tried": found.tried,
        "step_percent": found.step_percent,
        "proposals": [
            {
                "recipe": recipe_json(one.recipe),
                "density_g_cm3": one.alloy.density_g_cm3,
                "density_uncertainty_g_cm3": one.alloy.density_uncertainty_g_cm3,
                "colour": colour_json(one.alloy, one.colour),
                "delta_e_00": one.delta_e_00,
                "melts": None if one.melts is None else one.melts.text,
                "hints": [hint.text for hint in one.hints],
                "hazards": [fault.code for fault in one.hazards],
            }
            for one in found.proposals
        ],
    }


def plan_json(
    plan: MeltPlan,
    settings: MeltSettings,
    cautions: Sequence[Caution],
    castings: Sequence[Casting] = (),
) -> dict[str, Any]:
    """A melt plan with the settings it was made under, and the flasks that several rings share."""
    return {
        "possible": plan.possible,
        **({"castings": [casting_json(one) for one in castings]} if castings else {}),
        "melts": melts_json(plan),
        "left": [{"lot": one.lot, "grams": one.grams} for one in plan.left],
        "kept_out": [{"lot": one.lot, "why": one.why} for one in plan.kept_out],
        "new_gold_g": plan.new_gold_g,
        "bought_cost": plan.bought_cost,
        "currency": plan.currency,
        "settings": settings.model_dump(mode="json"),
        "cautions": [caution_json(one) for one in cautions],
    }


def in_hand_json(made: Alloy, found: InHand, out: WeighedOut) -> dict[str, Any]:
    """How much of an alloy the metal in hand makes."""
    return {
        "alloy": made.name,
        "limiting": found.limiting,
        "alloy_g": found.alloy_g,
        "needed": [{"metal": one.metal, "grams": one.grams} for one in found.needed],
        "add": [{"metal": one.metal, "grams": one.grams} for one in found.add],
        "left": [{"metal": one.metal, "grams": one.grams} for one in found.left],
        "weighed": _weighed(out),
    }


def reached_json(
    made: Alloy, lot: WrittenPortion, found: Reached, out: WeighedOut
) -> dict[str, Any]:
    """The least of an alloy that takes up all of a lot."""
    return {
        "alloy": made.name,
        "lot": lot.alloy.name,
        "lot_g": found.lot_g,
        "limiting": found.limiting,
        "alloy_g": found.total_g,
        "add": [{"metal": one.metal, "grams": one.grams} for one in found.add],
        "weighed": _weighed(out),
        "traces": [{"metal": one.metal, "grams": one.grams} for one in found.traces],
        "result": recipe_json(found.result),
    }


def _weighed(out: WeighedOut) -> dict[str, Any]:
    return {
        "take": [{"metal": one.metal, "grams": one.grams} for one in out.portions],
        "total_g": out.total_g,
        "fineness_permille": out.permille,
    }
