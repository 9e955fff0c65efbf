"""A wall that leans, which may wave: a straight line of the section for every angle."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import sqrt

import numpy as np

from ringgeom.form.curve import Array, Straight, Whole


@dataclass(frozen=True, slots=True)
class Slope(Straight):
    """A straight leaning wall, r = r0 + lean (z - z0); the three may vary with the angle."""

    r0: Array
    z0: Array
    lean: Array

    @property
    def key(self) -> tuple[float, ...]:
        return tuple(np.ravel([self.r0.flat[0], self.z0.flat[0], self.lean.flat[0]]))

    def r(self, z: Array) -> Array:
        return self.r0 + self.lean * (z - self.z0)

    def at(self, z: float, angle: int = 0) -> float:
        r0, z0, lean = (float(one[angle if one.size > 1 else 0]) for one in self._rows)
        return r0 + lean * (z - z0)

    @property
    def _rows(self) -> tuple[Array, Array, Array]:
        return self.r0, self.z0, self.lean

    def half_r2(self, z: Array) -> Array:
        u = z - self.z0
        return 0.5 * u * (self.r0**2 + self.r0 * self.lean * u + self.lean**2 * u**2 / 3)

    def raised(self, by_mm: float) -> Slope:
        return replace(self, r0=self.r0 + by_mm)

    def offset(self, by_mm: float) -> Slope:
        return replace(self, r0=self.r0 + by_mm * np.hypot(1.0, self.lean))

    def picked(self, which: Whole) -> Slope:
        return (
            replace(self, r0=self.r0[which], z0=self.z0[which], lean=self.lean[which])
            if self.z0.size > 1
            else self
        )

    def lean_at(self, z: float) -> float:
        return float(self.lean.flat[0])

    def length_mm(self, z0: float, z1: float) -> float:
        return abs(z1 - z0) * sqrt(1 + float(self.lean.flat[0]) ** 2)
