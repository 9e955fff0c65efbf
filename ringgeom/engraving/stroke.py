"""One piece of an outline: a straight line, or a Bezier curve of degree two or three [mm].

x runs along the ring (its arc length when unrolled), y across it
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, sqrt

import numpy as np

from ringgeom.form.curve import Array

MOST_STEPS = 400
"""Straight pieces that a single curve may be drawn with."""


@dataclass(frozen=True, slots=True)
class Stroke:
    """Control points of shape (degree + 1, 2), degree 1 to 3; the ends lie on the outline."""

    points: Array

    @property
    def degree(self) -> int:
        """1 for a line, 2 or 3 for a curve."""
        return len(self.points) - 1

    @property
    def start(self) -> tuple[float, float]:
        """Where it begins [mm]."""
        return float(self.points[0, 0]), float(self.points[0, 1])

    @property
    def end(self) -> tuple[float, float]:
        """Where it ends [mm]."""
        return float(self.points[-1, 0]), float(self.points[-1, 1])

    def at(self, t: Array) -> Array:
        """Points at parameters 0 to 1, shape (len(t), 2)."""
        found: Array = bernstein(t, self.degree) @ self.points
        return found

    def slope(self, t: Array) -> Array:
        """Derivative by the parameter, shape (len(t), 2)."""
        hodograph = self.degree * np.diff(self.points, axis=0)
        found: Array = bernstein(t, self.degree - 1) @ hodograph
        return found

    def moved(self, matrix: Array, shift: Sequence[float]) -> Stroke:
        """After a linear map (2, 2) and a shift (2,)."""
        return Stroke(self.points @ np.asarray(matrix).T + np.asarray(shift))

    def reversed(self) -> Stroke:
        """The same stroke, run through the other way."""
        return Stroke(self.points[::-1])

    def crossings(self, at: float, axis: int = 1) -> list[float]:
        """Parameters inside 0 to 1 at which the curve passes a height; for axis 0 a place along."""
        along = self.points[:, axis]
        if not along.min() < at < along.max():
            return []
        roots = np.roots(_powers(along - np.array([at]))[::-1])
        real = roots[np.abs(roots.imag) < 1e-9].real
        return sorted(float(t) for t in real if 1e-12 < t < 1 - 1e-12)

    def steps(self, chord_mm: float) -> int:
        """Straight pieces that stay within a distance of the curve.

        Source
        ------
        Wang's bound on the second differences of the control points, from memory.
        """
        if self.degree < 2:
            return 1
        bend = np.abs(np.diff(self.points, n=2, axis=0))
        largest = float(np.hypot(bend[:, 0], bend[:, 1]).max())
        degree = self.degree
        return min(MOST_STEPS, max(1, ceil(sqrt(degree * (degree - 1) * largest / 8 / chord_mm))))


def line(start: Sequence[float], end: Sequence[float]) -> Stroke:
    """A straight stroke."""
    return Stroke(np.array([start, end], dtype=float))


def bernstein(t: Array, degree: int) -> Array:
    """Bernstein's polynomials at parameters 0 to 1, shape (len(t), degree + 1)."""
    t = np.asarray(t, dtype=float)[:, None]
    u = 1 - t
    if degree == 0:
        return np.ones_like(t)
    if degree == 1:
        return np.hstack([u, t])
    if degree == 2:
        return np.hstack([u * u, 2 * u * t, t * t])
    return np.hstack([u**3, 3 * u * u * t, 3 * u * t * t, t**3])


def _powers(control: Array) -> Array:
    """Coefficients of the polynomial, lowest power first."""
    c = control
    if len(c) == 2:
        return np.array([c[0], c[1] - c[0]])
    if len(c) == 3:
        return np.array([c[0], 2 * (c[1] - c[0]), c[0] - 2 * c[1] + c[2]])
    return np.array(
        [c[0], 3 * (c[1] - c[0]), 3 * (c[0] - 2 * c[1] + c[2]), c[3] - c[0] + 3 * (c[1] - c[2])]
    )
