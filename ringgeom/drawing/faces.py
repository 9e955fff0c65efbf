"""The parts of a cut section as areas on paper; a drawing just as large as its shapes."""

from __future__ import annotations

from collections.abc import Sequence
from math import cos, pi, sin

from ringgeom.drawing.cut import Face
from ringgeom.drawing.hatch import hatching
from ringgeom.drawing.inks import Inks
from ringgeom.drawing.shapes import Area, Drawing, Path, Point, Shape, Word, bounds, moved
from ringgeom.fonts import width_mm
from ringgeom.jobs import Job

SCALES = (20, 16, 12, 10, 8, 6, 5, 4, 3, 2, 1)
"""How many times its size a section may be drawn."""


def part_numbers(job: Job) -> dict[str, int]:
    """Number of every part on the sheet; like segments of one place and alloy share theirs."""
    found: dict[str, int] = {}
    seen: dict[tuple[object, ...], int] = {}
    for part in job.parts:
        key: tuple[object, ...] = (part.name,)
        if part.pieces_round > 1:
            key = (part.place, part.alloy.name)
        found[part.name] = seen.setdefault(key, len(seen) + 1)
    return found


def extent(faces: Sequence[Face]) -> tuple[float, float, float, float]:
    """Least and greatest z, least and greatest radius of some faces [mm]."""
    points = [point for face in faces for loop in face.loops for point in loop]
    z, r = [z for z, _ in points], [r for _, r in points]
    return min(z), max(z), min(r), max(r)


def filled(faces: Sequence[Face], colours: Inks, k: float, *, hatched: bool = True) -> list[Shape]:
    """Parts flat in their colours, hatched by alloy, every outline a cut edge."""
    shapes: list[Shape] = []
    for face in faces:
        name = face.part.alloy.name
        loops = tuple(tuple((z * k, r * k) for z, r in loop) for loop in face.loops)
        shapes.append(Area(loops=loops, fill=colours.fills[name]))
        if hatched:
            shapes += hatching(loops, colours.numbers[name])
    return shapes


def circle(radius: float) -> Path:
    """A circle round the finger's axis, its radius in mm."""
    return Path(points=ring_points(radius), ink="cut", closed=True)


def ring_points(radius: float) -> tuple[Point, ...]:
    """Corners of a circle round the finger's axis, its radius in mm."""
    turn = [2 * pi * n / 180 for n in range(180)]
    return tuple((radius * cos(t), radius * sin(t)) for t in turn)


def framed(shapes: Sequence[Shape], margin: float = 1.0) -> Drawing:
    """A drawing just as large as its shapes, words included, and a margin [mm]."""
    x0, y0, x1, y1 = bounds(shapes)
    for shape in shapes:
        if isinstance(shape, Word):
            wide = width_mm(shape.text, shape.size_mm, bold=shape.bold)
            x, y = shape.at
            if shape.upwards:
                x0, y0, y1 = (
                    min(x0, x - shape.size_mm),
                    min(y0, y - wide / 2),
                    max(y1, y + wide / 2),
                )
                continue
            start = {"start": 0.0, "middle": wide / 2, "end": wide}[shape.anchor]
            x0, x1 = min(x0, x - start), max(x1, x - start + wide)
            y0, y1 = min(y0, y - 0.3 * shape.size_mm), max(y1, y + shape.size_mm)
    return Drawing(
        width_mm=x1 - x0 + 2 * margin,
        height_mm=y1 - y0 + 2 * margin,
        shapes=moved(shapes, margin - x0, margin - y0),
    )
