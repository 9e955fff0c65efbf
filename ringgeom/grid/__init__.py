"""Many rings of one design: sizes, widths, thicknesses and alloys, each with its grams."""

from __future__ import annotations

from ringgeom.grid.alloyed import Poured
from ringgeom.grid.asked import GridAsked, grid_asked
from ringgeom.grid.block import Further, Weighed
from ringgeom.grid.many import Grid
from ringgeom.grid.row import Mark, Row, RowCasting
from ringgeom.grid.section import LaidSection

__all__ = [
    "Further",
    "Grid",
    "GridAsked",
    "LaidSection",
    "Mark",
    "Poured",
    "Row",
    "RowCasting",
    "Weighed",
    "grid_asked",
]
