"""Which solder, in which order: every joint with its grade, its window and its grams.

A grade fits when it flows `margin_c` below the solidus of the lowest part in the fire, and below
the solidus of every solder that is in the fire already. A ring closed by itself is in no other
ring's fire; what has been joined goes into the fire together; all faces that close when a part is
set are one heat.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from ringgeom.errors import InputError, Problem
from ringgeom.making.joint_asked import JointAsked
from ringgeom.making.seam_angles import SeamAngle, seam_angles
from ringgeom.making.solder_choice import candidates, first_fitting, limits
from ringgeom.making.solder_remarks import Remark, remarks
from ringgeom.making.solder_step import Step
from ringgeom.metal.alloy import Alloy
from ringgeom.metal.solder import Grade

__all__ = ["Filler", "JointAsked", "Remark", "SolderPlan", "Step", "filler_by_metal", "solder_plan"]


@dataclass(frozen=True, slots=True, kw_only=True)
class SolderPlan:
    """All joints in the order they are made.

    Attributes
    ----------
    steps : tuple of Step
        One for each joint; joints of one heat have the same number.
    remarks : tuple of Remark
        What cannot be, what is not known and what to mind.
    seams : tuple of SeamAngle
        Where the seams go round the ring.
    margin_c : float
        Kept below the solidus of the lowest part [C].
    """

    steps: tuple[Step, ...]
    remarks: tuple[Remark, ...]
    seams: tuple[SeamAngle, ...]
    margin_c: float

    @property
    def possible(self) -> bool:
        """Whether no joint is without a grade; what is unknown does not count against it."""
        return all(step.state != "none" for step in self.steps)


@dataclass(frozen=True, slots=True, kw_only=True)
class Filler:
    """Solder that counts with one metal: its mass [g] and mean fineness in it [permille]."""

    metal: str
    grams: float
    fineness_permille: float


def solder_plan(
    joints: Sequence[JointAsked],
    *,
    margin_c: float,
    filler_factor: float = 1.5,
    grades: Sequence[Grade] | None = None,
) -> SolderPlan:
    """The plan for the joints of one ring.

    Parameters
    ----------
    joints : sequence of JointAsked
        In any order.
    margin_c : float
        What the liquidus of a solder keeps below the solidus of the lowest part [C].
    filler_factor : float
        Solder taken for a gap, against the gap's volume.
    grades : sequence of Grade, optional
        The shop's own solders in place of the generic ones.

    Returns
    -------
    SolderPlan
        Welded and cast joints first, then platinum, seams before assembly, the stages of the
        assembly, higher solidus first, silver beside gold late; what is pressed, laid or glued
        at the very end.

    Raises
    ------
    InputError
        A name stands twice, a part has two alloys, or a number is none.

    Source
    ------
    Order, and 30 to 50 C of margin: common practice, from memory; a published survey of carat
    gold solders asks at least 20 C (read). Filler = gap x area x 1.5: common practice, no source.
    """
    alloys = _alloys(joints, margin_c, filler_factor)
    made: dict[str, Step] = {}
    first: dict[tuple[frozenset[str], bool, str], str] = {}
    fires = {name: _Fire(parts=(name,), joints=()) for name in alloys}
    ordered = sorted(joints, key=JointAsked.rank)
    for heat, joint in enumerate(ordered, start=1):
        fire = _together(fires, [one for one in ordered if one.heat_of == joint.heat_of])
        step = Step(joint=joint, heat=heat)
        if joint.done_with == "solder":
            earlier = first.setdefault(joint.heat_of, joint.name)
            if earlier != joint.name:
                step = replace(made[earlier], joint=joint, with_joint=earlier)
            else:
                here = {name: alloys[name] for name in fire.parts}
                before = [made[name] for name in fire.joints if made[name].heat != heat]
                step, shared = _soldered(step, here, before, margin_c, grades)
                made.update(shared)
            step = replace(step, filler_mm3=joint.gap_mm * joint.area_mm2 * filler_factor)
            fire = replace(fire, joints=(*fire.joints, joint.name))
        made[joint.name] = step
        fires.update(dict.fromkeys(fire.parts, fire))
    steps = _numbered(made.values())
    touching = [joint.between for joint in joints if joint.between[0] != joint.between[1]]
    return SolderPlan(
        steps=steps,
        remarks=remarks(steps),
        seams=seam_angles([(j.name, j.between) for j in joints if j.seam], touching),
        margin_c=margin_c,
    )


def filler_by_metal(plan: SolderPlan) -> tuple[Filler, ...]:
    """Solder that counts with the parts of each metal, for the fineness of the soldered whole.

    Parameters
    ----------
    plan : SolderPlan
        Joints whose grade is not sure count as the grade they would take.

    Returns
    -------
    tuple of Filler
        Metals in the order they come in; without those that take no solder.
    """
    weighed: dict[str, list[tuple[float, float]]] = {}
    for step in plan.steps:
        if step.filler_g is not None and step.fineness_permille is not None:
            weighed.setdefault(step.counts_with, []).append((step.filler_g, step.fineness_permille))
    found = []
    for metal, pairs in weighed.items():
        grams = math.fsum(mass for mass, _ in pairs)
        fine = math.fsum(mass * permille for mass, permille in pairs)
        found.append(Filler(metal=metal, grams=grams, fineness_permille=fine / grams))
    return tuple(found)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Fire:
    """Parts that hang together, and the soldered joints that hold them, by name."""

    parts: tuple[str, ...]
    joints: tuple[str, ...]


def _together(fires: Mapping[str, _Fire], joints: Sequence[JointAsked]) -> _Fire:
    """What lies in the fire when joints are made: all sides with all that hangs on them."""
    sides = [fires[name] for joint in joints for name in joint.between]
    return _Fire(
        parts=tuple(dict.fromkeys(part for side in sides for part in side.parts)),
        joints=tuple(dict.fromkeys(name for side in sides for name in side.joints)),
    )


def _soldered(
    step: Step,
    here: Mapping[str, Alloy],
    before: Sequence[Step],
    margin_c: float,
    known: Sequence[Grade] | None,
) -> tuple[Step, dict[str, Step]]:
    """The step with its grade, and the earlier steps that must move into its heat, by joint."""
    offered = candidates(step.joint, known)
    limit = limits(here, before, margin_c)
    grade = first_fitting(offered, limit)
    step = replace(step, limits=limit, offered=offered)
    if limit.unknown:
        # the weight must still be counted, so the likeliest grade stands in for it
        stand_in = grade or next(iter(offered), None)
        return replace(step, state="unknown", counted_as=stand_in), {}
    if grade is not None:
        return replace(step, state="fits", grade=grade, counted_as=grade), {}
    # no lower grade is left, but all faces that take the same grade may flow at once
    latest = max(before, key=lambda done: done.heat, default=step)
    grade = latest.grade
    if grade is None or grade not in offered or latest.joint.alone or step.joint.alone:
        return replace(step, state="none"), {}
    same = [done for done in before if done.grade == grade and not done.joint.alone]
    limit = limits(here, [done for done in before if done not in same], margin_c)
    if not limit.allow(grade):
        return replace(step, state="none"), {}
    first = min(same, key=lambda done: done.heat).joint.name
    moved = {
        done.joint.name: replace(
            done, heat=step.heat, limits=limit, with_joint="" if done.joint.name == first else first
        )
        for done in same
    }
    fitted = replace(step, state="fits", grade=grade, counted_as=grade, limits=limit)
    return replace(fitted, with_joint=first), moved


def _numbered(steps: Iterable[Step]) -> tuple[Step, ...]:
    """By heat, the heats numbered from 1 without a gap."""
    ordered = sorted(steps, key=lambda step: (step.heat, bool(step.with_joint)))
    numbers = {heat: place for place, heat in enumerate(dict.fromkeys(s.heat for s in ordered), 1)}
    return tuple(replace(step, heat=numbers[step.heat]) for step in ordered)


def _alloys(joints: Sequence[JointAsked], margin_c: float, factor: float) -> dict[str, Alloy]:
    problems = []
    if not 0 <= margin_c < math.inf:
        problems.append(Problem(text="no margin", value=f"{margin_c:g} C", allowed="0 C or more"))
    if not 0 < factor < math.inf:
        problems.append(Problem(text="no filler factor", value=f"{factor:g}", allowed="above 0"))
    alloys: dict[str, Alloy] = {}
    names: set[str] = set()
    for joint in joints:
        if joint.name in names:
            problems.append(Problem(text="two joints have this name", value=joint.name))
        names.add(joint.name)
        for part, alloy in zip(joint.between, joint.alloys, strict=True):
            if alloys.setdefault(part, alloy) != alloy:
                value = f"{alloys[part].name} and {alloy.name}"
                problems.append(Problem(text=f"{part} is of two alloys", value=value))
    if problems:
        raise InputError(problems)
    return alloys
