"""Volumes of a plainly read ring, by integrating the answers of `PlainRing.owners`.

Exact in the radius (all boundaries are sorted, each interval is asked in its middle), Gauss's
rule over the width between all corners and crossings, Gauss's rule round the ring.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import combinations

import numpy as np
from form.plain import TURN, Array, PlainRing

Key = tuple[str, int, int | None]
"""Kind (part, gap, joint, body, recess, doubled), number of the claim, segment."""

SCAN = 301
"""Heights at which two boundaries are compared for a crossing."""


def volumes(plain: PlainRing, *, panels: int = 8, nodes: int = 14) -> dict[Key, float]:
    """Volume of every owner and segment [mm3].

    `panels` of 4 angles to the fastest wave: where a wall crosses another the moment has a
    kink, and the error falls with the square of the panel only.
    """
    turns = panels * max(plain.waves) if plain.waves else 0
    whole = _integrated(plain, 0.0, TURN, turns, nodes)
    parted = {i for i, room in enumerate(plain.rooms) if room.count}
    found: dict[Key, float] = {
        (kind, i, None): value for (kind, i), value in whole.items() if i not in parted
    }
    for i in parted:
        room = plain.rooms[i]
        for n in range(room.count):
            start, after = n * TURN / room.count, (n + 1) * TURN / room.count
            ends = {"part": (start, after - room.gap), "gap": (start, after)}
            if room.gap > 0:
                ends["joint"] = (after - room.gap, after)
            for kind, (low, high) in ends.items():
                metal, share = "gap" if kind == "gap" else "part", (high - low) / TURN
                if turns:
                    some = _integrated(plain, low, high, max(2, round(turns * share)), nodes)
                    found[kind, i, n] = some[metal, i]
                else:
                    found[kind, i, n] = whole[metal, i] * share
    return found


def band_mm3(plain: PlainRing) -> float:
    """The whole band under its outside, by Pappus: 2 pi times the moment of its section."""
    stops = np.array(sorted({*plain.bore.stops(), *plain.outside.stops()}))
    stops = np.unique(np.clip(stops, -plain.half, plain.half))
    z, weight = _upright(stops[None], 40)
    return float(np.pi * ((plain.outside.r(z) ** 2 - plain.bore.r(z) ** 2) * weight).sum())


def _upright(stops: Array, nodes: int) -> tuple[Array, Array]:
    """Nodes and weights between stops (angles, n); good where an arc ends upright."""
    x, w = np.polynomial.legendre.leggauss(nodes)
    # z as the sine of an even angle takes out the square root at an arc's end
    share, slope = 0.5 * (1 + np.sin(np.pi / 2 * x)), np.pi / 4 * np.cos(np.pi / 2 * x)
    width = np.diff(stops, axis=1)[:, :, None]
    z = stops[:, :-1, None] + width * share
    return z.reshape(len(stops), -1), (width * slope * w).reshape(len(stops), -1)


def _integrated(
    plain: PlainRing, start: float, end: float, panels: int, nodes: int
) -> dict[tuple[str, int], float]:
    if not panels:
        return {k: float(v[0]) * TURN for k, v in moments(plain, np.zeros(1), nodes).items()}
    x, w = np.polynomial.legendre.leggauss(4)
    half = (end - start) / panels / 2
    a = (start + half * (1 + 2 * np.arange(panels)[:, None] + x)).ravel()
    weights = np.tile(half * w, panels)
    return {k: float(v @ weights) for k, v in moments(plain, a, nodes).items()}


def moments(plain: PlainRing, a: Array, nodes: int = 14) -> dict[tuple[str, int], Array]:
    """Integral of r dr dz over each owner along the slanted cut, at each angle [mm3/rad]."""
    z, weight = _upright(_stops(plain, a), nodes)
    angle = a[:, None] + plain.twist * z
    radii = np.array([np.broadcast_to(curve(angle, z), z.shape) for curve in _curves(plain)])
    radii.sort(axis=0)
    middle, ring = 0.5 * (radii[1:] + radii[:-1]), 0.5 * np.diff(radii**2, axis=0)
    found = plain.owners(middle, angle[None], z[None])
    return {k: np.einsum("kaz,kaz,az->a", ring, mask, weight) for k, mask in found.items()}


def _curves(plain: PlainRing) -> list[Callable[[Array, Array], Array]]:
    """Every boundary as a radius over (angle, z)."""

    def level(radius: float) -> Callable[[Array, Array], Array]:
        return lambda a, z: np.full(np.shape(z), radius)

    found = [
        lambda a, z: plain.bore.r(z),
        lambda a, z: plain.outside.r(z),
        lambda a, z: plain.outside.r(z) + plain.proud,
    ]
    levels = {x for room in plain.rooms for x in (*room.takes_r, *room.fills_r)}
    found += [level(radius) for radius in sorted(levels - {0.0, np.inf})]
    for room in plain.rooms:
        found += [side.r for side in (*room.takes, *room.fills) if side.r is not None]
    return found


def _stops(plain: PlainRing, a: Array) -> Array:
    """Every z at which the answer changes its kind, shape (angles, stops), sorted."""
    rows = [np.full(a.size, z) for z in {*plain.bore.stops(), *plain.outside.stops()}]
    for room in plain.rooms:
        for side in (*room.takes, *room.fills):
            if side.head is not None:
                rows.append(_on_cut(side.head, a, plain.twist))
            elif side.r is None:
                rows.append(_on_cut(lambda angle, z=side.z: z(angle, angle), a, plain.twist))
    curves = _curves(plain)
    scan = np.linspace(-plain.half, plain.half, SCAN)
    angles = a[:, None] + plain.twist * scan
    at = [np.broadcast_to(curve(angles, scan[None, :]), angles.shape) for curve in curves]
    for one, two in combinations(range(len(curves)), 2):
        over = at[one] > at[two]
        where, step = np.nonzero(over[:, :-1] != over[:, 1:])
        if not where.size:
            continue
        low, high, was = scan[step], scan[step + 1], over[where, step]
        for _ in range(50):
            z = 0.5 * (low + high)
            angle = a[where] + plain.twist * z
            same = (curves[one](angle, z) > curves[two](angle, z)) == was
            low, high = np.where(same, z, low), np.where(same, high, z)
        nth = np.arange(where.size) - np.searchsorted(where, where)
        for n in range(int(nth.max()) + 1):
            row = np.full(a.size, plain.half)
            row[where[nth == n]] = (0.5 * (low + high))[nth == n]
            rows.append(row)
    return np.sort(np.clip(np.array(rows).T, -plain.half, plain.half), axis=1)


def _on_cut(wall: Callable[[Array], Array], a: Array, twist: float) -> Array:
    """z of an upright wall along the slanted cut, by halving; the wall is met once."""
    if twist == 0.0:
        return wall(a)
    low, high = np.full(a.size, -200.0), np.full(a.size, 200.0)
    for _ in range(60):
        z = 0.5 * (low + high)
        past = z > wall(a + twist * z)
        low, high = np.where(past, low, z), np.where(past, z, high)
    return 0.5 * (low + high)
