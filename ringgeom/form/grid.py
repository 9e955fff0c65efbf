"""The one angle grid that every part of a ring shares, so that mating walls share facets."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import ceil, hypot, inf, pi, sqrt

import numpy as np

from ringgeom.errors import ShapeError
from ringgeom.form.curve import Arc, Array, Whole, chord_angle
from ringgeom.form.ring import Ring
from ringgeom.form.wave import Wave

FULL_TURN = 2 * pi

CHORD_MM = 0.005
"""Default chord error of every mesh; a twentieth of a finishing stock."""


@dataclass(frozen=True, slots=True)
class Facets:
    """How fine a ring is meshed: the chord error allowed, the angles that keep it [rad]."""

    chord_mm: float
    step: float
    angles: Array


def facets(ring: Ring, chord_mm: float = CHORD_MM, *, with_stock: bool = False) -> Facets:
    """The angle grid of a ring. Chord errors round and across add, so each has half."""
    frame = ring.frame(with_stock=with_stock)
    bends = [
        curve.bend_mm
        for chain in (frame.bore, frame.outside)
        for curve, low, high in chain.pieces()
        if isinstance(curve, Arc) and (curve.z_mm == 0.0 or _waved_over(ring, curve, low, high))
    ]
    step = largest_step(
        radius_mm=frame.top.extremes_mm()[1],
        waves=ring.waves,
        chord_mm=chord_mm / 2,
        bend_mm=min(bends, default=inf),
        steepest_mm=ring.form.taper.steepest_mm if ring.form.taper else (0.0, 0.0),
    )
    return Facets(chord_mm, step, angle_grid(step=step, knots=ring.knots()))


def _waved_over(ring: Ring, curve: Arc, low_mm: float, high_mm: float) -> bool:
    """Whether a waving wall comes to an arc of the form's own, off mid-width."""
    if curve.bend_mm == ring.form.edge_mm:
        return False
    return any(
        wall.at_mm - wall.wave.amplitude_mm - wall.undercut_mm < high_mm
        and wall.at_mm + wall.wave.amplitude_mm + wall.undercut_mm > low_mm
        for claim in ring.claims
        for reach in (claim.takes, claim.fills)
        for wall in reach.walls
        if wall.wave is not None
    )


def largest_step(
    *,
    radius_mm: float,
    waves: Iterable[Wave],
    chord_mm: float,
    bend_mm: float = inf,
    steepest_mm: tuple[float, float] = (0.0, 0.0),
) -> float:
    """Largest step of angle that keeps every chord round the ring within `chord_mm` [rad].

    A wave's own bend, not the circle, may govern: a chord of step s misses a curve by
    |second derivative| s^2 / 8. On a dome of a given bend the wave may drift over no more
    than a third of the chord that the dome allows, and so may its edges where the band tapers.

    Parameters
    ----------
    steepest_mm : tuple of float
        Of a taper, its steepest change and sharpest bend [mm/rad, mm/rad2].
    """
    slope, bent = steepest_mm
    step = chord_angle(radius_mm, chord_mm)
    if bent > 0:
        step = min(step, sqrt(8 * chord_mm / (radius_mm + bent)))
    if bend_mm < inf and slope > 0:
        step = min(step, bend_mm * chord_angle(bend_mm, chord_mm) / 3 / slope)
    for wave in waves:
        bend = hypot(radius_mm, wave.amplitude_mm * wave.count**2)
        step = min(step, sqrt(8 * chord_mm / bend))
        if bend_mm < inf:
            step = min(step, bend_mm * chord_angle(bend_mm, chord_mm) / 3 / wave.steepest())
    return step


def angle_grid(*, step: float, knots: Iterable[float] = ()) -> Array:
    """Angles once round the ring, no step larger than `step`, every knot among them [rad]."""
    stops = sorted(
        {round(knot % FULL_TURN, 12): knot % FULL_TURN for knot in (0.0, *knots)}.items()
    )
    starts = [angle for _, angle in stops]
    pieces = []
    for start, end in zip(starts, [*starts[1:], FULL_TURN], strict=True):
        count = max(1, ceil((end - start) / step - 1e-9))
        pieces.append(start + (end - start) * np.arange(count) / count)
    return np.concatenate(pieces)


def all_round(ends: tuple[float, float]) -> bool:
    """Whether two angles are a whole turn apart [rad]."""
    return abs(ends[1] - ends[0] - FULL_TURN) < 1e-12


def grid_run(angles: Array, start: float, end: float) -> Whole:
    """Indices of a grid from one knot to the next [rad], first and last included."""
    first, last = (_nearest(angles, angle) for angle in (start, end))
    return np.arange(first, last + 1 if last > first else last + angles.size + 1) % angles.size


def _nearest(angles: Array, angle: float) -> int:
    """Index of a knot in the grid.

    Raises
    ------
    ShapeError
        The angle is not a knot.
    """
    away = np.abs((angles - angle + np.pi) % FULL_TURN - np.pi)
    index = int(np.argmin(away))
    if away[index] > 1e-9:
        raise ShapeError(f"no facet joint at {np.degrees(angle):.6f} degrees")
    return index
