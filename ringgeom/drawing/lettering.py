"""A lettered face unrolled for paper: letters black, room for marks as boxes, the hours below."""

from __future__ import annotations

from ringgeom.drawing.laser import Unwound
from ringgeom.drawing.shapes import INK, SOFT_INK, Area, Drawing, Path, Shape, Word

CHORD_MM = 0.01
LARGEST = 2.5
"""No face is drawn larger than this, however small the ring."""

HEAD_MM, FOOT_MM, SIDE_MM = 5.0, 4.5, 2.0


def lettering_drawing(one: Unwound, wide_mm: float) -> Drawing:
    """A face as wide as the paper, or at `LARGEST` times its size."""
    scale = min(LARGEST, (wide_mm - 2 * SIDE_MM) / one.around_mm)

    def at(x: float, y: float) -> tuple[float, float]:
        return SIDE_MM + scale * x, FOOT_MM + scale * y

    shapes: list[Shape] = []
    for some, ink in (
        (one.shapes["pocket"], SOFT_INK),
        (one.shapes["fill"], INK),
        (one.shapes["cast"], SOFT_INK),
    ):
        for shape in some:
            loops = tuple(
                tuple(at(float(x), float(y)) for x, y in loop) for loop in shape.polylines(CHORD_MM)
            )
            shapes.append(Area(loops=loops, fill=ink, edged=False))
    for shape in one.shapes["score"]:
        for loop in shape.polylines(CHORD_MM):
            points = tuple(at(float(x), float(y)) for x, y in loop)
            shapes.append(Path(points=points, ink="dimension", closed=True))
    for line in one.lines["boundary"]:
        shapes.append(Path(points=tuple(at(x, y) for x, y in line), ink="hair"))
    for line in one.lines["outline"]:
        shapes.append(Path(points=tuple(at(x, y) for x, y in line), ink="dimension"))
    for x, hour in one.hours:
        foot, _ = at(x, 0.0)
        shapes.append(Path(points=((foot, FOOT_MM - 0.3), (foot, FOOT_MM - 1.3)), ink="hair"))
        shapes.append(
            Word(at=(foot, FOOT_MM - 3.7), text=hour, size_mm=2.2, anchor="middle", soft=True)
        )
    top = FOOT_MM + scale * one.across_mm
    said = f"{one.words}; drawn {scale:.2f} : 1"
    shapes.append(Word(at=(SIDE_MM, top + 1.6), text=said, size_mm=2.3, soft=True))
    return Drawing(
        width_mm=2 * SIDE_MM + scale * one.around_mm,
        height_mm=top + HEAD_MM,
        shapes=tuple(shapes),
    )
