"""How a ring goes together as JSON: joints, routes, and another size."""

from __future__ import annotations

from typing import Any

from ringgeom.making.joint import Joint
from ringgeom.making.marking import SolderRoom
from ringgeom.making.routes import Route
from ringgeom.making.whole_band import WholeBand
from ringgeom.resizing import Resize


def joint_json(joint: Joint) -> dict[str, Any]:
    """A joint with its gap, its range, its use and its filler."""
    return {
        "between": list(joint.between),
        "kind": joint.kind,
        "side": joint.side,
        "area_mm2": joint.area_mm2,
        "radius_mm": joint.radius_mm,
        "gap_mm": joint.gap_mm,
        "gap_low_mm": joint.gap_low_mm,
        "gap_high_mm": joint.gap_high_mm,
        "use": joint.use,
        "filler_mm3": joint.filler_mm3,
        "one_scale_gap_mm": joint.one_scale_gap_mm,
    }


def route_json(route: Route) -> dict[str, Any]:
    """A route with the number that decides it, its sizes and its steps."""
    return {
        "route": route.name,
        "part": route.part,
        "works": route.works,
        "value": route.value,
        "limit": route.limit,
        "unit": route.unit,
        "words": route.words,
        "sizes": [
            {"name": size.name, "value": size.value, "unit": size.unit} for size in route.sizes
        ],
        "steps": list(route.steps),
    }


def band_json(band: WholeBand) -> dict[str, Any]:
    """The whole band: thickness, how far its inlays and liners may go, its rails."""
    return {
        "centre_mm": band.centre_mm,
        "edge_mm": band.edge_mm,
        "bent_percent": band.bent_percent,
        "rooms": [
            {
                "part": room.part,
                "what": room.what,
                "now_mm": room.now_mm,
                "left_mm": room.left_mm,
                "limit_mm": room.limit_mm,
                "most_mm": room.most_mm,
            }
            for room in band.rooms
        ],
        "rails": [
            {
                "part": rail.part,
                "width_mm": rail.width_mm,
                "limit_mm": rail.limit_mm,
                "where": rail.where,
            }
            for rail in band.rails
        ],
        "advice": list(band.advice),
    }


def resize_json(found: Resize) -> dict[str, Any]:
    """A change of size: every way, every part, and the ring made anew."""
    return {
        "from": found.before.finger.asked,
        "to": found.after.finger.asked,
        "change_mm": found.change_mm,
        "verdict": found.verdict.kind,
        "ways": [
            {
                "way": way.kind,
                "works": way.works,
                "value": way.value,
                "limit": way.limit,
                "unit": way.unit,
                "words": way.words,
            }
            for way in found.ways
        ],
        "parts": [
            {
                "name": one.part.name,
                "alloy": one.part.alloy.name,
                "length_mm": one.length_mm,
                "grams": one.grams,
            }
            for one in found.parts
        ],
        "made_anew": [
            {"name": part.name, "finished_g": part.finished_g, "volume_mm3": part.volume_mm3}
            for part in found.after.parts
        ],
        "findings": [
            {"code": finding.code, "level": finding.level, "text": finding.text}
            for finding in found.after.findings
        ],
    }


def solder_room_json(room: SolderRoom) -> dict[str, Any]:
    """How much of a solder a mark can carry; null where any amount may be in it."""
    return {
        "region": room.region,
        "mark": room.mark,
        "solder_permille": room.solder_permille,
        "room_g": None if room.grams == float("inf") else room.grams,
    }
