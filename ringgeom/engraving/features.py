"""The thinnest places of a shape: of what is cut, and of the metal left between.

From points along the outline a disc is laid against it, on the side that is asked about, and
shrunk until it touches the outline only from within; where it touches two opposed sides, its
diameter is the thickness there. Sides count as opposed where they close by less than 30 degrees;
in a corner wider than that nothing is thin, a sharper point runs out to nothing. An outline
without opposed sides, such as a square, is as thick as the largest disc laid against it.

The touched side is known at points `spacing_mm` apart: a thickness d is told too large by up to
spacing^2 / (4 d), and never too small.

Source
------
The shrinking disc: Ma, Bae and Choi, 3D medial axis point approximation using nearest neighbours
and the normal field, The Visual Computer 28 (2012) 7-19; from memory.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import ceil, cos, radians

import numpy as np

from ringgeom.engraving.flat import as_cubic
from ringgeom.engraving.shape import Shape
from ringgeom.engraving.stroke import Stroke, bernstein
from ringgeom.engraving.unrolled import without_seam
from ringgeom.form.curve import Array, Whole

OPPOSED = cos(radians(180.0 - 30.0))
"""Cosine of the angle between the two touches, seen from the disc's middle."""

MOST_POINTS = 60_000
WIDEST_MM = 6.0
"""Anything thicker is not thin."""

ROUNDS = 40
SAME = 1e-7


@dataclass(frozen=True, slots=True, kw_only=True)
class Thin:
    """A thinnest place: its thickness [mm], at most `over_mm` too large, and where (x, y) [mm]."""

    mm: float
    at_mm: tuple[float, float]
    over_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Features:
    """The thinnest of the cut and of the metal between cuts; None where nothing is thin."""

    cut: Thin | None
    metal: Thin | None


def features(shape: Shape, round_mm: float, spacing_mm: float = 0.01) -> Features:
    """The thinnest places of a shape that lies round a ring of the given length.

    Points are set further apart than asked where there would be too many; `over_mm` tells.
    """
    runs = without_seam(shape, round_mm)
    long = sum(_length(stroke) for run in runs for stroke in run)
    spacing_mm = max(spacing_mm, long / MOST_POINTS)
    rows = [outline_points(run, spacing_mm) for run in runs]
    at, normal = (np.vstack([row[k] for row in rows]) for k in (0, 1))
    run_of = np.repeat(np.arange(len(rows)), [len(row[0]) for row in rows])
    cut = _thinnest(at, normal, run_of, round_mm, spacing_mm)
    metal = _thinnest(at, -normal, run_of, round_mm, spacing_mm)
    return Features(cut=cut, metal=metal)


def outline_points(strokes: Iterable[Stroke], spacing_mm: float) -> tuple[Array, Array]:
    """Points inside strokes, at most so far apart, and unit normals to their left: (n, 2) each."""
    found, normals = [], []
    for stroke in strokes:
        count = max(ceil(_length(stroke) / spacing_mm), 2)
        t = (np.arange(count) + 0.5) / count
        cubic = as_cubic(stroke.points)
        slope = bernstein(t, 2) @ (3 * np.diff(cubic, axis=0))
        long = np.hypot(*slope.T)
        good = long > 1e-12
        found.append((bernstein(t, 3) @ cubic)[good])
        normals.append(np.column_stack([-slope[:, 1], slope[:, 0]])[good] / long[good][:, None])
    return np.vstack(found), np.vstack(normals)


def _length(stroke: Stroke) -> float:
    """Length of a stroke's control polygon, which is no shorter than the stroke."""
    return float(np.hypot(*np.diff(stroke.points, axis=0).T).sum())


def _thinnest(
    at: Array, normal: Array, run_of: Whole, round_mm: float, spacing_mm: float
) -> Thin | None:
    from scipy.spatial import cKDTree

    turn = np.array([round_mm, 0.0])
    home = np.column_stack([at[:, 0] % round_mm, at[:, 1]])
    beside = home[home[:, 0] < WIDEST_MM] + turn, home[home[:, 0] > round_mm - WIDEST_MM] - turn
    every = np.vstack([home, *beside])
    tree = cKDTree(every)
    radius = np.full(len(home), 0.5 * WIDEST_MM)
    touched = np.full((len(home), 2), np.nan)
    busy = np.arange(len(home))
    for _ in range(ROUNDS):
        middle = home[busy] + radius[busy, None] * normal[busy]
        far, nearest = tree.query(middle)
        inside = far < radius[busy] * (1 - SAME)
        busy, other = busy[inside], every[nearest[inside]]
        if not len(busy):
            break
        way = other - home[busy]
        ahead = (normal[busy] * way).sum(axis=1)
        square = (way * way).sum(axis=1)
        # a point level with the outline is a neighbour along it, to rounding
        sound = (ahead > 1e-12) & (square > 0)
        busy, other = busy[sound], other[sound]
        radius[busy] = square[sound] / (2 * ahead[sound])
        touched[busy] = other
    middle = home + radius[:, None] * normal
    seen = ((home - middle) * (touched - middle)).sum(axis=1) / radius**2
    # where it fits all round, any of its touches may have been the last; the far one is there too
    far, nearest = tree.query(middle + radius[:, None] * normal)
    beyond = np.hypot(*(every[nearest] - middle).T) - radius
    fits = (far <= spacing_mm) & (radius > 4 * spacing_mm) & (radius < 0.5 * WIDEST_MM)
    fits &= beyond <= spacing_mm**2 / (4 * radius)
    opposed = np.isfinite(seen) & (seen <= OPPOSED)
    # a disc that a corner stopped short of the far side is as much smaller than what is there
    thick = 2 * radius + np.where(fits & ~opposed, np.maximum(beyond, 0.0), 0.0)
    opposed |= fits
    # a square is as thick as the largest disc in it, which touches no two opposed places
    largest = np.full(run_of[-1] + 1, 0.0)
    np.maximum.at(largest, run_of, radius)
    without = np.ones(len(largest), dtype=bool)
    without[run_of[opposed]] = False
    opposed |= without[run_of] & (radius == largest[run_of]) & (radius < 0.5 * WIDEST_MM)
    if not opposed.any():
        return None
    which = np.flatnonzero(opposed)[np.argmin(thick[opposed])]
    x, y = middle[which].tolist()
    mm = float(thick[which])
    return Thin(mm=mm, at_mm=(x, y), over_mm=min(mm, spacing_mm**2 / (4 * mm)))
