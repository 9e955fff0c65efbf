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
from ringgeom.form.drawing import Drawing, Mark
from ringgeom.form.ring import Ring
from ringgeom.form.root import bracketed_root
from ringgeom.form.spans import SAME_MM
from ringgeom.form.tapered import named

NODES_A_WAVE = 64
"""Samples over the fastest wave; 16 already reach 1e-9 on the reference pieces."""

GAUSS = {size: np.polynomial.legendre.leggauss(size) for size in (10, 14, 20)}
"""Gauss's rule for stretches up to an eighth, a third, and all of the longest."""

KINK = 1e-12
"""How exactly a kink is found [rad, mm]: what a volume misses goes with the square of it."""

SCAN_A_WAVE = 48
NEVER_APART_MM = 1e-12
"""Cuts that stay this close are one and do not cross."""

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
    size = SCAN_A_WAVE * fastest(ring) * 2
    scan = np.linspace(0.0, 2 * pi, size + 1) + OFF_BEAT
    if taper is None:
        return _crossings(ring, scan, _cuts(ring, scan, with_stock), with_stock)
    if not ring.waves:
        scan = np.array(taper.between(SCAN_A_STATION))
    runs = _runs(ring, scan, with_stock)
    found = [np.array(taper.angles)]
    found += [_crossings(ring, scan[which], rows, with_stock) for which, rows in runs if rows.size]
    found += [_parting(ring, scan, int(which[0]), with_stock) for which, _ in runs if which[0]]
    return np.unique(np.concatenate(found))


def _crossings(ring: Ring, scan: Array, rows: Array, with_stock: bool) -> Array:
    """Where two cuts change places between two angles of a scan."""
    moving = np.flatnonzero(np.ptp(rows, axis=1) > SAME_MM)
    found = []
    for i in moving:
        apart = rows[i] - rows
        apart[np.abs(apart) < NEVER_APART_MM] = 0.0
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
        rows = _cuts(ring, angles, with_stock, 1 + int(max(i.max(), j.max())))
        # one that is gone between two angles of the scan ends the search
        difference: Array = np.nan_to_num(rows[i, each] - rows[j, each])
        return difference

    met = bracketed_root(apart, low, high, KINK)
    return np.unique(np.round(met % (2 * pi), 13))


def _cuts(ring: Ring, angles: Array, with_stock: bool, least: int = 0) -> Array:
    """Every cut at some angles, shape (cuts, angles) [mm].

    Not a number, up to `least` rows, where a band that tapers has fewer of them.
    """
    if ring.form.taper is not None:
        columns = [
            cuts[:, 0]
            for k in range(angles.size)
            for _, _, cuts in named(
                ring.layouts(angles[k : k + 1], with_stock), angles[k : k + 1]
            ).values()
        ]
        most = max(least, *(column.size for column in columns))
        rows = np.full((most, angles.size), np.nan)
        for at, column in enumerate(columns):
            rows[: column.size, at] = column
        return rows
    drawn = Drawing(
        ring.frame(with_stock=with_stock), ring.finished, ring.claims, angles, ring.twist
    )
    matrix = drawn.cut_matrix()
    return np.broadcast_to(matrix, (len(matrix), angles.size))


def _runs(ring: Ring, scan: Array, with_stock: bool) -> list[tuple[Whole, Array]]:
    """Unbroken runs of a scan over which a band that tapers keeps the same cuts."""
    runs: list[tuple[Whole, Array]] = []
    for which, _, cuts in named(ring.layouts(scan, with_stock), scan).values():
        breaks = np.flatnonzero(np.diff(which) > 1) + 1
        columns = np.split(np.arange(which.size), breaks)
        runs += [(which[some], cuts[:, some]) for some in columns]
    return sorted(runs, key=lambda run: int(run[0][0]))


def _parting(ring: Ring, scan: Array, at: int, with_stock: bool) -> Array:
    """The angle, before one of a scan, from which on its cuts are those of there."""
    low, high = float(scan[at - 1]), float(scan[at])

    def marks(angle: float) -> tuple[Mark, ...]:
        (found,) = named(ring.layouts(np.array([angle]), with_stock), np.array([angle]))
        return found

    after = marks(high)
    while high - low > 1e-12:
        middle = 0.5 * (low + high)
        low, high = (low, middle) if marks(middle) == after else (middle, high)
    return np.array([round(high % (2 * pi), 13)])
