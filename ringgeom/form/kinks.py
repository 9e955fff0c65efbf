"""Angles at which two cuts change places, of a band that tapers too.

Of a band that tapers every angle is drawn by itself, and its curves meet now these cuts, now
others. A scan of the turn falls into runs with the same cuts; between two runs the angle is
looked for at which they change, and within a run two cuts are followed by what they are. Where
cuts come and go between two angles of the scan it is made finer.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from itertools import groupby, pairwise
from math import pi

import numpy as np

from ringgeom.form.curve import Array, Whole
from ringgeom.form.drawing import Mark, cut_marks
from ringgeom.form.ring import Ring
from ringgeom.form.root import bracketed_root
from ringgeom.form.spans import SAME_MM
from ringgeom.form.tapered import named

KINK = 1e-12
"""How exactly a kink is found [rad, mm]: what a volume misses goes with the square of it."""

NEVER_APART_MM = 1e-12
"""Cuts that stay this close are one and do not cross."""

FINEST = 1e-7
"""Angles of a scan are not set closer than this [rad]."""

CLOSEST = 1e-4
"""Where cuts almost touch no angle is added nearer to another than this [rad]."""

Name = tuple[Mark, int]
"""A cut: its mark, and which of those with this mark."""

WALLS: tuple[Mark, ...] = (("wall",),)
"""The mark of all cuts that walls make, which come last and are always as many."""


def changes(rows: Array) -> Whole:
    """Where two of some cuts change places: (one, other, last angle before), shape (n, 3)."""
    moving = np.flatnonzero(np.ptp(rows, axis=1) > SAME_MM)
    found: list[tuple[int, int, int]] = []
    for i in moving.tolist():
        apart = rows[i] - rows
        apart[np.abs(apart) < NEVER_APART_MM] = 0.0
        crosses = apart[:, :-1] * apart[:, 1:] < 0
        crosses[moving[moving <= i]] = False
        found += [(i, j, at) for j, at in np.argwhere(crosses).tolist()]
    return np.array(found, dtype=int).reshape(-1, 3)


def almost(rows: Array, angles: Array) -> list[float]:
    """Angles between those of a scan at which two cuts would touch or just have changed places.

    Two that come near and part again are drawn as a parabola through three angles; its nearest
    point is given where it lies across, or nearly.
    """
    if angles.size < 3:
        return []
    left, right = np.diff(angles)[:-1], np.diff(angles)[1:]
    wide = left + right > CLOSEST
    found: list[float] = []
    for i in np.flatnonzero(np.ptp(rows, axis=1) > SAME_MM).tolist():
        apart = rows[i] - rows
        before, here, after = apart[:, :-2], apart[:, 1:-1], apart[:, 2:]
        way = np.sign(here)
        nearest = (here * way <= before * way) & (here * way <= after * way) & (before * way > 0)
        j, at = np.nonzero(nearest & (after * way > 0) & wide)
        if not at.size:
            continue
        up = (before[j, at] - here[j, at]) / left[at]
        down = (after[j, at] - here[j, at]) / right[at]
        bend = (up + down) / (left + right)[at]
        lean = (down * left[at] - up * right[at]) / (left + right)[at]
        step = np.divide(-lean, 2 * bend, out=np.zeros_like(bend), where=bend != 0)
        least = (here[j, at] - bend * step**2) * way[j, at]
        across = least < 0.05 * np.abs(here[j, at] - before[j, at])
        # where it is looked at already nothing is gained
        off = (step > -0.99 * left[at]) & (step < 0.99 * right[at]) & (np.abs(step) > CLOSEST)
        found += (angles[1:-1][at] + step)[across & off].tolist()
    return found


def distinct(angles: Array, start: float) -> Array:
    """Those of some angles that lie in the turn from `start` on, sorted, each once [rad]."""
    turn = angles[(angles >= start) & (angles < start + 2 * pi)]
    return np.unique(np.round(turn % (2 * pi), 13))


def tapered_kinks(ring: Ring, scan: Array, with_stock: bool) -> Array:
    """Kinks of a band that tapers, its stations among them.

    Parameters
    ----------
    scan : Array
        Rising angles at which the turn is looked at first [rad].
    """
    assert ring.form.taper is not None
    cuts = _Cuts(ring, with_stock)
    runs = _unbroken(cuts, scan)
    found = [_crossings(cuts, run) for run in runs]
    found.append(np.array([run[0] for run in runs[1:]]))
    start = float(scan[1] if ring.waves else scan[0])
    stations = np.array(ring.form.taper.angles)
    return np.union1d(stations, distinct(np.concatenate(found), start))


class _Cuts:
    """The cuts of a band that tapers at any angle, each drawn once."""

    def __init__(self, ring: Ring, with_stock: bool) -> None:
        self._ring, self._with_stock = ring, with_stock
        self._known: dict[float, tuple[tuple[Mark, ...], Array]] = {}
        self._names: dict[tuple[Mark, ...], dict[Name, int]] = {}

    def at(self, angle: float) -> tuple[tuple[Mark, ...], Array]:
        """What the cuts of an angle are, and their z [mm]."""
        if angle not in self._known:
            here = np.array([angle])
            layouts = self._ring.layouts(here, self._with_stock)
            ((marks, (_, _, cuts)),) = named(layouts, here).items()
            self._known[angle] = marks, cuts[:, 0]
        return self._known[angle]

    def marks(self, angle: float) -> tuple[Mark, ...]:
        """What the cuts of an angle are."""
        return self.at(angle)[0]

    def rows(self, angles: Sequence[float]) -> Array:
        """The cuts of angles at which they are the same, shape (cuts, angles) [mm]."""
        return np.column_stack([self.at(angle)[1] for angle in angles])

    def runs(self, scan: Array) -> list[list[float]]:
        """Unbroken runs of a scan over which the band keeps the same cuts."""
        return [list(some) for _, some in groupby(scan.tolist(), key=self.marks)]

    def names(self, angle: float) -> dict[Name, int]:
        """The rows of the cuts of an angle by what they are."""
        marks, column = self.at(angle)
        if marks not in self._names:
            seen: Counter[Mark] = Counter()
            found: dict[Name, int] = {}
            for mark in (*cut_marks(marks), *WALLS * column.size)[: column.size]:
                found[mark, seen[mark]] = len(found)
                seen[mark] += 1
            self._names[marks] = found
        return self._names[marks]

    def z_mm(self, angle: float, name: Name) -> float:
        """Where a cut is; not a number where it is not."""
        row = self.names(angle).get(name)
        return float("nan") if row is None else float(self.at(angle)[1][row])


def _unbroken(cuts: _Cuts, scan: Array) -> list[list[float]]:
    """Runs of the turn, each up to the very angle at which the next begins.

    The scan is made finer where cuts change places and others come and go between two angles,
    and where two almost touch.
    """
    settled: set[tuple[float, ...]] = set()
    while True:
        runs = cuts.runs(scan)
        more: list[float] = []
        for before, after in pairwise(runs):
            if after[0] - before[-1] > KINK:
                more += _parting(cuts, before[-1], after[0])
        for run in runs:
            if tuple(run) not in settled:
                settled.add(tuple(run))
                more += _unclear(cuts, run)
        if not more:
            return runs
        scan = np.unique(np.concatenate([scan, more]))


def _unclear(cuts: _Cuts, run: Sequence[float]) -> list[float]:
    """Angles between those of a run at which it wants to be looked at too."""
    rows = cuts.rows(run)
    found = almost(rows, np.array(run))
    for at in np.unique(changes(rows)[:, 2]).tolist():
        low, high = run[at : at + 2]
        middle = 0.5 * (low + high)
        if high - low > FINEST and cuts.marks(middle) != cuts.marks(low):
            found.append(middle)
    return found


def _crossings(cuts: _Cuts, run: Sequence[float]) -> Array:
    """Where two cuts change places between two angles of a run."""
    found = changes(cuts.rows(run))
    names = list(cuts.names(run[0]))
    pairs = [(names[i], names[j]) for i, j in found[:, :2].tolist()]

    def apart(angles: Array) -> Array:
        steps = zip(angles.tolist(), pairs, strict=True)
        values = [cuts.z_mm(at, one) - cuts.z_mm(at, other) for at, (one, other) in steps]
        # one that is gone between two angles of the run ends the search
        return np.where(np.isnan(values), 0.0, values)

    if not pairs:
        return np.empty(0)
    ends = np.array(run)
    return bracketed_root(apart, ends[found[:, 2]], ends[found[:, 2] + 1], KINK)


def _parting(cuts: _Cuts, low: float, high: float) -> tuple[float, float]:
    """The last angle before and the first of those from which on the cuts are as at the second."""
    after = cuts.marks(high)
    while high - low > KINK:
        middle = 0.5 * (low + high)
        low, high = (low, middle) if cuts.marks(middle) == after else (middle, high)
    return low, high
