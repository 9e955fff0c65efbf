"""The cut section drawn to scale: outside up, finger down; measured, hatched, numbered.

    1 1.80   2 2.40   1 1.80          widths along the outside, by number of the part
  |--------|--------|--------|
  ._________________________.  ------  ⌀ 21.12 outside
 /   1    |    2    |   1    \\ ------  ⌀ 19.62 bore of reed
|_________'---------'_________|
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from itertools import pairwise
from typing import Any

from ringgeom.drawing.cut import Face, cut_faces
from ringgeom.drawing.faces import SCALES, extent, filled, framed, part_numbers, ring_points
from ringgeom.drawing.inks import inks
from ringgeom.drawing.measures import FIGURE_MM, across, spread, upright
from ringgeom.drawing.shapes import Area, Drawing, Path, Point, Shape, Word
from ringgeom.fonts import width_mm
from ringgeom.jobs import Job
from ringgeom.making.turning import Cut

LEADER_MM = 5.0
LABEL_APART_MM = 3.6
MOST_RUNS = 7
"""More widths along the outside than this are not all written."""

SLIT_MM = 0.5
"""A run along the outside that is narrower and lies deeper than this is the foot of a gap."""


def enlarged_section(job: Job, *, across_mm: float = 92.0, high_mm: float = 46.0) -> Drawing:
    """The cut section as large as it goes, with its measures.

    Parameters
    ----------
    across_mm, high_mm : float
        Room for the section itself, without its measures [mm].
    """
    faces = cut_faces(job)
    k = section_scale(job, across_mm, high_mm)
    z0, z1, r0, r1 = extent(faces)
    shapes: list[Shape] = filled(faces, inks(job), k)
    shapes += _numbers(job, faces, k)
    shapes += _widths(job, faces, k, r1 * k)
    shapes += _diameters(job, k, z1 * k)
    middle = job.form.inside_diameter_mm / 2
    top = middle + job.form.thickness_mm
    x = z0 * k - 7.0
    for r in (middle, top):
        shapes.append(Path(points=((x - 1, r * k), (0.0, r * k)), ink="hair"))
    shapes += upright(x, middle * k, top * k, f"{job.form.thickness_mm:.2f}")
    shapes.append(Path(points=((0.0, r0 * k - 4), (0.0, r1 * k + 3)), ink="axis", dashed=True))
    shapes.append(
        Word(at=(z0 * k, r0 * k - 4.5), text=f"{k} : 1, finger below", size_mm=2.4, soft=True)
    )
    return framed(shapes)


def section_scale(job: Job, across_mm: float, high_mm: float) -> int:
    """The largest scale at which a section has room."""
    z0, z1, r0, r1 = extent(cut_faces(job))
    fits = (k for k in SCALES if k * (z1 - z0) <= across_mm and k * (r1 - r0) <= high_mm)
    return next(fits, 1)


def _numbers(job: Job, faces: Sequence[Face], k: float) -> list[Shape]:
    """Each part's number on a plain patch in its middle, where there is room for it."""
    from shapely import Polygon

    numbers = part_numbers(job)
    shapes: list[Shape] = []
    for face in faces:
        outer = [(z * k, r * k) for z, r in max(face.loops, key=len)]
        area = Polygon(outer)
        spot = area.representative_point() if not area.is_valid else _roomiest(area)
        if area.boundary.distance(spot) < 2.0:
            continue
        patch = tuple((spot.x + x, spot.y + y) for x, y in ring_points(1.9))
        shapes.append(Area(loops=(patch,), fill="#fbf9f4", edged=False))
        text = str(numbers[face.part.name])
        at = spot.x, spot.y - 0.95
        shapes.append(Word(at=at, text=text, size_mm=2.8, anchor="middle", bold=True))
    return shapes


def _roomiest(area: Any) -> Any:
    from shapely import maximum_inscribed_circle

    line = maximum_inscribed_circle(area, tolerance=0.2)
    return line.interpolate(0.0)


