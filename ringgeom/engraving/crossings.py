"""Where outlines cross themselves or each other; loops parted there."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence

import numpy as np

from ringgeom.engraving.flat import Flat, as_cubic, part_of
from ringgeom.engraving.followed import Piece
from ringgeom.engraving.shape import Loop
from ringgeom.engraving.stroke import Stroke, bernstein
from ringgeom.errors import ShapeError
from ringgeom.form.curve import Array, Whole

NEWTON_STEPS = 12
SAME = 1e-10
"""Two strokes cross where they come nearer than this [mm]."""

GRAZING = 1e-3
"""Sine of the angle below which outlines count as running along each other."""

SAME_PARAMETER = 1e-7
MOST_MEETINGS = 30_000
"""Meetings of straight pieces; a drawing with more is no drawing."""

AT_ONCE = 500
"""Pieces whose meetings are looked for at a time, so that memory stays bounded."""

APART_MM = 1e-7
"""Crossings nearer to each other than this cannot be told apart."""

AT_AN_END = 1e-9
"""A crossing this near to a stroke's end, as a share of the stroke, is at the end."""


class TooMany(ShapeError):
    """Outlines that cross each other more often than can be followed."""

    def __init__(self) -> None:
        super().__init__(
            f"outlines cross each other more than {MOST_MEETINGS} times; simplify them"
        )


class Unclear(Exception):
    """Outlines touch or run along each other; the loops that do, or cross at all."""

    def __init__(self, loops: set[int]) -> None:
        self.loops = loops
        super().__init__(loops)


def self_crossing_mm(outline: Flat) -> tuple[float, float] | None:
    """A point at which a loop crosses or touches itself, if it does."""
    from shapely import LinearRing, Polygon, is_valid_reason

    if len(outline.corners) < 3:
        return None
    if LinearRing(outline.corners).is_simple:
        return None
    reason = str(is_valid_reason(Polygon(outline.corners)))
    if "[" in reason:
        x, y = reason.split("[")[1].rstrip("]").split()
        return float(x), float(y)
    x, y = outline.corners[0].tolist()
    return x, y


def parted(loops: Sequence[Loop], outlines: Sequence[Flat]) -> tuple[set[int], list[Piece]]:
    """Which loops cross others; all loops, parted at the crossings.

    Raises
    ------
    Unclear
        Some touch, graze or run along each other.
    """
    rows = _meetings(outlines)
    crossed = set(rows[:, :2].ravel().tolist())
    cuts: dict[int, list[tuple[int, float, int]]] = defaultdict(list)
    if len(rows):
        found = _crossings(loops, outlines, rows)
        if found is None:
            raise Unclear(crossed)
        strokes, parameters, places = found
        # a crossing may be met by several straight pieces that share a corner
        named = np.column_stack([rows[:, :2], strokes, np.round(parameters / SAME_PARAMETER)])
        _, once = np.unique(named, axis=0, return_index=True)
        if _crowded(places[once]):
            raise Unclear(crossed)
        for place, k in enumerate(once):
            for side in (0, 1):
                cut = int(strokes[k, side]), float(parameters[k, side]), place
                cuts[int(rows[k, side])].append(cut)
    pieces = []
    for index, loop in enumerate(loops):
        if index in cuts:
            pieces += _cut(loop, index, sorted(cuts[index]))
        else:
            pieces.append(Piece(loop, ("loop", index), ("loop", index), index))
    return crossed, pieces


def _crowded(places: Array) -> bool:
    """Whether three outlines cross in one place."""
    from shapely import STRtree, points

    if len(places) < 2:
        return False
    spots = points(places)
    a, _ = STRtree(spots).query(spots, predicate="dwithin", distance=APART_MM)
    return len(a) > len(places)


