"""Where a leaning wall meets a face: in closed form on cylinders, cones, arcs and risers."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

import numpy as np

from ringgeom.form.curve import Arc, Array, Cone, Curve, Flat, Whole
from ringgeom.form.frame import Chain
from ringgeom.form.root import bracketed_root
from ringgeom.form.slope import Slope

REACH_MM = 0.01
"""How far past the highest radius of the face a head is looked for."""

SAME_MM = 1e-12
"""Radii of wall and face at their meeting agree to this: rounding of a number of that size."""


def meetings(slopes: Sequence[Slope], outs: Sequence[int], face: Chain) -> list[Array]:
    """`meeting` of many walls with one face, worked out together."""
    if not slopes:
        return []
    sizes = [slope.z0.size for slope in slopes]
    names = ("r0", "z0", "lean")
    rows = [np.concatenate([getattr(slope, name) for slope in slopes]) for name in names]
    found = meeting(Slope(*rows), np.repeat(outs, sizes), face)
    return np.split(found, np.cumsum(sizes)[:-1])


def meeting(slope: Slope, out: int | Whole, face: Chain) -> Array:
    """z where a leaning wall first meets a face above its foot, at every angle [mm].

    A wall that starts above it has its head at its foot. Where no closed form is near enough,
    the root is bracketed.

    Parameters
    ----------
    out : int or Array
        -1 or 1: which way along the axis the metal's outside lies; the wall leans back from it.
    """
    foot = slope.z0
    starts_above = slope.r(foot) >= face.r(foot)
    crest = max(face.extremes_mm()[1], float(np.max(slope.r0)))
    head = foot - out * np.abs((crest - slope.r0) / slope.lean) - out * REACH_MM
    met = np.full_like(foot, np.nan)
    for found in (*_on_curves(slope, face), *_on_risers(slope, face)):
        between = ((found - foot) * out <= 0) & ((found - head) * out >= 0)
        nearer = np.isnan(met) | (np.abs(found - foot) < np.abs(met - foot))
        met = np.where(between & nearer, found, met)
    unclear = ~starts_above & np.isnan(met)
    if unclear.any():
        root = bracketed_root(lambda z: slope.r(z) - face.r(z), foot, head)
        met = np.where(unclear, root, met)
    return np.where(starts_above, foot, met)


def over_steps(slopes: Sequence[Slope], face: Chain) -> list[Array]:
    """z where leaning walls pass the lower curve beside each step of a face, carried on [mm].

    A wall that comes out of a lower ledge may pass into the riser beside it, and out again above.
    """
    found = []
    for stop, lower, _ in face.steps():
        passed = [_passes(slope, lower) for slope in slopes]
        found += [np.where(np.isnan(z), stop, z) for z in passed]
    return found


def _on_curves(slope: Slope, face: Chain) -> Iterator[Array]:
    """Where the wall passes each curve of a face; nan where it does not [mm].

    Beyond its ends a face is carried on by its outermost curves.
    """
    last = len(face.curves) - 1
    for number, (curve, low, high) in enumerate(face.pieces()):
        found = _passes(slope, curve)
        outside = ((found < low) & (number > 0)) | ((found > high) & (number < last))
        off = np.abs(slope.r(found) - curve.r(found))
        yield np.where(outside | ~(off <= SAME_MM), np.nan, found)


def _on_risers(slope: Slope, face: Chain) -> Iterator[Array]:
    """Where the wall passes between the ends of two curves that do not meet [mm]."""
    for (before, _, stop), (after, _, _) in pairwise(face.pieces()):
        at = np.full_like(slope.z0, stop)
        wall, one, other = slope.r(at), before.r(at), after.r(at)
        yield np.where((wall - one) * (wall - other) <= 0, at, np.nan)


def _passes(slope: Slope, curve: Curve) -> Array:
    """Where a leaning line passes a curve carried on both ways; nan where it does not [mm]."""
    if isinstance(curve, Flat):
        return slope.z0 + (curve.radius_mm - slope.r0) / slope.lean
    if isinstance(curve, Cone):
        # measured from the foot, so that nothing of the ring's own size cancels
        above = curve.r_mm + curve.lean * (slope.z0 - curve.z_mm) - slope.r0
        return slope.z0 + above / (slope.lean - curve.lean)
    if isinstance(curve, Arc):
        # (k s + u)^2 + (s + v)^2 = b^2 over the height s above the foot, where k = 1 / lean
        k, u, low = 1 / slope.lean, slope.z0 - curve.z_mm, slope.r0 - curve.crest_mm
        twice = 2 * curve.side * curve.bend_mm
        half_b = k * u + low + twice / 2
        c = u**2 + low * (low + twice)
        square = half_b**2 - (1 + k**2) * c
        root = np.sqrt(np.where(square >= 0, square, np.nan))
        # of the two the one on the arc's own side of its centre
        s = -c / (half_b + np.where(half_b < 0, -root, root))
        return slope.z0 + k * s
    return np.full_like(slope.z0, np.nan)
