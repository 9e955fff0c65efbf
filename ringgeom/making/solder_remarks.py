"""What to remark on a joint that is soldered: what cannot be, what is not known, what to mind."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from ringgeom.making.solder_step import SYMBOLS, Step
from ringgeom.metal.alloy import Alloy
from ringgeom.metal.catalogue import SAME_FINENESS_PERMILLE
from ringgeom.metal.solder import colour_family

USUAL_GAP_MM = (0.025, 0.125)
"""Solder gap that fills; read."""

MECHANICAL = "hammer it in or press it, after all soldering"


@dataclass(frozen=True, slots=True, kw_only=True)
class Remark:
    """Something to know of a joint.

    `code` is ``no-grade``, ``solidus-unknown``, ``silver-beside-gold``, ``below-fineness``,
    ``seam-shows`` or ``solder-gap``; `value` and `limit` are in `unit`.
    """

    code: str
    joint: str
    value: float | None = None
    limit: float | None = None
    unit: str = ""
    text: str
    fix: str


def remarks(steps: Iterable[Step]) -> tuple[Remark, ...]:
    """What to know of the steps of a plan, in their order.

    What holds for two parts is said once, however many faces they share, and of a solder below
    the fineness of its parts once for each grade; a gap is said of each joint. Nothing is said of
    a joint that is not soldered.
    """
    found: dict[tuple[str, object], Remark] = {}
    for step in steps:
        if step.state == "other":
            continue
        said = [_no_grade(step), _unknown(step), _silver_beside_gold(step)]
        said += [_below_fineness(step), _shows(step), _gap(step)]
        for remark in said:
            if remark is not None:
                about: object = step.joint.heat_of
                if remark.code == "below-fineness":
                    about = step.counted_as
                elif remark.code == "solder-gap":
                    about = step.joint.name
                found.setdefault((remark.code, about), remark)
    return tuple(found.values())


def _no_grade(step: Step) -> Remark | None:
    if step.state != "none":
        return None
    name, limits = step.joint.name, step.limits
    fix = f"weld it, or {MECHANICAL}; or join it in one heat with what is in the fire already"
    if not step.offered:
        metals = " and ".join(step.joint.metals)
        text = f"{name}: no solder for {metals} is known"
        return Remark(code="no-grade", joint=name, text=text, fix=f"give the shop's own; or {fix}")
    lowest = min(step.offered, key=lambda grade: grade.liquidus_c)
    return Remark(
        code="no-grade",
        joint=name,
        value=lowest.liquidus_c,
        limit=limits.limit_c,
        unit="C",
        text=f"{name}: no grade fits; the lowest, {lowest.name}, flows at {lowest.liquidus_c:.0f} "
        f"C, the limit is {limits}",
        fix=fix,
    )


def _unknown(step: Step) -> Remark | None:
    if step.state != "unknown":
        return None
    name, unknown = step.joint.name, ", ".join(step.limits.unknown)
    text = f"{name}: the solidus of {unknown} is not known, so no window is given"
    if step.counted_as is not None:
        text += f"; its weight is counted as {step.counted_as.name}"
    fix = "ask the metal's maker for the solidus, or try an offcut"
    return Remark(code="solidus-unknown", joint=name, text=text, fix=fix)


def _silver_beside_gold(step: Step) -> Remark | None:
    if not step.joint.silver_beside_gold:
        return None
    name = step.joint.name
    text = f"{name}: gold alloys away into overheated silver (common practice, no source)"
    return Remark(code="silver-beside-gold", joint=name, text=text, fix=f"better {MECHANICAL}")


def _below_fineness(step: Step) -> Remark | None:
    name, counted, metal = step.joint.name, step.fineness_permille, step.counts_with
    symbol = SYMBOLS.get(metal)
    if counted is None or symbol is None or step.counted_as is None:
        return None
    fine = [a.recipe.fineness_permille(symbol) for a in _of_metal(step, metal)]
    if counted + SAME_FINENESS_PERMILLE >= min(fine):
        return None
    return Remark(
        code="below-fineness",
        joint=name,
        value=counted,
        limit=min(fine),
        unit="permille",
        text=f"{step.counted_as.name} holds {counted:g} permille {metal}, less than the parts it "
        "joins: it counts against the mark of the soldered whole",
        fix="keep the joint tight, weld it, or make the parts finer than their mark",
    )


def _of_metal(step: Step, metal: str) -> Sequence[Alloy]:
    return [alloy for alloy in step.joint.alloys if alloy.recipe.precious == metal]


def _shows(step: Step) -> Remark | None:
    families = {colour_family(alloy) for alloy in step.joint.alloys}
    if step.grade is None or step.grade.colour in families:
        return None
    name, colour = step.joint.name, " and ".join(sorted(families))
    text = f"{name}: the {step.grade.colour} solder shows beside {colour}"
    fix = "give the shop's own solder of this colour, or weld the joint"
    return Remark(code="seam-shows", joint=name, text=text, fix=fix)


def _gap(step: Step) -> Remark | None:
    low, high = USUAL_GAP_MM
    gap = step.joint.gap_mm
    # a gap as designed comes back from arithmetic a hair off
    if low - 1e-9 <= gap <= high + 1e-9:
        return None
    name = step.joint.name
    return Remark(
        code="solder-gap",
        joint=name,
        value=gap,
        limit=low if gap < low else high,
        unit="mm",
        text=f"{name}: solder fills gaps of {low:g} to {high:g} mm, here {gap:g} mm",
        fix="make the gap 0.05 mm",
    )
