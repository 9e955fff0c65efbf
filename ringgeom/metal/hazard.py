"""Metals that harm the wearer or the maker: what is refused and what is warned of."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from ringgeom.metal.recipe import Recipe

CADMIUM_LIMIT_PERCENT = 0.01
"""REACH Annex XVII entry 23: not allowed at or above this, in each metal part."""

LEAD_LIMIT_PERCENT = 0.05
"""REACH Annex XVII entry 63: not allowed at or above this, in each individual part."""

NICKEL_RELEASE_LIMIT_UG_CM2_WEEK = 0.5
"""REACH Annex XVII entry 27; a release cannot be computed from a recipe."""

BERYLLIUM_AIR_LIMIT_UG_M3 = 0.2
"""OSHA limit for beryllium in air over 8 hours."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RecipeFault:
    """One thing wrong with a recipe, or worth a warning.

    Attributes
    ----------
    code : str
        ``recipe-sum``, ``unknown-symbol``, ``karat-for-percent``, ``cadmium``, ``lead``,
        ``nickel`` or ``beryllium``.
    level : str
        ``stop``, ``warn`` or ``note``.
    value, limit : float or None
        What it is and what it may be, in ``unit``.
    unit : str
        Unit of both.
    text, fix : str
        What is wrong, and the way out.
    """

    code: str
    level: Literal["stop", "warn", "note"]
    value: float | None
    limit: float | None
    unit: str
    text: str
    fix: str


def hazard_faults(recipe: Recipe) -> tuple[RecipeFault, ...]:
    """Cadmium and lead (refused), nickel and beryllium (warned of) in one metal part.

    The limits hold for each metal part alone, never for the average of the ring.

    Parameters
    ----------
    recipe : Recipe
        Shares in percent by mass of the part.

    Returns
    -------
    tuple of RecipeFault
        Empty when none of the four is in the way.

    Source
    ------
    REACH Annex XVII entries 23, 27 and 63; EN 1811; OSHA beryllium standard.
    """
    faults = []
    for code, symbol, limit, entry, why in (
        ("cadmium", "Cd", CADMIUM_LIMIT_PERCENT, 23, "; its fume is poisonous"),
        ("lead", "Pb", LEAD_LIMIT_PERCENT, 63, ""),
    ):
        share = recipe.percent(symbol)
        if share >= limit:
            faults.append(
                RecipeFault(
                    code=code,
                    level="stop",
                    value=share,
                    limit=limit,
                    unit="% by mass",
                    text=f"{recipe.name} holds {share:g} % {code}: not for wear at or above "
                    f"{limit:g} % in any metal part (REACH Annex XVII entry {entry}){why}",
                    fix=f"use a recipe without {code}",
                )
            )
    nickel = recipe.percent("Ni")
    if nickel > 0:
        faults.append(
            RecipeFault(
                code="nickel",
                level="warn",
                value=nickel,
                limit=0.0,
                unit="% by mass",
                text=f"{recipe.name} holds {nickel:g} % nickel: what it gives off on the skin "
                f"(limit {NICKEL_RELEASE_LIMIT_UG_CM2_WEEK:g} microgram per cm2 and week, REACH "
                "Annex XVII entry 27) cannot be computed from a recipe",
                fix="test to EN 1811, or choose an alloy without nickel, first of all where it "
                "lies against the skin",
            )
        )
    beryllium = recipe.percent("Be")
    if beryllium > 0:
        faults.append(
            RecipeFault(
                code="beryllium",
                level="warn",
                value=beryllium,
                limit=0.0,
                unit="% by mass",
                text=f"{recipe.name} holds {beryllium:g} % beryllium: its dust and fume are toxic "
                f"(OSHA: {BERYLLIUM_AIR_LIMIT_UG_M3:g} microgram per m3 of air over 8 h)",
                fix="choose an alloy without beryllium; never melt, file or polish it without "
                "controlled extraction",
            )
        )
    return tuple(faults)
