"""Templates at true scale: a side of the ring unrolled, as lines that a saw or a laser follows.

+--------------------------------------+.....
|    ~~~~~~~~~~ wall ~~~~~~~~~~        | tab :
|        / joint          / joint      |     :
+--------------------------------------+.....
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from ringgeom.drawing.outside import pockets_once_round
from ringgeom.drawing.shapes import Drawing, Ink, Path, Point, Shape, Word
from ringgeom.jobs import Job
from ringgeom.making.unrolled import Line, Unrolled

Layer = Literal["outline", "wall", "joint", "seam", "pocket", "mark", "tab"]
LAYERS: tuple[Layer, ...] = ("outline", "wall", "joint", "seam", "pocket", "mark", "tab")

TAB_MM = 5.0
"""Over this the ends of a paper lap."""

MARK_MM = (6.0, 1.5)
"""Room for a row of punched marks: common practice, no source."""

INKS: dict[Layer, Ink] = {
    "outline": "cut",
    "wall": "dimension",
    "joint": "dimension",
    "seam": "dimension",
    "pocket": "dimension",
    "mark": "hair",
    "tab": "hair",
}
CLOCK = ((0.0, "12"), (0.25, "3"), (0.5, "6"), (0.75, "9"))
MARGIN_MM = 1.0
HEAD_MM = 9.0
FOOT_MM = 5.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Template:
    """One side unrolled: layers of lines, x along the turn from angle 0, y from the lower edge.

    `around_mm` by `across_mm` is the ring's own side; the tab lies beyond its end.
    """

    side: str
    diameter_mm: float
    around_mm: float
    across_mm: float
    layers: dict[Layer, tuple[tuple[Point, ...], ...]]


def templates(job: Job) -> tuple[Template, ...]:
    """Templates of the outside and of the bore; none where there is no ring."""
    bench = job.bench()
    if bench is None:
        return ()
    return tuple(_template(one, tuple(pockets_once_round(job))) for one in bench.templates)


def _template(one: Unrolled, pockets: Sequence[tuple[Point, ...]]) -> Template:
    wide, high = one.around_mm, 2 * one.half_mm
    layers: dict[Layer, list[tuple[Point, ...]]] = {layer: [] for layer in LAYERS}
    low = [(x, one.half_mm - half) for x, half in one.edge]
    top = [(x, one.half_mm + half) for x, half in reversed(one.edge)]
    layers["outline"].append((*low, *top, low[0]))
    layers["tab"].append(((wide, 0), (wide + TAB_MM, 0), (wide + TAB_MM, high), (wide, high)))
    for line in one.lines:
        layers[line.kind] += [
            tuple((x, y + one.half_mm) for x, y in piece) for piece in _wrapped(line, wide)
        ]
    if one.side == "outside":
        layers["pocket"] += [
            tuple((x, y + one.half_mm) for x, y in (*loop, loop[0])) for loop in pockets
        ]
    if one.side == "bore":
        layers["mark"].append(_mark(wide, high))
    return Template(
        side=one.side,
        diameter_mm=one.diameter_mm,
        around_mm=wide,
        across_mm=high,
        layers={layer: tuple(paths) for layer, paths in layers.items()},
    )


def _mark(wide: float, high: float) -> tuple[Point, ...]:
    """A box for the marks, half round from angle 0, in the middle of the width."""
    long, tall = min(MARK_MM[0], wide / 4), min(MARK_MM[1], high / 2)
    x0, y0 = wide / 2 - long / 2, high / 2 - tall / 2
    x1, y1 = x0 + long, y0 + tall
    return ((x0, y0), (x1, y0), (x1, y1), (x0, y1), (x0, y0))


def _wrapped(line: Line, wide: float) -> Iterator[tuple[Point, ...]]:
    """A line within the template; what crosses its end comes in again at the other."""
    if line.kind == "wall":
        yield line.points
        return
    (x0, y0), (x1, y1) = line.points
    for turn in (-1, 0, 1):
        a, b = x0 + turn * wide, x1 + turn * wide
        if max(a, b) < 0 or min(a, b) > wide:
            continue
        if a == b:
            yield ((a, y0), (b, y1))
            continue
        low, high = sorted(((0 - a) / (b - a), (wide - a) / (b - a)))
        start, end = max(0.0, low), min(1.0, high)
        if end - start > 1e-9:
            yield tuple((a + t * (b - a), y0 + t * (y1 - y0)) for t in (start, end))


def template_drawing(one: Template, name: str) -> Drawing:
    """A template with what it is written over it, clock positions under it, for paper."""
    shapes: list[Shape] = []
    for layer, paths in one.layers.items():
        shapes += [
            Path(
                points=tuple((x + MARGIN_MM, y + FOOT_MM) for x, y in points),
                ink=INKS[layer],
                dashed=layer == "tab",
            )
            for points in paths
        ]
    for share, hour in CLOCK:
        x = MARGIN_MM + share * one.around_mm
        shapes.append(Path(points=((x, FOOT_MM - 1.5), (x, FOOT_MM - 0.3)), ink="hair"))
        at = x, FOOT_MM - 4.2
        shapes.append(Word(at=at, text=hour, size_mm=2.4, anchor="middle", soft=True))
    top = FOOT_MM + one.across_mm
    said = f"{name}, {one.side}: ⌀ {one.diameter_mm:.2f}, {one.around_mm:.2f} mm around"
    shapes.append(Word(at=(MARGIN_MM, top + 4.5), text=said, size_mm=3.0, bold=True))
    how = "wrap it round, its ends meet at 12; the tab goes under"
    shapes.append(Word(at=(MARGIN_MM, top + 1.5), text=how, size_mm=2.3, soft=True))
    return Drawing(
        width_mm=one.around_mm + TAB_MM + 2 * MARGIN_MM,
        height_mm=top + HEAD_MM,
        shapes=tuple(shapes),
    )
