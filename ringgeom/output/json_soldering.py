"""The solder plan as JSON."""

from __future__ import annotations

from typing import Any

from ringgeom.making.solder_plan import filler_by_metal
from ringgeom.making.soldering import Soldering


def soldering_json(found: Soldering | None) -> dict[str, Any] | None:
    """The solder plan in order: grade, window, grams; what opens at heat; null without joints."""
    if found is None:
        return None
    return {
        "possible": found.plan.possible,
        "margin_c": found.plan.margin_c,
        "steps": [
            {
                "heat": step.heat,
                "joint": step.joint.name,
                "between": list(step.joint.between),
                "done_with": step.joint.done_with,
                "state": step.state,
                "solder": None if step.grade is None else step.grade.name,
                "liquidus_c": None if step.grade is None else step.grade.liquidus_c,
                "window_c": step.window_c,
                "filler_mm3": step.filler_mm3,
                "filler_g": step.filler_g,
                "text": step.text,
            }
            for step in found.plan.steps
        ],
        "fillers": [
            {"metal": one.metal, "grams": one.grams, "fineness_permille": one.fineness_permille}
            for one in filler_by_metal(found.plan)
        ],
        "seams": [{"name": seam.name, "angle_deg": seam.angle_deg} for seam in found.plan.seams],
        "remarks": [
            {"code": one.code, "joint": one.joint, "text": one.text, "fix": one.fix}
            for one in found.plan.remarks
        ],
        "openings": [{"between": list(one.between), "words": one.words} for one in found.openings],
    }
