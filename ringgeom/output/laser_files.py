"""Faces for the laser or the graver as SVG and DXF in mm, by layer; depth is set at the machine."""

from __future__ import annotations

from collections.abc import Iterator
from xml.sax.saxutils import escape

from ringgeom.asked import file_word
from ringgeom.drawing.laser import CROSS_MM, LAYERS, Layer, Unwound, unwound
from ringgeom.drawing.pierced import Pierced, pierced
from ringgeom.drawing.shapes import Point
from ringgeom.engraving.shape import Shape
from ringgeom.jobs import Job
from ringgeom.output.template_files import dxf_bytes

CHORD_MM = 0.001
"""How far a side of a closed polyline may lie from the letter's outline."""

INKS: dict[Layer, str] = {
    "fill": "#000000",
    "pocket": "#804000",
    "cut": "#c00000",
    "score": "#0000ff",
    "cast": "#808080",
    "boundary": "#00a000",
    "outline": "#ff0000",
    "register": "#ff00ff",
}
HAIR_MM = 0.05
MOST_BYTES = 20
"""Of a part's name in a file's; before it stands the job's."""

MARGIN_MM = 8.0
WORDS_MM = 1.4
LETTER_SHARE = 0.62
"""Width of a letter of the words, as a share of their size: more than any font's mean."""


def laser_files(job: Job) -> Iterator[tuple[str, bytes]]:
    """Name and content of every face's files and of every sheet of inserts; none without."""
    for one in unwound(job):
        side = "outside" if one.side == "outside" else "bore"
        stem = f"{side}{'-mirrored' if one.mirrored else ''}_d{one.diameter_mm:.2f}mm"
        yield f"{stem}.svg", laser_svg(one, job.design.job.name)
        yield f"{stem}.dxf", laser_dxf(one, job.design.job.name)
    for number, sheet in enumerate(pierced(job), start=1):
        word = file_word(sheet.part).encode()[:MOST_BYTES].decode(errors="ignore").rstrip("-.")
        stem = f"sheet-{number}_{word}_{sheet.thick_mm:.2f}mm"
        yield f"{stem}.svg", laser_svg(sheet, job.design.job.name)
        yield f"{stem}.dxf", laser_dxf(sheet, job.design.job.name)


def laser_svg(one: Unwound | Pierced, name: str) -> bytes:
    """A face as SVG: one group for each layer, curves as they are, lengths in mm."""
    wide, high = one.around_mm + 2 * MARGIN_MM, one.across_mm + 2 * MARGIN_MM
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide:.5f}mm" height="{high:.5f}mm" '
        f'viewBox="0 0 {wide:.5f} {high:.5f}">',
        f"<title>{escape(name)}: {escape(one.words)}</title>",
    ]
    top = high - MARGIN_MM

    def at(x: float, y: float) -> str:
        return f"{x + MARGIN_MM:.5f} {top - y:.5f}"

    for layer in LAYERS:
        ink = INKS[layer]
        filled = layer in ("fill", "pocket", "cast")
        look = (
            f'fill="{ink}" fill-rule="nonzero" stroke="none"'
            if filled
            else f'fill="none" stroke="{ink}" stroke-width="{HAIR_MM}"'
        )
        lines.append(f'<g id="{layer}" {look}>')
        lines += [f'<path d="{_path(shape, at)}"/>' for shape in one.shapes.get(layer, ())]
        for line in one.lines.get(layer, ()):
            d = " L".join(at(x, y) for x, y in line)
            lines.append(f'<path d="M{d}"/>')
        lines.append("</g>")
    lines.append(f'<g id="words" fill="{INKS["register"]}">')
    for (x, y), text, size in _words(one, name):
        px, py = at(x, y).split()
        said = escape(text)
        lines.append(f'<text x="{px}" y="{py}" font-size="{size:.3f}">{said}</text>')
    lines.append("</g>")
    return "\n".join([*lines, "</svg>", ""]).encode()


def _path(shape: Shape, at: object) -> str:
    assert callable(at)
    said = []
    for loop in shape.loops:
        said.append(f"M{at(*loop[0].start)}")
        for stroke in loop:
            letter = {1: "L", 2: "Q", 3: "C"}[stroke.degree]
            said.append(letter + " ".join(at(x, y) for x, y in stroke.points[1:].tolist()))
        said.append("Z")
    return "".join(said)


def laser_dxf(one: Unwound | Pierced, name: str) -> bytes:
    """A face as DXF in mm: closed polylines and lines on named layers, and a line of words."""
    closed: dict[str, list[list[Point]]] = {layer: [] for layer in LAYERS}
    for layer, shapes in one.shapes.items():
        for shape in shapes:
            closed[layer] += [
                [(float(x), float(y)) for x, y in loop] for loop in shape.polylines(CHORD_MM)
            ]
    opened = {str(layer): [list(line) for line in some] for layer, some in one.lines.items()}
    return dxf_bytes((*LAYERS, "words"), opened, closed, {"words": list(_words(one, name))})


def _words(one: Unwound | Pierced, name: str) -> Iterator[tuple[Point, str, float]]:
    for x, hour in one.hours:
        yield (x + 0.6, one.across_mm + CROSS_MM), hour, WORDS_MM
    said = f"{name}: {one.words}"
    size = min(WORDS_MM, one.around_mm / (LETTER_SHARE * len(said)))
    yield (0.0, -2 * CROSS_MM - 1.5 * WORDS_MM), said, size
