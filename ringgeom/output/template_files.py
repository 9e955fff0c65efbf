"""Templates as files: SVG and DXF in mm on named layers, PDF at true scale with a check bar."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from io import StringIO
from typing import TYPE_CHECKING
from xml.sax.saxutils import escape

from ringgeom.drawing.shapes import COLOUR, WIDTH_MM, Point
from ringgeom.drawing.template import INKS, LAYERS, Template, template_drawing, templates
from ringgeom.jobs import Job

if TYPE_CHECKING:
    from ringgeom.sheet.paper import Paper

DXF_MM = 4
"""$INSUNITS of a DXF in millimetres."""


def template_files(job: Job, paper: Paper) -> Iterator[tuple[str, bytes]]:
    """Name and content of every template of a job."""
    found = templates(job)
    for one in found:
        stem = f"template_{one.side}_mm"
        yield f"{stem}.svg", template_svg(one, job.design.job.name)
        yield f"{stem}.dxf", template_dxf(one)
    yield "template_true-scale.pdf", template_pdf(found, job.design.job.name, paper)


def template_svg(one: Template, name: str) -> bytes:
    """A template as SVG: one group for each layer, lengths in mm."""
    wide, high = one.around_mm, one.across_mm
    longest = max(x for paths in one.layers.values() for path in paths for x, _ in path)
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{longest:.4f}mm" height="{high:.4f}mm" '
        f'viewBox="0 0 {longest:.4f} {high:.4f}">',
        f"<title>{escape(name)}, {one.side}, {wide:.4f} mm around</title>",
    ]
    for layer in LAYERS:
        ink = INKS[layer]
        style = f'fill="none" stroke="{COLOUR[ink]}" stroke-width="{WIDTH_MM[ink]}"'
        lines.append(f'<g id="{layer}" {style}>')
        for path in one.layers[layer]:
            points = " ".join(f"{x:.4f},{high - y:.4f}" for x, y in path)
            lines.append(f'<polyline points="{points}"/>')
        lines.append("</g>")
    return "\n".join([*lines, "</svg>", ""]).encode()


def template_dxf(one: Template) -> bytes:
    """A template as DXF in mm: polylines on named layers, nothing else."""
    return dxf_bytes(LAYERS, {layer: list(paths) for layer, paths in one.layers.items()})


def dxf_bytes(
    layers: Sequence[str],
    opened: Mapping[str, Sequence[Sequence[Point]]],
    closed: Mapping[str, Sequence[Sequence[Point]]] | None = None,
    words: Mapping[str, Sequence[tuple[Point, str, float]]] | None = None,
) -> bytes:
    """A DXF in mm on named layers; the same content gives the same bytes.

    Parameters
    ----------
    opened, closed : mapping
        Polylines of each layer [mm].
    words : mapping, optional
        Texts of each layer: where, what, how high [mm].
    """
    import ezdxf

    before = ezdxf.options.write_fixed_meta_data_for_testing
    # the same bytes whenever it is written: no clock, no chance
    ezdxf.options.write_fixed_meta_data_for_testing = True
    try:
        document = ezdxf.new("R2010", units=DXF_MM)
        space = document.modelspace()
        for layer in layers:
            document.layers.add(layer)
            on = {"layer": layer}
            for path in opened.get(layer, ()):
                space.add_lwpolyline(path, dxfattribs=on)
            for path in (closed or {}).get(layer, ()):
                space.add_lwpolyline(path, close=True, dxfattribs=on)
            for at, text, size_mm in (words or {}).get(layer, ()):
                written = space.add_text(text, height=size_mm, dxfattribs=on)
                written.set_placement(at)
        for kind in sorted(document.entitydb.dxf_types_in_use()):
            document.classes.add_class(kind)
        stream = StringIO()
        document.write(stream)
    finally:
        ezdxf.options.write_fixed_meta_data_for_testing = before
    return stream.getvalue().encode()


def template_pdf(found: tuple[Template, ...], name: str, paper: Paper) -> bytes:
    """All templates on paper at true scale; a long one goes along the longer side."""
    from ringgeom.sheet.paper import Sketch, document, gap, turned

    drawings = [template_drawing(one, name) for one in found]
    if max(one.width_mm for one in drawings) > paper.inner_mm:
        paper = turned(paper)
    flow = [thing for one in drawings for thing in (Sketch(one), gap(6))]
    return document(flow, paper, title=f"{name}, templates", foot=f"{name}, templates")