def _widths(job: Job, faces: Sequence[Face], k: float, top: float) -> list[Shape]:
    """Widths along the outside, part by part, and over all above them."""
    numbers = part_numbers(job)
    runs = _outside_runs(faces)
    if len(runs) > MOST_RUNS:
        # what comes again and again between the others is what they leave
        common = Counter(name for name, _, _ in runs).most_common(1)[0][0]
        runs = [run for run in runs if run[0] != common]
    half = job.form.width_mm / 2
    low, high = top + 5.0, top + 11.0
    texts = [f"{numbers[name]}  {z1 - z0:.2f}" for name, z0, z1 in runs]
    shapes: list[Shape] = []
    if len(runs) > 1:
        widest = max(width_mm(text, FIGURE_MM) for text in texts) + 1.6
        middles = [(z0 + z1) / 2 * k for _, z0, z1 in runs]
        for (_, z0, z1), text, place, middle in zip(
            runs, texts, spread(middles, widest), middles, strict=True
        ):
            line = across(z0 * k, z1 * k, low, text)
            word = line.pop()
            assert isinstance(word, Word)
            shapes += line
            shapes += [
                Path(points=((z * k, top + 0.5), (z * k, low + 1)), ink="hair") for z in (z0, z1)
            ]
            y = low + 0.7
            if abs(place - middle) > 0.3:
                y = low + 2.2
                shapes.append(Path(points=((middle, low), (place, y - 0.3)), ink="hair"))
            at = place, y
            shapes.append(Word(at=at, text=text, size_mm=FIGURE_MM, anchor="middle"))
    shapes += across(-half * k, half * k, high, f"{job.form.width_mm:.2f}")
    shapes += [
        Path(points=((z * k, top + 0.5), (z * k, high + 1)), ink="hair") for z in (-half, half)
    ]
    return shapes


def _outside_runs(faces: Sequence[Face]) -> list[tuple[str, float, float]]:
    """What the outside is made of from left to right: part, from and to [mm]."""
    from shapely import LineString, Polygon

    _, _, _, r1 = extent(faces)
    areas = [(face.part.name, Polygon(max(face.loops, key=len))) for face in faces]
    tops: list[float] = []
    cuts = sorted({round(z, 6) for face in faces for loop in face.loops for z, _ in loop})
    found: list[tuple[str, float, float]] = []
    for left, right in pairwise(cuts):
        if right - left < 1e-4:
            continue
        middle = (left + right) / 2
        probe = LineString([(middle, 0.0), (middle, r1 + 1)])
        seen = [
            (area.intersection(probe).bounds[3], name)
            for name, area in areas
            if area.intersects(probe)
        ]
        if not seen:
            continue
        top, name = max(seen)
        if found and found[-1][0] == name and abs(found[-1][2] - left) < 1e-3:
            found[-1], tops[-1] = (name, found[-1][1], right), max(tops[-1], top)
        else:
            found.append((name, left, right))
            tops.append(top)
    return [
        run
        for number, run in enumerate(found)
        if run[2] - run[1] > SLIT_MM or tops[number] > max(tops) - SLIT_MM
    ]


def _diameters(job: Job, k: float, right: float) -> list[Shape]:
    """Every diameter of the turning table, led out to the right."""
    bench = job.bench()
    if bench is None:
        return []
    rows = _told_once(bench.turning)
    wanted = [cut.finished_mm / 2 * k for cut in rows]
    shapes: list[Shape] = []
    edge = right + 2.0
    for cut, y, place in zip(rows, wanted, spread(wanted, LABEL_APART_MM), strict=True):
        start = min(cut.at_mm[1] * k, right)
        line: tuple[Point, ...] = ((start, y), (edge, y), (edge + LEADER_MM, place))
        shapes.append(Path(points=line, ink="hair"))
        text = f"⌀ {cut.finished_mm:.2f}  {cut.face}"
        at = edge + LEADER_MM + 0.8, place - 0.9
        shapes.append(Word(at=at, text=text, size_mm=FIGURE_MM))
    return shapes


def _told_once(cuts: Sequence[Cut]) -> list[Cut]:
    """One row for each diameter; what shares it is told with the first."""
    found: list[Cut] = []
    for cut in cuts:
        if not found or abs(found[-1].finished_mm - cut.finished_mm) > 1e-9:
            found.append(cut)
    return found
