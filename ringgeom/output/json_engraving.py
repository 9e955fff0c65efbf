"""What is engraved as JSON: where it is, how it is set, what it takes from each part."""

from __future__ import annotations

from math import degrees, tau
from typing import TYPE_CHECKING, Any

from ringgeom.engraving.asked import Lettering, MarkBox, Motif
from ringgeom.form.clock import clock_words
from ringgeom.sketch import Sketch

if TYPE_CHECKING:
    from ringgeom.engraving.engraved import Engraved


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
    }
    if isinstance(asked, MarkBox):
        sizes = {"height_mm": asked.height_mm, "length_mm": asked.width_mm}
        return place | {"which": asked.which} | sizes
    names = {part.piece: part.name for part in sketch.parts}
    cut = {
        "floor": asked.floor,
        "made": "cast" if asked.cast_in else "engraved",
        "taken": [
            {"part": names[piece], "engraved_mm3": volume}
            for piece, volume in one.removed
            if piece in names
        ],
    }
    if isinstance(asked, Lettering):
        assert one.row is not None
        return place | {
            "height_mm": asked.height_mm,
            "text": asked.text,
            "font": asked.font,
            "line_mm": asked.cut_mm if asked.single_lines else None,
            "length_mm": one.row.length_mm,
            "depth_mm": asked.depth_mm,
            "raised": asked.raised,
            "over_letters_mm": 2 * one.top_mm or None,
            "repeat": asked.repeat,
            "mirrored": asked.mirrored,
            "shapes_united": one.row.flattened,
            **cut,
        }
    assert one.figures is not None
    named = (
        {
            "file": asked.file,
            "mirrored": asked.mirrored,
            "follows": asked.follows,
            "line_mm": asked.line_mm,
        }
        if isinstance(asked, Motif)
        else {"pattern": asked.pattern}
    )
    return place | {
        **named,
        "count": one.figures.count,
        "length_mm": one.figures.length_mm,
        "height_mm": one.figures.height_mm,
        "area_mm2": one.figures.area_mm2,
        "depth_mm": one.deepest_mm,
        "exact_outlines": one.figures.exact,
        "notes": list(one.figures.notes),
        **cut,
    }