def _meetings(outlines: Sequence[Flat]) -> Whole:
    """Straight pieces of different loops that meet, a row each: loop, loop, piece, piece."""
    from shapely import STRtree, linestrings
    from shapely import box as boxes

    box = np.array([(*one.corners.min(axis=0), *one.corners.max(axis=0)) for one in outlines])
    tree = STRtree(boxes(box[:, 0], box[:, 1], box[:, 2], box[:, 3]))
    a, b = tree.query(tree.geometries, predicate="intersects")
    busy = sorted(set(a[a < b].tolist()) | set(b[a < b].tolist()))
    if len(a) > MOST_MEETINGS:
        raise TooMany
    if not busy:
        return np.empty((0, 4), dtype=np.intp)
    segments = np.concatenate(
        [np.stack([outlines[index].corners, outlines[index].ends], axis=1) for index in busy]
    )
    loop = np.repeat(busy, [len(outlines[index].corners) for index in busy])
    piece = np.concatenate([np.arange(len(outlines[index].corners)) for index in busy])
    lines = linestrings(segments)
    found, count = [], 0
    tree = STRtree(lines)
    for low in range(0, len(lines), AT_ONCE):
        a, b = tree.query(lines[low : low + AT_ONCE], predicate="intersects")
        a = a + low
        apart = loop[a] < loop[b]
        a, b = a[apart], b[apart]
        found.append(np.stack([loop[a], loop[b], piece[a], piece[b]], axis=1))
        count += len(a)
        if count > MOST_MEETINGS:
            raise TooMany
    return np.concatenate(found)


def _crossings(
    loops: Sequence[Loop], outlines: Sequence[Flat], rows: Whole
) -> tuple[Whole, Array, Array] | None:
    """Where the strokes of meeting pieces cross: strokes (n, 2), parameters (n, 2), places (n, 2).

    None where one pair does not cross cleanly, inside both strokes.
    """
    strokes, parameters = np.empty((len(rows), 2), dtype=np.intp), np.empty((len(rows), 2))
    curves = np.empty((len(rows), 2, 4, 2))
    for k, row in enumerate(rows.tolist()):
        for side in (0, 1):
            outline, piece = outlines[row[side]], row[2 + side]
            strokes[k, side] = outline.stroke[piece]
            parameters[k, side] = 0.5 * (outline.t0[piece] + outline.t1[piece])
            curves[k, side] = as_cubic(loops[row[side]][strokes[k, side]].points)
    for _ in range(NEWTON_STEPS):
        (at, to), (slope, facing) = _both(curves, parameters)
        miss = at - to
        det = slope[:, 1] * facing[:, 0] - slope[:, 0] * facing[:, 1]
        long = np.hypot(*slope.T) * np.hypot(*facing.T)
        if (np.abs(det) <= GRAZING * long).any():
            return None
        parameters[:, 0] -= (miss[:, 1] * facing[:, 0] - miss[:, 0] * facing[:, 1]) / det
        parameters[:, 1] -= (slope[:, 0] * miss[:, 1] - slope[:, 1] * miss[:, 0]) / det
        if (np.abs(parameters - 0.5) > 1).any():
            return None
    (at, to), _ = _both(curves, parameters)
    if (np.hypot(*(at - to).T) > SAME).any():
        return None
    if ((parameters <= AT_AN_END) | (parameters >= 1 - AT_AN_END)).any():
        return None
    return strokes, parameters, at


def _both(curves: Array, parameters: Array) -> tuple[tuple[Array, Array], tuple[Array, Array]]:
    """Points and slopes of pairs of cubics (n, 2, 4, 2) at parameters (n, 2)."""
    t = parameters.ravel()
    whole = curves.reshape(-1, 4, 2)
    at = np.einsum("nd,nda->na", bernstein(t, 3), whole).reshape(-1, 2, 2)
    slope = np.einsum("nd,nda->na", bernstein(t, 2), 3 * np.diff(whole, axis=1)).reshape(-1, 2, 2)
    return (at[:, 0], at[:, 1]), (slope[:, 0], slope[:, 1])


def _cut(loop: Loop, index: int, cuts: list[tuple[int, float, int]]) -> list[Piece]:
    """A loop parted at (stroke, parameter, place), in order along it."""
    pieces = []
    for (a, t, here), (b, u, there) in zip(cuts, [*cuts[1:], cuts[0]], strict=True):
        strokes: list[Stroke] = []
        if a == b and t < u:
            strokes.append(part_of(loop[a], t, u))
        else:
            strokes.append(part_of(loop[a], t, 1.0))
            k = (a + 1) % len(loop)
            while k != b:
                strokes.append(loop[k])
                k = (k + 1) % len(loop)
            strokes.append(part_of(loop[b], 0.0, u))
        pieces.append(Piece(tuple(strokes), ("place", here), ("place", there), index))
    return pieces
