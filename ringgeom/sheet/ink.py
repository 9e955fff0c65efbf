"""A drawing put on a PDF page at its true size."""

from __future__ import annotations

from typing import Any

from ringgeom.drawing.shapes import (
    AXIS_DASH_MM,
    COLOUR,
    INK,
    SOFT_INK,
    WIDTH_MM,
    Area,
    Drawing,
    Path,
    Word,
)
from ringgeom.fonts import BOLD, SANS, registered, shown

MM = 72 / 25.4
"""Points of a PDF in a millimetre."""


def draw(canvas: Any, drawing: Drawing, x: float, y: float) -> None:
    """Put a drawing's lower left corner at (x, y) [points]."""
    registered()
    canvas.saveState()
    canvas.translate(x, y)
    canvas.scale(MM, MM)
    for shape in drawing.shapes:
        if isinstance(shape, Area):
            _area(canvas, shape)
        elif isinstance(shape, Path):
            _path(canvas, shape)
        else:
            _word(canvas, shape)
    canvas.restoreState()


def _area(canvas: Any, area: Area) -> None:
    canvas.setFillColor(area.fill)
    canvas.setStrokeColor(COLOUR["cut"])
    canvas.setLineWidth(WIDTH_MM["cut"])
    canvas.setLineJoin(1)
    canvas.setDash()
    path = canvas.beginPath()
    for loop in area.loops:
        path.moveTo(*loop[0])
        for point in loop[1:]:
            path.lineTo(*point)
        path.close()
    canvas.drawPath(path, stroke=int(area.edged), fill=1, fillMode=0)


def _path(canvas: Any, line: Path) -> None:
    canvas.setStrokeColor(COLOUR[line.ink])
    canvas.setFillColor(COLOUR[line.ink])
    canvas.setLineWidth(WIDTH_MM[line.ink])
    if line.dashed:
        canvas.setDash(AXIS_DASH_MM)
    else:
        canvas.setDash()
    path = canvas.beginPath()
    path.moveTo(*line.points[0])
    for point in line.points[1:]:
        path.lineTo(*point)
    if line.closed:
        path.close()
    canvas.drawPath(path, stroke=int(not line.filled), fill=int(line.filled))


def _word(canvas: Any, word: Word) -> None:
    canvas.saveState()
    canvas.setFillColor(SOFT_INK if word.soft else INK)
    canvas.setFont(BOLD if word.bold else SANS, word.size_mm)
    canvas.translate(*word.at)
    if word.upwards:
        canvas.rotate(90)
    text = shown(word.text)
    how = {"start": "drawString", "middle": "drawCentredString", "end": "drawRightString"}
    getattr(canvas, how[word.anchor])(0, 0, text)
    canvas.restoreState()
