"""Shapes as fine straight pieces, and back: for questions of crossing and distance."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np

from ringgeom.engraving.shape import Loop, Shape
from ringgeom.engraving.stroke import MOST_STEPS, Stroke, bernstein, line
from ringgeom.form.curve import Array, Whole

CHORD_MM = 1e-4
"""Straight pieces stay this near to the curve: a tenth of a micrometre."""

LOOK_MM = 1e-3
"""How finely it is looked which hole lies in which island."""


@dataclass(frozen=True, slots=True)
class Flat:
    """One loop as corners (n, 2); piece k runs from corner k to the next, the last to the first.

    Of every piece: which stroke it belongs to, and that stroke's parameters at its ends.
    """

    corners: Array
    stroke: Whole
    t0: Array
    t1: Array

    @property
    def ends(self) -> Array:
        """The end of every piece, shape (n, 2) [mm]."""
        return np.roll(self.corners, -1, axis=0)

    @property
    def doubled_area_mm2(self) -> float:
        """Twice the area, negative for a loop that turns to the right."""
        return turn_mm2(self.corners)


def flat(loop: Loop, chord_mm: float = CHORD_MM) -> Flat:
    """A loop within a distance of its curves."""
    return flats([loop], chord_mm)[0]


def flats(loops: Sequence[Loop], chord_mm: float = CHORD_MM) -> list[Flat]:
    """Many loops at once: strokes of one degree and one number of pieces are drawn together."""
    strokes = [stroke for loop in loops for stroke in loop]
    steps = np.ones(len(strokes), dtype=np.intp)
    curved = {
        degree: np.array([k for k, one in enumerate(strokes) if len(one.points) == degree + 1])
        for degree in (2, 3)
    }
    for degree, which in curved.items():
        if len(which):
            bend = np.abs(np.diff([strokes[k].points for k in which], n=2, axis=1))
            largest = np.hypot(bend[..., 0], bend[..., 1]).max(axis=1)
            need = np.ceil(np.sqrt(degree * (degree - 1) * largest / 8 / chord_mm))
            steps[which] = np.clip(need, 1, MOST_STEPS)
    first = np.concatenate([[0], np.cumsum(steps)])
    corners = np.empty((first[-1], 2))
    corners[first[:-1]] = [stroke.points[0] for stroke in strokes]
    for degree, which in curved.items():
        for count in np.unique(steps[which]) if len(which) else ():
            mine = which[steps[which] == count]
            t = np.arange(count) / count
            points = np.einsum(
                "td,nda->nta", bernstein(t, degree), [strokes[k].points for k in mine]
            )
            corners[first[mine][:, None] + np.arange(count)] = points
    step = np.arange(first[-1]) - np.repeat(first[:-1], steps)
    share = np.repeat(steps, steps)
    found, begin = [], 0
    for loop in loops:
        low, high = first[begin], first[begin + len(loop)]
        stroke = np.repeat(np.arange(len(loop)), steps[begin : begin + len(loop)])
        t0, t1 = step[low:high] / share[low:high], (step[low:high] + 1) / share[low:high]
        found.append(Flat(corners[low:high], stroke, t0, t1))
        begin += len(loop)
    return found


def turn_mm2(corners: Array) -> float:
    """Twice the area inside closed corners, positive where they turn to the left."""
    x, y = (corners - corners[0]).T
    return float(x @ np.roll(y, -1) - y @ np.roll(x, -1))


def polygon_of(shape: Shape, chord_mm: float = CHORD_MM) -> Any:
    """Islands less holes as a polygon of shapely's; touching loops are allowed for."""
    from shapely import Polygon, unary_union

    islands: list[Any] = []
    holes: list[Any] = []
    for one in flats(shape.loops, chord_mm):
        (islands if one.doubled_area_mm2 > 0 else holes).append(Polygon(one.corners))
    return unary_union(islands).difference(unary_union(holes))


def shape_of(polygon: Any) -> Shape:
    """A polygon of shapely's, or several, as a shape of straight strokes."""
    from shapely import get_parts
    from shapely.geometry.polygon import orient

    loops: list[Loop] = []
    for part in get_parts(polygon):
        if part.geom_type != "Polygon" or part.is_empty:
            continue
        part = orient(part)
        loops += [straight(np.array(ring.coords)[:-1]) for ring in (part.exterior, *part.interiors)]
    return Shape(tuple(loops))


