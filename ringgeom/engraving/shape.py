"""A drawn shape: closed loops of strokes in mm, islands and holes by their sense of turning.

    y ^   .--<--.      an island turns to the left, a hole to the right
      |   |  o  |
      |   '-->--'
      +----------> x

Integrals over a shape are taken along its outline (Green's theorem), stroke by stroke with
Gauss's rule: polynomials exactly, anything smooth to rounding.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np

from ringgeom.engraving.stroke import Stroke, bernstein
from ringgeom.form.curve import Array

Loop = tuple[Stroke, ...]

NODES, WEIGHTS = np.polynomial.legendre.leggauss(24)
NODES, WEIGHTS = 0.5 * (NODES + 1), 0.5 * WEIGHTS
"""Gauss's rule over 0 to 1; exact for the area and the first moments of a cubic outline."""

LONG = NODES, WEIGHTS
SHORT_MM = 0.05
"""A straight stroke that rises less is taken with fewer nodes: a bend of 0.2 mm is exact on it."""


def _short_rule() -> tuple[Array, Array]:
    nodes, weights = np.polynomial.legendre.leggauss(6)
    return 0.5 * (nodes + 1), 0.5 * weights


SHORT = _short_rule()


@dataclass(frozen=True, eq=False)
class Shape:
    """Loops that neither cross each other nor themselves; each ends where it begins."""

    loops: tuple[Loop, ...]

    def integral(
        self,
        under: Callable[[Array], Array],
        stops: Sequence[float] = (),
        between: tuple[float, float] | None = None,
    ) -> float:
        """Integral of a function of y over the shape.

        Parameters
        ----------
        under : callable
            Antiderivative of the function, taken at an array of y [mm].
        stops : sequence of float
            Heights y at which the function has a kink [mm]; strokes are parted there.
        between : (float, float), optional
            Only what lies between two x counts [mm].
        """
        total = 0.0
        whole: dict[tuple[int, bool], list[Array]] = {}
        for stroke in self.strokes():
            ends = _parted(stroke, stops, between)
            if ends == (0.0, 1.0) and _lies(stroke, 0.5, between):
                across = stroke.points[:, 1]
                short = stroke.degree == 1 and abs(across[1] - across[0]) < SHORT_MM
                whole.setdefault((stroke.degree, bool(short)), []).append(stroke.points)
                continue
            for low, high in pairwise(ends):
                t = low + (high - low) * NODES
                if not _lies(stroke, 0.5 * (low + high), between):
                    continue
                run = stroke.slope(t)[:, 0]
                total -= (high - low) * float((under(stroke.at(t)[:, 1]) * run) @ WEIGHTS)
        for (degree, short), points in whole.items():
            total -= _together(under, degree, np.array(points), SHORT if short else LONG)
        return total

    @property
    def area_mm2(self) -> float:
        """Islands less holes."""
        return self.integral(lambda y: y)

    def strokes(self) -> Iterable[Stroke]:
        """Every stroke of every loop, in order."""
        return (stroke for loop in self.loops for stroke in loop)

    @property
    def outline_mm(self) -> float:
        """Length of the control polygons: the outline is no longer."""
        steps = (np.diff(stroke.points, axis=0) for stroke in self.strokes())
        return float(sum(np.hypot(step[:, 0], step[:, 1]).sum() for step in steps))

    @cached_property
    def bounds_mm(self) -> tuple[float, float, float, float]:
        """Least and largest x, then least and largest y, of the control points."""
        points = np.concatenate([stroke.points for stroke in self.strokes()])
        (x0, y0), (x1, y1) = points.min(axis=0).tolist(), points.max(axis=0).tolist()
        return x0, x1, y0, y1

    def moved(self, x_mm: float = 0.0, y_mm: float = 0.0) -> Shape:
        """The shape shifted."""
        return self.mapped(np.eye(2), (x_mm, y_mm))

    def scaled(self, by: float) -> Shape:
        """The shape so many times as large, from the origin."""
        return self.mapped(by * np.eye(2))

    def mapped(self, matrix: Array, shift: Sequence[float] = (0.0, 0.0)) -> Shape:
        """After a linear map and a shift; one that mirrors keeps islands islands."""
        if not self.loops:
            return self
        whole = np.concatenate([stroke.points for stroke in self.strokes()])
        whole = whole @ np.asarray(matrix).T + np.asarray(shift)
        loops, at = [], 0
        for loop in self.loops:
            strokes = []
            for stroke in loop:
                strokes.append(Stroke(whole[at : at + len(stroke.points)]))
                at += len(stroke.points)
            loops.append(tuple(strokes))
        if float(np.linalg.det(matrix)) < 0:
            loops = [tuple(stroke.reversed() for stroke in reversed(loop)) for loop in loops]
        return Shape(tuple(loops))

    def polylines(self, chord_mm: float) -> list[Array]:
        """Every loop as corners (n, 2) within a distance of it; the last joins the first."""
        found = []
        for loop in self.loops:
            corners: list[Array] = []
            for stroke in loop:
                steps = stroke.steps(chord_mm)
                straight = steps == 1
                corners.append(
                    stroke.points[:1] if straight else stroke.at(np.arange(steps) / steps)
                )
            found.append(np.concatenate(corners))
        return found


def _parted(
    stroke: Stroke, stops: Sequence[float], between: tuple[float, float] | None
) -> tuple[float, ...]:
    """Parameters between which a stroke is integrated; none where it lies outside."""
    if between is not None:
        x = stroke.points[:, 0]
        low, high = float(x.min()), float(x.max())
        if high <= between[0] or low >= between[1]:
            return ()
    ends = {0.0, 1.0}
    for y in stops:
        ends.update(stroke.crossings(y))
    for x_mm in between or ():
        ends.update(stroke.crossings(x_mm, axis=0))
    return tuple(sorted(ends))


def _lies(stroke: Stroke, t: float, between: tuple[float, float] | None) -> bool:
    """Whether a point of a stroke lies between two x.

    Along an upright cut x stands still and nothing is added.
    """
    if between is None:
        return True
    return between[0] <= float(stroke.at(np.array([t]))[0, 0]) <= between[1]


def _together(
    under: Callable[[Array], Array], degree: int, points: Array, rule: tuple[Array, Array]
) -> float:
    """Integral of under(y) dx along whole strokes of one degree, points (n, degree + 1, 2)."""
    nodes, weights = rule
    y = points[:, :, 1] @ bernstein(nodes, degree).T
    run = degree * np.diff(points[:, :, 0], axis=1) @ bernstein(nodes, degree - 1).T
    return float(((under(y.ravel()).reshape(y.shape) * run) @ weights).sum())


def joined(shapes: Iterable[Shape]) -> Shape:
    """Shapes that lie apart as one."""
    return Shape(tuple(loop for shape in shapes for loop in shape.loops))
