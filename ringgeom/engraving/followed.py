"""Pieces of outlines followed round to loops."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Hashable
from dataclasses import dataclass

import numpy as np

from ringgeom.engraving.shape import Loop
from ringgeom.engraving.stroke import Stroke


@dataclass(frozen=True, slots=True, eq=False)
class Piece:
    """Strokes in a row, the names of the places they begin and end at, the loop they are of."""

    strokes: tuple[Stroke, ...]
    start: Hashable
    end: Hashable
    loop: int

    def turned(self) -> Piece:
        """The same piece, run through the other way."""
        strokes = tuple(stroke.reversed() for stroke in reversed(self.strokes))
        return Piece(strokes, self.end, self.start, self.loop)


def followed(pieces: list[Piece]) -> tuple[tuple[Loop, ...], float]:
    """Closed loops, and the length of what did not close [mm].

    Where several ways lead on, the leftmost keeps islands apart.
    """
    leaving: dict[Hashable, list[Piece]] = defaultdict(list)
    for piece in pieces:
        leaving[piece.start].append(piece)
    loops: list[Loop] = []
    lost = 0.0
    for piece in pieces:
        if piece not in leaving[piece.start]:
            continue
        leaving[piece.start].remove(piece)
        strokes, here = list(piece.strokes), piece
        while here.end != piece.start:
            ways = leaving[here.end]
            if not ways:
                lost += sum(_chord(stroke) for stroke in strokes)
                break
            here = max(ways, key=lambda way: _left(strokes[-1], way.strokes[0]))
            ways.remove(here)
            strokes += here.strokes
        else:
            loops.append(_joined(strokes))
    return tuple(loops), lost


def _chord(stroke: Stroke) -> float:
    return float(np.hypot(*(stroke.points[-1] - stroke.points[0])))


def _left(before: Stroke, after: Stroke) -> float:
    """How far the way turns to the left, -pi to pi."""
    (ax, ay), (bx, by) = _heading(before.reversed()), _heading(after)
    return float(np.arctan2(-ax * by + ay * bx, -ax * bx - ay * by))


def _heading(stroke: Stroke) -> tuple[float, float]:
    """From a stroke's start to its first control point that lies elsewhere."""
    for point in stroke.points[1:]:
        x, y = (point - stroke.points[0]).tolist()
        if x or y:
            return x, y
    return 1.0, 0.0


def _joined(strokes: list[Stroke]) -> Loop:
    """Ends that differ by rounding made the same."""
    found = []
    for stroke, after in zip(strokes, [*strokes[1:], strokes[0]], strict=True):
        if stroke.end != after.start:
            points = stroke.points.copy()
            points[-1] = after.points[0]
            stroke = Stroke(points)
        found.append(stroke)
    return tuple(found)
