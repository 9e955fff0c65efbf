"""A face unrolled for the laser or the graver, in mm: closed shapes to fill, lines to score.

         12              3                    register marks at the hours, above and below
    +----+---------------+---------+
    |   L E T T E R S   [ ]        |  fill, score      x round the ring at its own diameter
    |-------------------------------  boundary         y across it, from the edge that is down
    +----+---------------+---------+  outline

The outside is seen from without. The bore is seen as the tool sees it, from within, so that
what is to be read there reads; mirrored, it is seen from without.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from math import ceil, floor, tau
from typing import Literal

import numpy as np

from ringgeom.drawing.shapes import Point
from ringgeom.engraving.combined import shared
from ringgeom.engraving.engraved import Engraved
from ringgeom.engraving.graved import points_along
from ringgeom.engraving.inset import Inset
from ringgeom.engraving.on_face import Side
from ringgeom.engraving.shape import Shape
from ringgeom.engraving.unrolled import Unrolled
from ringgeom.form.clock import clock_words
from ringgeom.form.curve import Array
from ringgeom.jobs import Job

Layer = Literal["fill", "pocket", "cut", "score", "cast", "boundary", "outline", "register"]
LAYERS: tuple[Layer, ...] = (
    "fill", "pocket", "cut", "score", "cast", "boundary", "outline", "register",
)  # fmt: skip
"""Letters to cut away; pockets of motif inlays to cut away; inserts to cut through; single lines
to follow, and outlines of room for marks; what the casting has already; where two parts meet; the
face itself; marks to set it by."""

CROSS_MM = 1.0
"""Length of a register mark, and how far it keeps from the face."""

SEAM_MM = 1e-6
"""A shape that reaches less beyond the place where its face is cut open stays whole."""

MARGIN_MM = 1.0

LINE_CHORD_MM = 0.001
"""How far a side of an open polyline may lie from the line it follows."""

HOURS = ((0.0, "12"), (0.25, "3"), (0.5, "6"), (0.75, "9"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Unwound:
    """One face for the tool.

    Attributes
    ----------
    mirrored : bool
        The bore as it would be seen from without.
    begins : float
        Angle at which it is cut open, where nothing is engraved [rad].
    shapes : mapping
        Closed shapes of a layer, fitting into `around_mm` by `across_mm`.
    lines : mapping
        Open lines of a layer.
    hours : tuple
        Where along the face each hour of the clock lies [mm].
    """

    side: Side
    mirrored: bool
    diameter_mm: float
    around_mm: float
    across_mm: float
    begins: float
    shapes: dict[Layer, tuple[Shape, ...]]
    lines: dict[Layer, tuple[tuple[Point, ...], ...]]
    hours: tuple[tuple[float, str], ...]

    @property
    def words(self) -> str:
        """What the operator must know."""
        where = "outside"
        if self.side == "inside":
            where = (
                "bore, mirrored: seen from outside" if self.mirrored else "bore, seen from within"
            )
        return (
            f"{where}; diameter {self.diameter_mm:.2f} mm, {self.around_mm:.3f} mm round, "
            f"begins at {clock_words(self.begins)}"
        )


def unwound(job: Job) -> tuple[Unwound, ...]:
    """Every face with something engraved on it; the bore also mirrored."""
    found: list[Unwound] = []
    for side in ("outside", "inside"):
        mine = [one for one in job.engraved if one.asked.on == side and one.copies]
        insets = job.insets if side == "outside" else ()
        if not mine and not insets:
            continue
        plain = _unwound(job, mine, insets)
        found += [plain] if side == "outside" else [_flipped(plain), plain]
    return tuple(found)


def _unwound(job: Job, mine: list[Engraved], insets: Sequence[Inset]) -> Unwound:
    """A face seen from without."""
    face = mine[0].face if mine else insets[0].face
    around, half = face.around_mm, face.half_mm
    start = _open_at(mine, insets, around)
    shapes: dict[Layer, list[Shape]] = {layer: [] for layer in LAYERS}
    lines: dict[Layer, list[tuple[Point, ...]]] = {layer: [] for layer in LAYERS}
    for one in mine:
        layer: Layer = "score"
        if one.carved:
            layer = "cast" if one.cast_in else "fill"
        whole = [shape for copy in one.copies for shape in copy]
        if one.lines and layer == "fill":
            # the tool follows single lines; the ground it covers is not filled
            whole = [] if one.figures is None else list(one.figures.filled)
            for line in one.lines:
                points = points_along(line, LINE_CHORD_MM) + np.array([-start, half])
                for turn in _turns_within(points, around):
                    moved = points + np.array([turn * around, 0.0])
                    lines["score"] += _within(moved.tolist(), around)
        for shape in whole:
            shapes[layer] += _cut_open(shape, start, around, half)
    for inset in insets:
        layer = "cast" if inset.asked.cast_in else "pocket"
        for shape in inset.cut.pockets:
            shapes[layer] += _cut_open(shape, start, around, half)
    corners = ((0.0, 0.0), (around, 0.0), (around, 2 * half), (0.0, 2 * half), (0.0, 0.0))
    lines["outline"].append(corners)
    lines["boundary"] += _boundaries(job, face.side, start, around, half)
    hours = []
    for share, hour in HOURS:
        x = (share * around - start) % around
        # where it is cut open the hour stands at both ends
        for end in (x, around) if x < 1e-9 else (x,):
            hours.append((end, hour))
            lines["register"] += _crosses(end, 2 * half)
    return Unwound(
        side=face.side,
        mirrored=face.side == "inside",
        diameter_mm=2 * face.radius_mm,
        around_mm=around,
        across_mm=2 * half,
        begins=tau * start / around,
        shapes={layer: tuple(some) for layer, some in shapes.items()},
        lines={layer: tuple(some) for layer, some in lines.items()},
        hours=tuple(hours),
    )


def _turns_within(points: Array, around: float) -> range:
    """By how many turns a line is moved to lie, at least partly, on the face."""
    low, high = float(points[:, 0].min()), float(points[:, 0].max())
    return range(ceil((SEAM_MM - high) / around), floor((around - SEAM_MM - low) / around) + 1)


@lru_cache(maxsize=64)
def _cut_open(shape: Shape, start: float, around: float, half: float) -> tuple[Shape, ...]:
    """A shape on the face that is cut open somewhere: in two where it lies across that place."""
    x0, x1, *_ = shape.bounds_mm
    turns = floor((0.5 * (x0 + x1) - start) / around)
    moved = shape.moved(-start - turns * around, half)
    low, high = x0 - start - turns * around, x1 - start - turns * around
    if low >= -SEAM_MM and high <= around + SEAM_MM:
        return (moved,)
    face = Unrolled(round_mm=around, low_mm=-MARGIN_MM, high_mm=2 * half + MARGIN_MM).whole
    found = [
        shared([moved.moved(turn * around), face]).shape
        for turn in (-1, 0, 1)
        if high + turn * around > SEAM_MM and low + turn * around < around - SEAM_MM
    ]
    return tuple(one for one in found if one.loops)


def _flipped(one: Unwound) -> Unwound:
    """The bore as the tool sees it, from within."""
    wide = one.around_mm
    flip = np.diag([-1.0, 1.0])
    return Unwound(
        side=one.side,
        mirrored=False,
        diameter_mm=one.diameter_mm,
        around_mm=wide,
        across_mm=one.across_mm,
        begins=one.begins,
        shapes={
            layer: tuple(shape.mapped(flip, (wide, 0.0)) for shape in some)
            for layer, some in one.shapes.items()
        },
        lines={
            layer: tuple(tuple((wide - x, y) for x, y in line) for line in some)
            for layer, some in one.lines.items()
        },
        hours=tuple((wide - x, hour) for x, hour in one.hours),
    )


def _crosses(x: float, high: float) -> Iterator[tuple[Point, ...]]:
    for low, top in ((-2 * CROSS_MM, -CROSS_MM), (high + CROSS_MM, high + 2 * CROSS_MM)):
        middle = 0.5 * (low + top)
        yield ((x, low), (x, top))
        yield ((x - CROSS_MM / 2, middle), (x + CROSS_MM / 2, middle))


def _open_at(mine: Sequence[Engraved], insets: Sequence[Inset], around: float) -> float:
    """Where along the face it is cut open: between texts, else between letters [mm]."""
    mine = [one for one in mine if one.copies]
    whole = [one for one in mine if one.figures is not None and one.figures.wraps]
    seams = [around * (one.asked.angle / tau % 1) for one in whole]
    mine = [one for one in mine if one not in whole]
    pockets = [shape.bounds_mm[:2] for one in insets for shape in one.cut.pockets]
    if not mine and not pockets:
        return seams[0] if seams else 0.0
    texts = [*pockets, *((box[0], box[1]) for one in mine for box in one.boxes_mm)]
    letters = [*pockets, *(s.bounds_mm[:2] for one in mine for copy in one.copies for s in copy)]
    for seam in seams:
        if all((seam - low) % around >= high - low for low, high in letters):
            return seam
    at, room = _free_mm(texts, around)
    return at if room > 0 else _free_mm(letters, around)[0]


def _free_mm(taken: Iterable[tuple[float, float]], around: float) -> tuple[float, float]:
    """A place outside some stretches, and how wide it is there: 12, else 6, else the widest."""
    spans = sorted((low % around, high - low) for low, high in taken)

    def clear(at: float) -> bool:
        return all((at - start) % around >= length for start, length in spans)

    for at in (0.0, 0.5 * around):
        if clear(at):
            return at, around
    # a long letter may reach over the next one's start
    spaces, reach = [], max(start + length for start, length in spans) - around
    for start, length in spans:
        spaces.append((start - reach, 0.5 * (start + reach)))
        reach = max(reach, start + length)
    room, at = max(spaces)
    return at % around, room


def _boundaries(
    job: Job, side: Side, start: float, around: float, half: float
) -> Iterator[tuple[Point, ...]]:
    """Walls, joints and seams of the parts, cut open where the face is."""
    bench = job.bench()
    assert bench is not None
    (mine,) = (t for t in bench.templates if (t.side == "outside") == (side == "outside"))
    for line in mine.lines:
        points = np.array(line.points)
        for turn in (-2, -1, 0, 1, 2):
            moved = points + np.array([turn * around - start, half])
            yield from _within(moved.tolist(), around)


def _within(points: list[list[float]], wide: float) -> Iterator[tuple[Point, ...]]:
    """The stretches of a line between 0 and a width."""
    run: list[Point] = []
    for (x0, y0), (x1, y1) in pairwise(points):
        low, high = 0.0, 1.0
        if x0 == x1:
            inside = 0 <= x0 < wide
        else:
            at = sorted(((0 - x0) / (x1 - x0), (wide - x0) / (x1 - x0)))
            low, high = max(0.0, at[0]), min(1.0, at[1])
            inside = high - low > 1e-9
        if not inside:
            if len(run) > 1:
                yield tuple(run)
            run = []
            continue
        ends = [(x0 + t * (x1 - x0), y0 + t * (y1 - y0)) for t in (low, high)]
        if not run or low > 0:
            if len(run) > 1:
                yield tuple(run)
            run = [ends[0]]
        run.append(ends[1])
    if len(run) > 1:
        yield tuple(run)
