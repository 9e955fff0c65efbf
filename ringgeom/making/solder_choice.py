"""Which grades may join two parts, and how hot the fire may get."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence

from ringgeom.making.joint_asked import JointAsked
from ringgeom.making.solder_step import Limits, Step
from ringgeom.metal.alloy import Alloy
from ringgeom.metal.solder import Grade, colour_family, grades


def candidates(joint: JointAsked, known: Sequence[Grade] | None) -> tuple[Grade, ...]:
    """Grades for a joint, the best first, by either part; temperatures are not looked at.

    Parameters
    ----------
    joint : JointAsked
        Its metals, finenesses and colours decide.
    known : sequence of Grade or None
        The shop's own solders in place of the generic ones.

    Returns
    -------
    tuple of Grade
        First those no less fine than their gold, then those of its colour, then the one that
        melts again highest, which leaves the most room below. Silver beside gold takes the
        lowest instead, short of a grade for repairs.

    Source
    ------
    Gold solder between platinum and gold: McCreight, Professional Jewelry Making (read). The
    order of preference is our judgement.
    """
    offered: dict[str, Grade] = {}
    needed = []
    for alloy in joint.alloys:
        metal = alloy.recipe.precious
        if metal == "platinum" and len(joint.metals) > 1:
            # what flows on platinum alone would melt its neighbour
            continue
        fineness = alloy.recipe.fineness_permille("Au") if metal == "gold" else None
        own = grades(metal, fineness, known=known)
        if metal == "gold":
            needed += [grade.fineness_permille for grade in own[:1]]
            below = grades(metal, known=known)
            own += tuple(g for g in below if own and g.fineness_permille < own[0].fineness_permille)
        offered.update((grade.name, grade) for grade in own)
    enough = min(needed, default=0.0)
    families = {colour_family(alloy) for alloy in joint.alloys}

    def preference(grade: Grade) -> tuple[float, ...]:
        short = max(0.0, enough - grade.fineness_permille) if grade.metal == "gold" else 0.0
        if joint.silver_beside_gold:
            return grade.grade == "extra easy", short, grade.liquidus_c
        return short, _off_colour(grade, families), -(grade.solidus_c or 0.0), -grade.liquidus_c

    return tuple(sorted(offered.values(), key=preference))


def limits(alloys: Mapping[str, Alloy], soldered: Iterable[Step], margin_c: float) -> Limits:
    """How hot a fire may get.

    Parameters
    ----------
    alloys : mapping
        The parts that lie in it, with their alloys.
    soldered : iterable of Step
        What has been soldered on them.
    margin_c : float
        Kept below the solidus of the lowest part [C].

    Returns
    -------
    Limits
        Of what is known; what is not is named in it.
    """
    unknown = []
    solidi = []
    for name, alloy in alloys.items():
        solidus = alloy.solidus_c
        if solidus is None:
            unknown.append(f"{name} ({alloy.name})")
        else:
            solidi.append((solidus, f"{name} ({alloy.name}, solidus {solidus:.0f} C)"))
    solders = []
    for step in soldered:
        # a joint that no grade fits is made some other way, without solder
        if step.state == "none":
            continue
        if step.grade is None or step.grade.solidus_c is None:
            unknown.append(f"the solder of {step.joint.name}")
        else:
            solders.append((step.grade.solidus_c, f"the solder of {step.joint.name}"))
    part_c, part = min(solidi, default=(math.inf, ""))
    solder_c, solder = min(solders, default=(math.inf, ""))
    return Limits(
        lowest_part=part,
        parts_c=part_c - margin_c,
        lowest_solder=solder,
        solders_c=solder_c,
        unknown=tuple(unknown),
    )


def first_fitting(offered: Iterable[Grade], limit: Limits) -> Grade | None:
    """The best grade that flows below the limits; None when none does."""
    return next((grade for grade in offered if limit.allow(grade)), None)


def _off_colour(grade: Grade, families: set[str]) -> int:
    """How much a seam shows: not at all, yellow in rose, or worse."""
    if grade.colour in families:
        return 0
    return 1 if grade.colour == "yellow" and "rose" in families else 2
