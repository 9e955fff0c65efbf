"""What the client is told of a ring, on the card and in the picture that is sent."""

from __future__ import annotations

from dataclasses import dataclass

from ringgeom.drawing.inks import inks
from ringgeom.jobs import Job
from ringgeom.metal import Alloy, fineness
from ringgeom.metal.melting import hints
from ringgeom.units import grams

WORN_BY = {
    "copper-ordering": "rich in copper: it deepens a little with wear and washes bright again",
    "silver-sulphide": "holds much silver: it tarnishes with sulphur; wipe it with a soft cloth",
}
"""What a metal's habit at the crucible means to the one who wears it."""


def place(name: str) -> str:
    """A part's name without the number of its piece."""
    head, _, number = name.rpartition(" ")
    return head if head and number.isdigit() else name


def kind(alloy: Alloy) -> str:
    """A metal in words: its colour and what it mostly is."""
    colour = f"{alloy.colour_name} " if alloy.colour_name else ""
    return f"{colour}{alloy.recipe.precious}"


@dataclass(frozen=True, slots=True, kw_only=True)
class MetalTold:
    """One metal of a ring as its client reads of it; `fill` is its predicted colour."""

    fill: str
    where: str
    kind: str
    fine: str
    weight: str


def metals(job: Job) -> tuple[MetalTold, ...]:
    """Every metal of a ring: where it is, what it is, how fine, how heavy."""
    colours = inks(job)
    found = []
    for casting in job.castings:
        made = fineness(casting.alloy.recipe)
        found.append(
            MetalTold(
                fill=colours.fills[casting.alloy.name],
                where=", ".join(dict.fromkeys(place(part.name) for part in casting.parts)),
                kind=kind(casting.alloy),
                fine="" if made is None else f"{made:.0f} ‰",
                weight=f"{grams(sum(part.finished_g for part in casting.parts))} g",
            )
        )
    return tuple(found)


def contrasts(job: Job) -> tuple[str, ...]:
    """How every two metals that touch read beside each other, each pair once."""
    told = ((*(kind(alloy) for alloy in one.alloys), one.contrast.verdict) for one in job.meetings)
    once = {(*sorted((first, second)), verdict): None for first, second, verdict in told}
    return tuple(f"{first} beside {second}: {verdict}" for first, second, verdict in once)


def living(job: Job) -> tuple[str, ...]:
    """How to live with the ring: care, wear, and what is better known beforehand."""
    said = [
        "Wash it in warm water with a little soap and a soft brush; keep it from chlorine, "
        "mercury and strong acids.",
        "Polished metal takes on fine scratches, brushed metal grows brighter: both are "
        "renewed at the bench. Edges soften over the years.",
    ]
    for alloy, _ in job.colours:
        for hint in hints(alloy.recipe):
            if hint.code in WORN_BY:
                said.append(f"The {kind(alloy)} is {WORN_BY[hint.code]}.")
    if any(alloy.recipe.percent("Ni") > 0 for alloy, _ in job.colours):
        said.append("One of its metals contains nickel: tell us if your skin reacts to it.")
    said.append(
        "Take it off for work and sport: a ring that catches can injure a finger badly. If a "
        "finger swells, take it off early; an emergency cutter has to go through every metal of it."
    )
    return tuple(dict.fromkeys(said))
