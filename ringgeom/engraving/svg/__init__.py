"""A drawing file (SVG) as shapes in mm: what it may hold, and what is refused in words."""

from ringgeom.engraving.svg.read import Drawn, drawn, read_drawing

__all__ = ["Drawn", "drawn", "read_drawing"]