def islands(shape: Shape) -> tuple[Shape, ...]:
    """Every island of a shape by itself, with the holes in it."""
    from shapely import Polygon

    drawn = flats(shape.loops, LOOK_MM)
    outer = [k for k, one in enumerate(drawn) if one.doubled_area_mm2 > 0]
    if len(outer) < 2:
        return (shape,) if outer else ()
    held: dict[int, list[Loop]] = {k: [shape.loops[k]] for k in outer}
    covers = {k: Polygon(drawn[k].corners) for k in outer}
    for k, one in enumerate(drawn):
        if k not in held:
            hole = Polygon(one.corners)
            # drawn with straight pieces, what touches may cross by a little
            mine = [n for n in outer if covers[n].intersection(hole).area > 0.99 * hole.area]
            held[min(mine, key=lambda n: float(covers[n].area))].append(shape.loops[k])
    return tuple(Shape(tuple(loops)) for loops in held.values())


def straight(corners: Array) -> Loop:
    """A loop of straight strokes through corners (n, 2)."""
    return tuple(Stroke(ends) for ends in np.stack([corners, np.roll(corners, -1, 0)], axis=1))


def chained(points: Iterable[tuple[float, float]]) -> tuple[Stroke, ...]:
    """Straight strokes from point to point, not closed."""
    return tuple(line(a, b) for a, b in pairwise(points))


def extent_mm(shape: Shape) -> tuple[float, float, float, float]:
    """Least and largest x, then least and largest y, of the outline itself [mm]."""
    strokes = list(shape.strokes())
    points = np.vstack([stroke.points[[0, -1]] for stroke in strokes])
    low, high = points.min(axis=0), points.max(axis=0)
    # a stroke reaches further than its ends only where its handles do
    bent = [
        stroke
        for stroke in strokes
        if stroke.degree > 1 and ((stroke.points < low).any() or (stroke.points > high).any())
    ]
    if bent:
        reached = np.vstack([_turns(np.array([as_cubic(s.points) for s in bent])), points])
        low, high = reached.min(axis=0), reached.max(axis=0)
    return float(low[0]), float(high[0]), float(low[1]), float(high[1])


def _turns(cubics: Array) -> Array:
    """Points at which cubics (n, 4, 2) turn in x or in y, others of theirs where they do not."""
    steps = np.diff(cubics, axis=1)
    c, b = steps[:, 0], 2 * (steps[:, 1] - steps[:, 0])
    a = steps[:, 0] - 2 * steps[:, 1] + steps[:, 2]
    root = np.sqrt(np.maximum(b * b - 4 * a * c, 0.0))
    q = -0.5 * (b + np.where(b < 0, -root, root))
    with np.errstate(divide="ignore", invalid="ignore"):
        t = np.nan_to_num(np.stack([q / a, c / q]), nan=0.0, posinf=0.0, neginf=0.0)
    t = np.clip(t, 0.0, 1.0)[..., None]
    whole, u = cubics[None, :, :, None, :], 1 - t
    found: Array = (
        u**3 * whole[:, :, 0]
        + 3 * u * u * t * whole[:, :, 1]
        + 3 * u * t * t * whole[:, :, 2]
        + t**3 * whole[:, :, 3]
    )
    return found.reshape(-1, 2)


def part_of(stroke: Stroke, low: float, high: float) -> Stroke:
    """A stroke between two shares of its own, of the same degree (de Casteljau)."""
    points = stroke.points
    if high < 1:
        points = _first(points, high)
    if low > 0:
        points = _first(points[::-1], 1 - low / high)[::-1]
    return Stroke(points)


def _first(points: Array, t: float) -> Array:
    kept = [points[0]]
    while len(points) > 1:
        points = (1 - t) * points[:-1] + t * points[1:]
        kept.append(points[0])
    return np.array(kept)


def as_cubic(points: Array) -> Array:
    """The same curve at the same parameters, with four control points."""
    if len(points) == 2:
        a, b = points
        return np.array([a, a + (b - a) / 3, a + (b - a) * (2 / 3), b])
    if len(points) == 3:
        a, b, c = points
        return np.array([a, (a + 2 * b) / 3, (2 * b + c) / 3, c])
    return points
