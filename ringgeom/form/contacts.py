"""Where parts meet: every joint of the partition, its area, its radii and its width.

A face of an inserted part and the face of its neighbour across the gap are one joint. Its
area is that of the neighbour, the one that the part is fitted into.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import cos

import numpy as np

from ringgeom.form.claim import Wall
from ringgeom.form.curve import Array, Curve
from ringgeom.form.outline import Edge, outlines
from ringgeom.form.quadrature import full_turn, kinks
from ringgeom.form.ring import Ring
from ringgeom.form.section import Owner, Section
from ringgeom.form.taper import Taper

NODES, WEIGHTS = np.polynomial.legendre.leggauss(12)
UPRIGHT = 1.0
"""A face that leans more than this, radius against width, is a wall; less, a floor."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Contact:
    """A joint between two owners.

    Attributes
    ----------
    inserted, host : Owner
        Who carries the gap, and who it is fitted to. Where two parts touch without a gap, the
        one written first is inserted.
    kind : str
        ``floor``: a cylinder or dome below the inserted part; ``ceiling``: above it; ``wall``.
    side : int
        Of a wall: -1 where the host lies at smaller z, +1 at larger z; else 0.
    area_mm2 : float
        Area of the host's face, once round the ring [mm2].
    gap_mm : float
        Width of the joint, square to the face; negative is a press fit [mm].
    r_low_mm, r_high_mm, z_low_mm, z_high_mm : float
        Extent of the joint [mm].
    """

    inserted: Owner
    host: Owner
    kind: str
    side: int
    area_mm2: float
    gap_mm: float
    r_low_mm: float
    r_high_mm: float
    z_low_mm: float
    z_high_mm: float


Key = tuple[Owner, Owner, str, int]


def contacts(ring: Ring) -> tuple[Contact, ...]:
    """Every joint of a ring, in the order of its parts; segments' own joints apart.

    Exact for cylinders and flat walls; waving walls and domes by quadrature. The lean that a
    wave gives an undercut wall round the ring is left out, and that which a taper gives floors
    (under a thousandth).
    """
    found: tuple[Contact, ...] = ring.once(("contacts",), _contacts, ring)
    return found


def _contacts(ring: Ring) -> tuple[Contact, ...]:
    angles, weights = full_turn(ring, kinks(ring, with_stock=False))
    areas: dict[Key, float] = {}
    extents: dict[Key, list[Array]] = {}
    for which, section in ring.sections(angles):
        for edge in outlines(section).edges:
            for inserted, host, inner in _pairs(section, edge):
                kind = _kind(edge, inner)
                # the two walls of a part are two joints: with its neighbour before and after it
                side = 0 if kind != "wall" else _side(ring, edge, inserted, inner)
                key = inserted, host, kind, side
                area = _area(ring, edge, angles[which])
                areas[key] = areas.get(key, 0.0) + float(np.sum(area * weights[which]))
                ends = (edge.start.r, edge.end.r, edge.start.z, edge.end.z)
                extents.setdefault(key, []).append(
                    np.array([[part.min(), part.max()] for part in ends])
                )
    found = []
    for key in sorted(areas, key=lambda k: (_rank(k[0]), _rank(k[1]), k[2], k[3])):
        if areas[key] <= 1e-9:
            continue
        inserted, host, kind, side = key
        corners = np.stack(extents[key])
        radii, heights = corners[:, :2], corners[:, 2:]
        found.append(
            Contact(
                inserted=inserted,
                host=host,
                kind=kind,
                side=side,
                area_mm2=areas[key],
                gap_mm=_gap(ring, inserted, kind),
                r_low_mm=float(radii.min()),
                r_high_mm=float(radii.max()),
                z_low_mm=float(heights.min()),
                z_high_mm=float(heights.max()),
            )
        )
    return tuple(found)


def _pairs(section: Section, edge: Edge) -> Iterator[tuple[Owner, Owner, bool]]:
    """(inserted, host, whether the inserted part lies on the inner or lower side) of an edge."""
    left, right = (
        {owner for i in cells if i >= 0 for owner in section.cells[i].owners}
        for cells in (edge.left, edge.right)
    )
    for mine, other, inner in ((left, right, True), (right, left, False)):
        for owner in mine:
            if owner.kind == "gap":
                me = Owner("part", owner.claim)
                yield from ((me, host, inner) for host in _metal(other) if host != me)
    if any(owner.kind in ("gap", "recess", "joint") for owner in left | right):
        return
    both, once = left & right, left ^ right
    for one in _metal(once):
        if not both:
            pairs = [_ordered(one, two, one_inner=True) for two in _metal(right) if one in left]
        else:
            # a press fit: the metal of one goes on across the edge where the other begins
            pairs = [_ordered(one, two, one_inner=one in left) for two in _metal(both)]
            pairs = [(a, b, b_inner) for a, b, b_inner in pairs if b == one]
        yield from pairs


def _ordered(one: Owner, two: Owner, *, one_inner: bool) -> tuple[Owner, Owner, bool]:
    if _rank(one) <= _rank(two):
        return one, two, one_inner
    return two, one, not one_inner


def _metal(owners: set[Owner]) -> list[Owner]:
    return [owner for owner in owners if owner.kind in ("part", "body")]


