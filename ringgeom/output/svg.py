"""A drawing as SVG, in mm: the shapes as they are, its fonts named and not carried along."""

from __future__ import annotations

from xml.sax.saxutils import escape

from ringgeom.drawing.shapes import (
    AXIS_DASH_MM,
    COLOUR,
    INK,
    SOFT_INK,
    WIDTH_MM,
    Area,
    Drawing,
    Point,
    Shape,
    Word,
)

FAMILY = "Bench Sans, Source Sans 3, sans-serif"


def drawing_svg(drawing: Drawing, *, title: str = "") -> bytes:
    """A drawing at its own size, y downwards as SVG has it."""
    height = drawing.height_mm
    size = f"{drawing.width_mm:.3f} {height:.3f}"
    wide, high = f"{drawing.width_mm:.3f}mm", f"{height:.3f}mm"
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide}" height="{high}" '
        f'viewBox="0 0 {size}">'
    ]
    if title:
        lines.append(f"<title>{escape(title)}</title>")
    lines += [_shape(shape, height) for shape in drawing.shapes]
    return "\n".join([*lines, "</svg>", ""]).encode()


def _shape(shape: Shape, height: float) -> str:
    if isinstance(shape, Word):
        return _word(shape, height)
    if isinstance(shape, Area):
        d = " ".join(_points(loop, height, closed=True) for loop in shape.loops)
        edge = f' stroke="{COLOUR["cut"]}" stroke-width="{WIDTH_MM["cut"]}"' if shape.edged else ""
        return f'<path d="{d}" fill="{shape.fill}" fill-rule="evenodd"{edge}/>'
    d = _points(shape.points, height, closed=shape.closed)
    if shape.filled:
        return f'<path d="{d}" fill="{COLOUR[shape.ink]}"/>'
    dash = ""
    if shape.dashed:
        dash = f' stroke-dasharray="{" ".join(f"{mm:g}" for mm in AXIS_DASH_MM)}"'
    ink, wide = COLOUR[shape.ink], WIDTH_MM[shape.ink]
    return f'<path d="{d}" fill="none" stroke="{ink}" stroke-width="{wide}"{dash}/>'


def _word(word: Word, height: float) -> str:
    x, y = word.at
    turn = f' transform="rotate(-90 {x:.3f} {height - y:.3f})"' if word.upwards else ""
    weight = ' font-weight="600"' if word.bold else ""
    return (
        f'<text x="{x:.3f}" y="{height - y:.3f}" font-family="{FAMILY}" '
        f'font-size="{word.size_mm:g}" text-anchor="{word.anchor}" '
        f'fill="{SOFT_INK if word.soft else INK}"{weight}{turn}>{escape(word.text)}</text>'
    )


def _points(points: tuple[Point, ...], height: float, *, closed: bool) -> str:
    said = " ".join(f"{x:.3f} {height - y:.3f}" for x, y in points)
    return f"M{said}" + ("Z" if closed else "")
