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

from ringgeom.form.curve import Array
from ringgeom.form.drawing import Drawing
from ringgeom.form.kinks import KINK, almost, changes, distinct, tapered_kinks
from ringgeom.form.ring import Ring
from ringgeom.form.root import bracketed_root

NODES_A_WAVE = 64
"""Samples over the fastest wave; 16 already reach 1e-9 on the reference pieces."""

GAUSS = {size: np.polynomial.legendre.leggauss(size) for size in (10, 14, 20)}
"""Gauss's rule for stretches up to an eighth, a third, and all of the longest."""

SCAN_A_WAVE = 48
SCAN_A_STATION = 12
"""Angles looked at between two stations of a taper: all that it moves moves one way there."""

OFF_BEAT = 0.0013579
"""Start of the scan [rad]: a crossing that falls on a node of it would not be seen to cross."""


def full_turn(ring: Ring, kinks: Array) -> tuple[Array, Array]:
    """Angles and weights once round; the weights add up to a full turn [rad]."""
    if not ring.turns:
        return np.zeros(1), np.array([2 * pi])
    if kinks.size:
        return part_turn(ring, 0.0, 2 * pi, kinks)
    counts = [wave.count for wave in ring.waves]
    common = gcd(*counts)
    size = NODES_A_WAVE * (max(counts) // common)
    angles: Array = 2 * pi / common / size * np.arange(size, dtype=np.float64)
    weights: Array = np.full(size, 2 * pi / size)
    return angles, weights


def part_turn(ring: Ring, start: float, end: float, kinks: Array) -> tuple[Array, Array]:
    """Angles and weights from one angle to another [rad]."""
    if not ring.turns:
        return np.array([start]), np.array([end - start])
    # never more than a quarter of the fastest wave in one piece
    longest = pi / 2 / fastest(ring)
    stops = [start, *kinks[(kinks > start) & (kinks < end)], end]
    angles: list[Array] = []
    weights: list[Array] = []
    for a, b in pairwise(stops):
        pieces = max(1, ceil((b - a) / longest))
        half = (b - a) / pieces / 2
        share = 2 * half / longest
        nodes, shares = GAUSS[10 if share < 1 / 8 else 14 if share < 1 / 3 else 20]
        for middle in a + half * (2 * np.arange(pieces) + 1):
            angles.append(middle + half * nodes)
            weights.append(half * shares)
    return np.concatenate(angles), np.concatenate(weights)


def fastest(ring: Ring) -> int:
    """How often the fastest wave goes round; once where only the band tapers."""
    return max((wave.count for wave in ring.waves), default=1)


def kinks(ring: Ring, *, with_stock: bool) -> Array:
    """Angles at which two cuts change places, sorted, within one turn [rad].

    Of a band that tapers also its stations, where its bend jumps, and where its curves meet
    other cuts than before.
    """
    if not ring.turns:
        return np.empty(0)
    found: Array = ring.once(("kinks", with_stock), _kinks, ring, with_stock)
    return found


def _kinks(ring: Ring, with_stock: bool) -> Array:
    taper = ring.form.taper
    step = pi / SCAN_A_WAVE / fastest(ring)
    # a step past the turn at either end, so that crests there are seen from both their sides
    scan: Array = OFF_BEAT + step * np.arange(-1.0, round(2 * pi / step) + 2.0)
    if taper is not None:
        if not ring.waves:
            some = taper.between(SCAN_A_STATION)
            scan = np.array([*some, some[0] + 2 * pi])
        return tapered_kinks(ring, scan, with_stock)

    def cuts(angles: Array) -> Array:
        frame = ring.frame(with_stock=with_stock)
        matrix = Drawing(frame, ring.finished, ring.claims, angles, ring.twist).cut_matrix()
        return np.broadcast_to(matrix, (len(matrix), angles.size))

    rows = cuts(scan)
    while more := almost(rows, scan):
        scan = np.unique(np.concatenate([scan, more]))
        rows = cuts(scan)
    i, j, at = changes(rows).T
    each = np.arange(at.size)

    def apart(angles: Array) -> Array:
        rows = cuts(angles)
        difference: Array = rows[i, each] - rows[j, each]
        return difference

    if not at.size:
        return np.empty(0)
    return distinct(bracketed_root(apart, scan[at], scan[at + 1], KINK), OFF_BEAT)
