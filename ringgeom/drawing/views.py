"""Smaller views of a ring: its parts one over the other, its section and its front at true size."""

from __future__ import annotations

from ringgeom.drawing.cut import cut_faces
from ringgeom.drawing.faces import SCALES, circle, extent, filled, framed, part_numbers
from ringgeom.drawing.inks import inks
from ringgeom.drawing.measures import FIGURE_MM
from ringgeom.drawing.shapes import Drawing, Path, Shape, Word, bounds, moved
from ringgeom.jobs import Job


def true_section(job: Job) -> Drawing:
    """The cut section at its own size, nothing written on it."""
    faces = cut_faces(job)
    return framed(filled(faces, inks(job), 1, hatched=False), margin=0.5)


def front_view(job: Job) -> Drawing:
    """The ring seen along the finger at its own size: bore and outside, with its axes."""
    bore, outside = job.form.inside_diameter_mm / 2, job.outside_diameter_mm / 2
    over = outside + 1.5
    shapes: list[Shape] = [
        circle(outside),
        circle(bore),
        Path(points=((-over, 0.0), (over, 0.0)), ink="axis", dashed=True),
        Path(points=((0.0, -over), (0.0, over)), ink="axis", dashed=True),
    ]
    return framed(shapes, margin=0.5)


def exploded_section(job: Job, *, across_mm: float = 60.0) -> Drawing:
    """Every part of the cut section by itself, one over the other from the finger outwards."""
    faces = sorted(cut_faces(job), key=lambda face: face.low_mm)
    numbers, colours = part_numbers(job), inks(job)
    z0, z1, _, _ = extent(faces)
    k = next((k for k in SCALES if k * (z1 - z0) <= across_mm), 1)
    shapes: list[Shape] = []
    top = 0.0
    for face in faces:
        mine = filled([face], colours, k)
        _, low, right, high = bounds(mine)
        mine = list(moved(mine, 0.0, top - low))
        middle = top + (high - low) / 2
        top += high - low + 3.0
        shapes += mine
        label = f"{numbers[face.part.name]}  {face.part.name}, {face.part.finished_g:.2f} g"
        edge = (z1 + 0.2) * k
        shapes.append(Path(points=((right, middle), (edge, middle)), ink="hair"))
        shapes.append(Word(at=(edge + 1, middle - 0.9), text=label, size_mm=FIGURE_MM))
    return framed(shapes)
