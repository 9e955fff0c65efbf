"""Angles and weights that integrate a section round the ring.

A smooth section repeats, so equal steps over one period converge faster than any power of
the step. Where the order of the cuts changes (a wave passing under a corner or over a
stripe's boundary) the moment has a kink; the turn is parted there and Gauss's rule used
between the kinks.
"""

from __future__ import annotations

from itertools import pairwise
from math import ceil, gcd, pi

import numpy as np

from ringgeom.form.curve import Array, Whole
from ringgeom.form.drawing import Drawing
from ringgeom.form.ring import Ring
from ringgeom.form.root import bracketed_root
from ringgeom.form.spans import SAME_MM

NODES_A_WAVE = 64
"""Samples over the fastest wave; 16 already reach 1e-9 on the reference pieces."""

GAUSS_NODES, GAUSS_WEIGHTS = np.polynomial.legendre.leggauss(20)
SCAN_A_WAVE = 48
OFF_BEAT = 0.0013579
"""Start of the scan [rad]: a crossing that falls on a node of it would not be seen to cross."""


def full_turn(ring: Ring, kinks: Array) -> tuple[Array, Array]:
    """Angles and weights once round; the weights add up to a full turn [rad]."""
    counts = [wave.count for wave in ring.waves]
    if not counts:
        return np.zeros(1), np.array([2 * pi])
    if kinks.size:
        return part_turn(ring, 0.0, 2 * pi, kinks)
    common = gcd(*counts)
    size = NODES_A_WAVE * (max(counts) // common)
    angles: Array = 2 * pi / common / size * np.arange(size, dtype=np.float64)
    weights: Array = np.full(size, 2 * pi / size)
    return angles, weights


def part_turn(ring: Ring, start: float, end: float, kinks: Array) -> tuple[Array, Array]:
    """Angles and weights from one angle to another [rad]."""
    if not ring.waves:
        return np.array([start]), np.array([end - start])
    # never more than a quarter of the fastest wave in one piece
    longest = pi / 2 / max(wave.count for wave in ring.waves)
    stops = [start, *kinks[(kinks > start) & (kinks < end)], end]
    angles: list[Array] = []
    weights: list[Array] = []
    for a, b in pairwise(stops):
        pieces = max(1, ceil((b - a) / longest))
        half = (b - a) / pieces / 2
        for middle in a + half * (2 * np.arange(pieces) + 1):
            angles.append(middle + half * GAUSS_NODES)
            weights.append(half * GAUSS_WEIGHTS)
    return np.concatenate(angles), np.concatenate(weights)


def kinks(ring: Ring, *, with_stock: bool) -> Array:
    """Angles at which two cuts change places, sorted, within one turn [rad]."""
    if not ring.waves:
        return np.empty(0)
    found: Array = ring.once(("kinks", with_stock), _kinks, ring, with_stock)
    return found


def _kinks(ring: Ring, with_stock: bool) -> Array:
    size = SCAN_A_WAVE * max(wave.count for wave in ring.waves) * 2
    scan = np.linspace(0.0, 2 * pi, size + 1) + OFF_BEAT
    rows = _cuts(ring, scan, with_stock)
    moving = np.flatnonzero(np.ptp(rows, axis=1) > SAME_MM)
    found = []
    for i in moving:
        apart = rows[i] - rows
        crosses = apart[:, :-1] * apart[:, 1:] < 0
        crosses[moving[moving <= i]] = False
        found += [(i, j, at) for j, at in np.argwhere(crosses)]
    if not found:
        return np.empty(0)
    return _refined(ring, np.array(found), scan, with_stock)


def _refined(ring: Ring, found: Whole, scan: Array, with_stock: bool) -> Array:
    i, j, at = found.T
    each = np.arange(len(found))
    low, high = scan[at], scan[at + 1]

    def apart(angles: Array) -> Array:
        rows = _cuts(ring, angles, with_stock)
        difference: Array = rows[i, each] - rows[j, each]
        return difference

    met = bracketed_root(apart, low, high)
    return np.unique(np.round(met % (2 * pi), 13))


def _cuts(ring: Ring, angles: Array, with_stock: bool) -> Array:
    drawn = Drawing(
        ring.frame(with_stock=with_stock), ring.finished, ring.claims, angles, ring.twist
    )
    matrix = drawn.cut_matrix()
    return np.broadcast_to(matrix, (len(matrix), angles.size))
