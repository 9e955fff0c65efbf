"""Many rings of one design: sizes, widths, thicknesses and alloys, each with its grams."""

from __future__ import annotations

from ringgeom.grid.alloyed import Poured
from ringgeom.grid.asked import GridAsked, grid_asked
from ringgeom.grid.block import Further
from ringgeom.grid.many import Grid
from ringgeom.grid.row import Mark, Row, RowCasting

__all__ = ["Further", "Grid", "GridAsked", "Mark", "Poured", "Row", "RowCasting", "grid_asked"]
