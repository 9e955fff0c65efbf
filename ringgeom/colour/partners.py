"""Better partners: catalogue alloys of the same fineness that contrast more with a neighbour."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np

from ringgeom.colour.cie import Array
from ringgeom.colour.contrast import TWO_COLOURS, Contrast, contrast
from ringgeom.colour.difference import delta_e_00
from ringgeom.colour.face import colour
from ringgeom.metal import Alloy, catalogue, fineness, recipe_faults
from ringgeom.metal.catalogue import SAME_FINENESS_PERMILLE


@dataclass(frozen=True, slots=True, kw_only=True)
class Partner:
    """An alloy to use instead, how it contrasts with the neighbour, and what to mind."""

    alloy: Alloy
    contrast: Contrast
    hazards: tuple[str, ...]


def partners(neighbour: Alloy, instead_of: Alloy, *, most: int = 4) -> tuple[Partner, ...]:
    """Catalogue alloys of the metal and fineness of one, best contrast with its neighbour first.

    Only alloys that contrast more than the one in use by at least half a unit, refused metals
    left out; the contrast that counts is the smaller of daylight and lamp. One of each colour
    (green, yellow, rose, red, white), so that the list is a choice; hazards come last.

    Parameters
    ----------
    neighbour : Alloy
        Stays.
    instead_of : Alloy
        To be replaced: gives metal and fineness.
    most : int
        How many at most.
    """
    fine = fineness(instead_of.recipe)
    now = _least(contrast(colour(neighbour), colour(instead_of)))
    if fine is None:
        return ()
    same = [
        (alloy, lab)
        for alloy, made, lab in _candidates(instead_of.recipe.precious)
        if abs(made - fine) <= SAME_FINENESS_PERMILLE
    ]
    if not same:
        return ()
    rough = delta_e_00(np.array([lab for _, lab in same]), np.array(colour(neighbour).lab))
    found: dict[str, Partner] = {}
    for index in np.argsort(-rough, kind="stable"):
        alloy = same[index][0]
        met = contrast(colour(neighbour), colour(alloy))
        if _least(met) >= now + 0.5:
            hazards = tuple(fault.code for fault in recipe_faults(alloy.recipe))
            one = Partner(alloy=alloy, contrast=met, hazards=hazards)
            best = found.setdefault(_family(alloy), one)
            if best.hazards and not hazards:
                found[_family(alloy)] = one
    ranked = sorted(found.values(), key=lambda p: (bool(p.hazards), -_least(p.contrast)))
    return tuple(ranked[:most])


def better_pair(first: Alloy, second: Alloy) -> tuple[tuple[Partner, ...], tuple[Partner, ...]]:
    """Better partners instead of the first and of the second; none if they read as two colours."""
    if contrast(colour(first), colour(second)).verdict == TWO_COLOURS:
        return (), ()
    return partners(second, first), partners(first, second)


def _family(alloy: Alloy) -> str:
    """Colour word of a catalogue name: metal, fineness, colour, qualifier."""
    return [*alloy.name.split("-"), "", ""][2]


def _least(met: Contrast) -> float:
    return min(met.delta_e_00_d65, met.delta_e_00_a)


@cache
def _candidates(metal: str) -> tuple[tuple[Alloy, float, Array], ...]:
    """Catalogue alloys of a metal that may be worn, with fineness and colour."""
    return tuple(
        (alloy, made, np.array(colour(alloy).lab))
        for alloy in catalogue()
        if alloy.recipe.precious == metal
        and (made := fineness(alloy.recipe)) is not None
        and not any(fault.level == "stop" for fault in recipe_faults(alloy.recipe))
    )
