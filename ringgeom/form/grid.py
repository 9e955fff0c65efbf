"""The one angle grid that every part of a ring shares, so that mating walls share facets."""

from __future__ import annotations

from collections.abc import Iterable
from math import ceil, hypot, pi, sqrt

import numpy as np

from ringgeom.form.curve import Array, chord_angle
from ringgeom.form.wave import Wave

FULL_TURN = 2 * pi


def largest_step(*, radius_mm: float, waves: Iterable[Wave], chord_mm: float) -> float:
    """Largest step of angle that keeps every chord round the ring within `chord_mm` [rad].

    A wave's own bend, not the circle, may govern: a chord of step s misses a curve by
    |second derivative| s^2 / 8.
    """
    step = chord_angle(radius_mm, chord_mm)
    for wave in waves:
        bend = hypot(radius_mm, wave.amplitude_mm * wave.count**2)
        step = min(step, sqrt(8 * chord_mm / bend))
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
