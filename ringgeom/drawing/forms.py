"""Every form of outside and bore on one sheet, each a section five times its size.

 _____________      .-''''''-.        four in a row, three rows; under each its name as a
|             |    |          |       design file writes it, and its measures
|_____________|    |__________|
 flat               domed
"""

from __future__ import annotations

import numpy as np

from ringgeom.drawing.shapes import Area, Drawing, Path, Point, Shape, Word
from ringgeom.form.curve import Cone, Flat
from ringgeom.form.frame import Chain
from ringgeom.form.profiles import (
    Bevelled,
    Concave,
    Domed,
    Eased,
    FlatFace,
    Free,
    HalfRound,
    Inside,
    KnifeEdge,
    Outside,
    Oval,
    RoundedSquare,
    Stepped,
    TwinDome,
)
from ringgeom.form.profiles import Point as OutlinePoint
from ringgeom.form.ring import ring
from ringgeom.form.ring_form import RingForm

WIDTH_MM, THICKNESS_MM, EDGE_MM = 6.0, 2.2, 0.12
"""The band that every form is shown on."""

SCALE = 5
ACROSS, APART_MM, ROW_MM = 4, 12.0, 34.0
ARC_POINTS = 49

FLAT, COMFORT = FlatFace(), Domed(form="domed", rise_mm=0.25)
METAL = "#f3dfb0"

SHOWN: tuple[tuple[Outside, Inside], ...] = (
    (FLAT, FLAT),
    (Domed(form="domed", rise_mm=0.4), COMFORT),
    (HalfRound(form="half-round", edge_height_mm=0.7), FLAT),
    (Oval(form="oval", rise_mm=1.0), COMFORT),
    (Bevelled(form="bevelled", bevel_mm=1.1, drop_mm=0.5), FLAT),
    (KnifeEdge(form="knife-edge", drop_mm=0.7, round_mm=0.2), COMFORT),
    (Concave(form="concave", dip_mm=0.45, rim_mm=0.6), COMFORT),
    (Stepped(form="stepped", ledge_mm=0.9, drop_mm=0.45), FLAT),
    (RoundedSquare(form="rounded-square", radius_mm=0.9), Eased(form="eased", radius_mm=0.5)),
    (TwinDome(form="twin-dome", rise_mm=0.5), FLAT),
    (
        Free(
            form="free",
            points=(
                OutlinePoint(z_mm=-3.0, rise_mm=0.0),
                OutlinePoint(z_mm=-1.4, rise_mm=0.6, bow_mm=0.15),
                OutlinePoint(z_mm=-1.4, rise_mm=0.85),
                OutlinePoint(z_mm=1.0, rise_mm=0.85),
                OutlinePoint(z_mm=3.0, rise_mm=0.2, bow_mm=-0.15),
            ),
        ),
        COMFORT,
    ),
    (FLAT, Eased(form="eased", radius_mm=0.6)),
)


def forms_sheet() -> Drawing:
    """The sheet: twelve sections with their names and measures, in mm of paper."""
    wide, rows = WIDTH_MM * SCALE, -(-len(SHOWN) // ACROSS)
    height = rows * ROW_MM + 8.0
    shapes: list[Shape] = []
    for number, (outside, inside) in enumerate(SHOWN):
        x = 6.0 + wide / 2 + (number % ACROSS) * (wide + APART_MM)
        y = height - 14.0 - (number // ACROSS) * ROW_MM - THICKNESS_MM * SCALE / 2
        shapes += _one(outside, inside, x, y)
    note = (
        f"{SCALE} : 1, a band {WIDTH_MM:g} wide and {THICKNESS_MM:g} thick, edge_mm = {EDGE_MM:g}"
    )
    shapes.append(Word(at=(6.0, 3.0), text=note, size_mm=2.4, soft=True))
    across = 12.0 + ACROSS * wide + (ACROSS - 1) * APART_MM
    return Drawing(width_mm=across, height_mm=height, shapes=tuple(shapes))


def _one(outside: Outside, inside: Inside, x: float, y: float) -> list[Shape]:
    """One section with its middle line, its name and its measures below."""
    form = RingForm(
        inside_diameter_mm=18.0,
        width_mm=WIDTH_MM,
        thickness_mm=THICKNESS_MM,
        outside=outside,
        inside=inside,
        edge_mm=EDGE_MM,
    )
    frame = ring(form, ()).finished
    bore = form.band.bore_mm

    def on_paper(chain: Chain) -> list[Point]:
        return [(x + z * SCALE, y + (r - bore) * SCALE) for z, r in _points(chain)]

    loop = (*on_paper(frame.bore), *reversed(on_paper(frame.outside)))
    top = y + THICKNESS_MM * SCALE
    shapes: list[Shape] = [
        Area(loops=(loop,), fill=METAL),
        Path(points=((x, y - 2.0), (x, top + 2.0)), ink="axis", dashed=True),
    ]
    left = x - WIDTH_MM * SCALE / 2
    shapes.append(Word(at=(left, y - 5.0), text=outside.form, size_mm=2.9, bold=True))
    lines = [", ".join(_measures(outside))]
    if inside.form != "flat":
        lines.append(", ".join([f"bore {inside.form}", *_measures(inside)]))
    for number, line in enumerate(line for line in lines if line):
        at = left, y - 8.4 - 3.0 * number
        shapes.append(Word(at=at, text=line, size_mm=2.1, soft=True))
    return shapes


def _measures(form: Outside | Inside) -> list[str]:
    if isinstance(form, Free):
        return [f"{len(form.points)} points"]
    keys = form.model_dump(exclude={"form"})
    return [f"{key} {value:g}" for key, value in keys.items() if value]


def _points(chain: Chain) -> list[Point]:
    """Points along a face from left to right, both ends of every riser."""
    found: list[Point] = []
    for curve, low, high in chain.pieces():
        count = 2 if isinstance(curve, Flat | Cone) else ARC_POINTS
        z = np.linspace(low, high, count)
        found += zip(z.tolist(), curve.r(z).tolist(), strict=True)
    return found
