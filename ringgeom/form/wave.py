"""The wave of a wall: z = amplitude sin(count angle + phase)."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ringgeom.form.curve import Array

NEWTON_STEPS = 40


@dataclass(frozen=True, slots=True)
class Wave:
    """A sine round the ring; `count` whole waves, phase in radians."""

    amplitude_mm: float
    count: int
    phase: float

    def z(self, angle: Array) -> Array:
        """How far the wave has moved the wall at every angle [rad] [mm]."""
        return self.amplitude_mm * np.sin(self.count * angle + self.phase)

    def steepest(self) -> float:
        """Largest slope dz/d(angle) [mm/rad]."""
        return abs(self.amplitude_mm) * self.count

    def crests(self) -> Array:
        """Angles of its crests and troughs within the turn [rad]."""
        turns = np.pi * (np.arange(2 * self.count) + 0.5)
        found: Array = (turns - self.phase) / self.count % (2 * np.pi)
        return found

    def on_slant(self, at_mm: float, angle: Array, twist: float) -> Array:
        """z of the wall at `at_mm` seen along a slanted cut, angle = cut + twist z.

        Solves z = at + wave(angle + twist z) by Newton; unique while the wall's
        slope times the twist stays below one.
        """
        z = at_mm + self.z(angle)
        if twist == 0.0:
            return z
        for _ in range(NEWTON_STEPS):
            turn = self.count * (angle + twist * z) + self.phase
            miss = z - at_mm - self.amplitude_mm * np.sin(turn)
            step = miss / (1 - self.amplitude_mm * self.count * twist * np.cos(turn))
            z = z - step
            if np.abs(step).max() < 1e-14:
                break
        return z
