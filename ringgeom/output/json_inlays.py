"""Motif inlays as JSON: their pockets, their pieces by pattern, what they take from what."""

from __future__ import annotations

from math import degrees, tau
from typing import TYPE_CHECKING, Any

from ringgeom.form.clock import clock_words
from ringgeom.sketch import Sketch
from ringgeom.units import mass_g

if TYPE_CHECKING:
    from ringgeom.engraving.inset import Inset
    from ringgeom.metal import Alloy


def inlays_json(sketch: Sketch) -> list[dict[str, Any]]:
    """Every motif inlay in the order of the design."""
    return [_inlay(sketch, one) for one in sketch.insets]


def _inlay(sketch: Sketch, one: Inset) -> dict[str, Any]:
    asked, cut = one.asked, one.cut
    names = {part.piece: part.name for part in sketch.parts}
    part = next(part for part in sketch.parts if part.piece == one.piece)
    return {
        "part": part.name,
        "file": asked.file,
        "at_deg": degrees(asked.angle) % 360,
        "at_clock": clock_words(asked.angle % tau),
        "centre_mm": asked.centre_mm,
        "copies": len(cut.pockets),
        "pieces": one.count,
        "mirrored": asked.mirrored,
        "follows": asked.follows,
        "length_mm": cut.length_mm,
        "height_mm": cut.height_mm,
        "depth_mm": asked.depth_mm,
        "floor": asked.floor,
        "gap_side_mm": asked.gap.side,
        "gap_floor_mm": asked.gap.floor,
        "cutter_mm": asked.cutter_mm,
        "corners": asked.corners,
        "unreached_mm2": cut.single.unreached_mm2,
        "made": "cast" if asked.cast_in else "engraved",
        "between_mm": cut.apart_mm,
        "pockets_mm3": one.pocket_mm3,
        "inserts_mm3": one.insert_mm3,
        "taken": [
            {"part": names[piece], "pockets_mm3": volume}
            for piece, volume in one.taken
            if piece in names
        ],
        "patterns": [
            {
                "count": alike.count,
                "each_mm3": alike.volume_mm3,
                "each_g": _grams(alike.volume_mm3, part.alloy),
                "each_cast_mm3": alike.cast_mm3,
            }
            for alike in one.alike
        ],
    }


def _grams(volume_mm3: float, alloy: Alloy) -> float:
    found: float = mass_g(volume_mm3, alloy.density_g_cm3)
    return found
