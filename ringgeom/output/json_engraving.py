"""What is engraved as JSON: where it is, how it is set, what it takes from each part."""

from __future__ import annotations

from math import degrees, tau
from typing import Any

from ringgeom.engraving.asked import Lettering, MarkBox
from ringgeom.engraving.clock import clock_words
from ringgeom.engraving.engraved import Engraved
from ringgeom.sketch import Sketch


def engravings_json(sketch: Sketch) -> list[dict[str, Any]]:
    """Every engraving in the order of the design."""
    return [_engraving(sketch, one) for one in sketch.engraved]


def _engraving(sketch: Sketch, one: Engraved) -> dict[str, Any]:
    asked = one.asked
    place = {
        "kind": asked.kind,
        "on": asked.on,
        "at_deg": degrees(asked.angle) % 360,
        "at_clock": clock_words(asked.angle % tau),
        "centre_mm": asked.centre_mm,
        "height_mm": asked.height_mm,
    }
    if isinstance(asked, MarkBox):
        return place | {"which": asked.which, "length_mm": asked.width_mm}
    assert isinstance(asked, Lettering)
    assert one.row is not None
    names = {part.piece: part.name for part in sketch.parts}
    return place | {
        "text": asked.text,
        "font": asked.font,
        "length_mm": one.row.length_mm,
        "depth_mm": asked.depth_mm,
        "raised": asked.raised,
        "over_letters_mm": 2 * one.top_mm or None,
        "floor": asked.floor,
        "repeat": asked.repeat,
        "mirrored": asked.mirrored,
        "made": "cast" if asked.cast_in else "engraved",
        "shapes_united": one.row.flattened,
        "taken": [
            {"part": names[piece], "engraved_mm3": volume}
            for piece, volume in one.removed
            if piece in names
        ],
    }
