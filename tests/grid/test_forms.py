"""Rows of rings of every form are the rings made by themselves, fixed or sharing the band."""

from __future__ import annotations

from typing import Any

import pytest
from form.outlines import FORMS
from grid.test_rows_are_single_rings import compared, grid

from ringgeom.design import Design

PARTS: dict[str, list[dict[str, Any]]] = {
    "an undercut inlay": [
        {
            "name": "reed",
            "place": "channel",
            "alloy": "gold-750-green",
            "width_mm": 1.2,
            "depth_mm": 0.5,
            "undercut_mm": 0.08,
            "gap_mm": 0.04,
        }
    ],
    "bricks": [
        {
            "name": "brick",
            "place": "segments",
            "alloys": ["silver-925", "gold-750-red-5n"],
            "count": 8,
            "slant_deg": 15.0,
            "gap_mm": 0.05,
        }
    ],
}


def design(outside: str, parts: str) -> Design:
    return Design.model_validate(
        {
            "job": {"name": "Wren"},
            "ring": {
                "size": "US 7",
                "width_mm": 6.0,
                "thickness_mm": 2.2,
                "outside": FORMS[outside],
                "inside": {"form": "eased", "radius_mm": 0.35},
                "edge_mm": 0.12,
            },
            "body": {"alloy": "gold-750-yellow-3n"},
            "part": PARTS[parts],
        }
    )


@pytest.mark.parametrize("places", ["fixed", "share"])
@pytest.mark.parametrize("outside", FORMS)
def test_every_row(outside: str, places: str) -> None:
    parts = "bricks" if outside in ("concave", "stepped", "flat") else "an undercut inlay"
    many = grid(
        design(outside, parts),
        sizes="US 5, US 9.5",
        widths="6, 7.5",
        thicknesses="2.2, 2.6",
        places=places,
    )
    for row in many.rows():
        compared(many, row)