def _rank(owner: Owner) -> tuple[bool, int]:
    """Parts as written, the body last."""
    return owner.kind == "body", owner.claim


def _kind(edge: Edge, inner: bool) -> str:
    if edge.curve is None:
        return "wall"
    rise, run = (
        abs(edge.end.height - edge.start.height),
        float(np.abs(edge.end.z - edge.start.z).max()),
    )
    if rise > UPRIGHT * run:
        return "wall"
    # an edge runs to larger z with the inner cell on its left
    return "ceiling" if inner else "floor"


def _side(ring: Ring, edge: Edge, inserted: Owner, inner: bool) -> int:
    """-1 or +1: at which wall of the inserted part an edge lies."""
    if edge.curve is None:
        # an upright edge runs outwards, with larger z on its left
        return -1 if inner else 1
    walls = ring.claims[inserted.claim].fills.walls if inserted.claim >= 0 else ()
    middle = 0.5 * float((edge.start.z + edge.end.z).ravel()[0])
    nearest = min(walls, key=lambda wall: abs(wall.at_mm - middle), default=None)
    return nearest.out if nearest else 1


def _area(ring: Ring, edge: Edge, angles: Array) -> Array:
    """Area of an edge turned by a radian, at every angle [mm2/rad]."""
    if edge.curve is None:
        slope = _slope(ring, edge.start.z, angles)
        twisted = 1 + ring.twist * slope
        a, b = (np.minimum(edge.start.r, edge.end.r), np.maximum(edge.start.r, edge.end.r))
        found: Array = _cone(b, slope, twisted) - _cone(a, slope, twisted)
        return found
    return turned_mm2(edge.curve, edge.start.z, edge.end.z)


def _cone(r: Array, slope: Array, twisted: Array) -> Array:
    """Integral of sqrt((twisted r)^2 + slope^2) dr."""
    u = twisted * r
    found: Array = 0.5 * u * np.hypot(u, slope)
    steep = np.abs(slope) > 1e-12
    safe = np.where(steep, slope, 1.0)
    found = found + np.where(steep, 0.5 * safe**2 * np.arcsinh(u / np.abs(safe)), 0.0)
    return found / twisted


def turned_mm2(curve: Curve, z0: Array, z1: Array) -> Array:
    """Integral of r ds along a curve, by Gauss's rule; exact for cylinders and cones."""
    half, middle = 0.5 * np.abs(z1 - z0), 0.5 * (z0 + z1)
    total = np.zeros(np.broadcast(half, middle).shape)
    for node, weight in zip(NODES, WEIGHTS, strict=True):
        z = middle + half * node
        lean = (curve.r(z + 1e-6) - curve.r(z - 1e-6)) / 2e-6
        total = total + weight * half * curve.r(z) * np.hypot(1.0, lean)
    return total


def _slope(ring: Ring, z: Array, angles: Array) -> Array:
    """dz/d(cut angle) of the wall that lies at z [mm/rad]; 0 for a straight one."""
    if ring.form.taper is not None:
        return _tapered_slope(ring, ring.form.taper, z, angles)
    for claim in ring.claims:
        for reach in (claim.takes, claim.fills):
            for wall in reach.walls:
                wave = wall.wave
                if wave is None:
                    continue
                at = wall.z(angles, ring.twist)
                if np.abs(at - z).max() < 1e-9:
                    turn = wave.count * (angles + ring.twist * at) + wave.phase
                    steep = wave.amplitude_mm * wave.count * np.cos(turn)
                    found: Array = steep / (1 - steep * ring.twist)
                    return found
    return np.zeros(1)


def _tapered_slope(ring: Ring, taper: Taper, z: Array, angles: Array) -> Array:
    """The same where the band tapers: a wall keeps its share of the width, a gap its mm."""
    turns = angles.tolist()
    claims = [ring.at(angle).claims for angle in turns]
    for n, claim in enumerate(ring.claims):
        for name in ("takes", "fills"):
            for k in range(len(getattr(claim, name).walls)):
                walls: list[Wall] = [getattr(some[n], name).walls[k] for some in claims]
                at = np.array(
                    [w.z(np.array([t]), 0.0)[0] for w, t in zip(walls, turns, strict=True)]
                )
                if np.abs(at - z).max() >= 1e-9:
                    continue
                moved = at + np.array([wall.out * wall.inset_mm for wall in walls])
                found: Array = moved * np.array([taper.widening(angle) for angle in turns])
                found += np.array(
                    [
                        w.wave.amplitude_mm * w.wave.count * cos(w.wave.count * t + w.wave.phase)
                        if w.wave
                        else 0.0
                        for w, t in zip(walls, turns, strict=True)
                    ]
                )
                return found
    return np.zeros(1)


def _gap(ring: Ring, inserted: Owner, kind: str) -> float:
    """The gap that a part's place asks for on such a face [mm]."""
    if inserted.claim < 0:
        return 0.0
    claim = ring.claims[inserted.claim]
    if kind == "wall":
        insets = {wall.inset_mm for wall in claim.fills.walls}
        return max(insets, default=0.0, key=abs)
    pairs = (
        (claim.takes.floor_mm, claim.fills.floor_mm),
        (claim.fills.ceiling_mm, claim.takes.ceiling_mm),
    )
    low, high = pairs[0] if kind == "floor" else pairs[1]
    return 0.0 if low is None or high is None else high - low
