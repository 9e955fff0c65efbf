"""Alloys to choose from for one part, those that contrast most with its neighbours first."""

from __future__ import annotations

from typing import Any

from ringgeom.colour import colour
from ringgeom.colour.contrast import contrast
from ringgeom.jobs import Job
from ringgeom.metal import Alloy
from ringgeom.metal.catalogue import catalogue
from ringgeom.metal.fault import recipe_faults
from ringgeom.metal.recipe import fineness


def choices(found: Job, part: str) -> dict[str, Any]:
    """Every alloy of the catalogue, and the names of the alloys that the part lies beside.

    An alloy's contrast is the weakest of those with its neighbours; without a neighbour
    the catalogue keeps its order.
    """
    beside = neighbours(found, part)
    now = next((one.alloy.name for one in found.parts if one.name == part), "")
    rows = [_row(alloy, beside, alloy.name == now) for alloy in catalogue()]
    if beside:
        rows.sort(key=lambda row: -float(row["delta_e"]))
    return {"alloys": rows, "beside": [alloy.name for alloy in beside]}


def neighbours(found: Job, part: str) -> tuple[Alloy, ...]:
    """Alloys that a part touches, itself left out."""
    mine = {one.alloy.name for one in found.parts if one.name == part}
    met = {}
    for meeting in found.meetings:
        for own, other in (meeting.alloys, meeting.alloys[::-1]):
            if own.name in mine:
                met[other.name] = other
    return tuple(met.values())


def _row(alloy: Alloy, beside: tuple[Alloy, ...], now: bool) -> dict[str, Any]:
    seen = colour(alloy)
    weakest = min(
        (contrast(seen, colour(other)) for other in beside),
        key=lambda one: one.delta_e_00_d65,
        default=None,
    )
    faults = recipe_faults(alloy.recipe)
    return {
        "name": alloy.name,
        "hex": seen.hex,
        "fineness": fineness(alloy.recipe),
        "density_g_cm3": alloy.density_g_cm3,
        "delta_e": None if weakest is None else weakest.delta_e_00_d65,
        "verdict": None if weakest is None else weakest.verdict,
        "source": alloy.source,
        "hazards": [one.code for one in faults if one.code in HARMFUL],
        "now": now,
    }


HARMFUL = ("cadmium", "lead", "nickel", "beryllium")
"""Codes of faults that are about harm to wearer or maker."""
