"""Curves of the cut section, each a radius over the width: r = f(z).

r |      ___ Arc, side +1: bulges away from the finger
  |   .-'   '-.
  |  /         \\          Flat: a cylinder
  |  |         |  ------
  |  \\_     _ /          Arc, side -1: bulges towards the finger
  |    '---'                ^
  |                       .' Cone: a face that leans; Slope: a wall that does
  +------------------ z     (z = 0 at mid-width)
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import asin, ceil, hypot, inf, sqrt
from typing import Protocol, Self

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Whole = NDArray[np.intp]

SMALL_ANGLE = 0.05
"""Below this u/R an arc's integrals are taken from their series: the closed forms cancel."""

LEAST_SAGITTA_MM = 1e-12
"""A radius this near to the crest of an arc touches it, and does not pass it."""

UPRIGHT = 1e-6
"""An arc that ends this near to upright, as a share of its bend, ends upright."""


class Curve(Protocol):
    """A radius over the width [mm]: `r` at every z; `at`, much quicker, at one z and one angle.

    `half_r2` is an antiderivative of r^2/2, what a revolved volume needs; `lean_at` is dr/dz;
    `raised` is moved along the radius, `offset` square to it; `length_mm` lies between two z;
    `steps` pieces keep the chord, `points` are their ends; `picked` has some of the angles; `key`
    tells curves apart.
    """

    @property
    def key(self) -> tuple[float, ...]: ...
    def r(self, z: Array) -> Array: ...
    def at(self, z: float, angle: int) -> float: ...
    def half_r2(self, z: Array) -> Array: ...
    def raised(self, by_mm: float) -> Curve: ...
    def offset(self, by_mm: float) -> Curve: ...
    def picked(self, which: Whole) -> Curve: ...
    def lean_at(self, z: float) -> float: ...
    def length_mm(self, z0: float, z1: float) -> float: ...
    def steps(self, z0: Array, z1: Array, chord_mm: float, drift_mm: float) -> int: ...
    def points(self, z0: Array, z1: Array, steps: int) -> tuple[Array, Array]: ...


class Steady:
    """A curve that is the same at every angle."""

    __slots__ = ()

    def picked(self, which: Whole) -> Self:
        return self


class Straight:
    """A curve that takes no more than one step."""

    __slots__ = ()

    def r(self, z: Array) -> Array:
        raise NotImplementedError

    def steps(self, z0: Array, z1: Array, chord_mm: float, drift_mm: float = 0.0) -> int:
        return 1

    def points(self, z0: Array, z1: Array, steps: int) -> tuple[Array, Array]:
        share = np.arange(steps + 1)[:, None] / steps
        z = z0 + (z1 - z0) * share
        z[-1] = z1
        return self.r(z), z


@dataclass(frozen=True, slots=True)
class Flat(Straight, Steady):
    """A cylinder of the given radius [mm]."""

    radius_mm: float

    @property
    def key(self) -> tuple[float, ...]:
        return (self.radius_mm,)

    def r(self, z: Array) -> Array:
        return np.full_like(z, self.radius_mm)

    def at(self, z: float, angle: int = 0) -> float:
        return self.radius_mm

    def half_r2(self, z: Array) -> Array:
        return 0.5 * self.radius_mm**2 * z

    def raised(self, by_mm: float) -> Flat:
        return Flat(self.radius_mm + by_mm)

    def offset(self, by_mm: float) -> Flat:
        return self.raised(by_mm)

    def lean_at(self, z: float) -> float:
        return 0.0

    def length_mm(self, z0: float, z1: float) -> float:
        return abs(z1 - z0)


@dataclass(frozen=True, slots=True)
class Cone(Straight, Steady):
    """A straight face that leans, r = r_mm + lean (z - z_mm), the same all round."""

    r_mm: float
    z_mm: float
    lean: float

    @property
    def key(self) -> tuple[float, ...]:
        return (self.r_mm, self.z_mm, self.lean)

    def r(self, z: Array) -> Array:
        return self.r_mm + self.lean * (z - self.z_mm)

    def at(self, z: float, angle: int = 0) -> float:
        return self.r_mm + self.lean * (z - self.z_mm)

    def half_r2(self, z: Array) -> Array:
        u = z - self.z_mm
        rise = self.lean * u
        return 0.5 * u * (self.r_mm**2 + self.r_mm * rise + rise**2 / 3)

    def raised(self, by_mm: float) -> Cone:
        return replace(self, r_mm=self.r_mm + by_mm)

    def offset(self, by_mm: float) -> Cone:
        return self.raised(by_mm * hypot(1.0, self.lean))

    def lean_at(self, z: float) -> float:
        return self.lean

    def length_mm(self, z0: float, z1: float) -> float:
        return abs(z1 - z0) * hypot(1.0, self.lean)

    def crossings_mm(self, radius_mm: float) -> tuple[float, ...]:
        """Where the face, carried on, passes a given radius [mm]."""
        return (self.z_mm + (radius_mm - self.r_mm) / self.lean,) if self.lean else ()


@dataclass(frozen=True, slots=True)
class Arc(Steady):
    """A circular arc of radius `bend_mm`; its crest is at (crest_mm, z_mm).

    side +1 bulges away from the finger (crest is the largest radius), -1 towards it.
    """

    crest_mm: float
    z_mm: float
    bend_mm: float
    side: int

    @property
    def key(self) -> tuple[float, ...]:
        return (self.crest_mm, self.z_mm, self.bend_mm, float(self.side))

    @property
    def centre_mm(self) -> float:
        """Radius of the arc's centre [mm]."""
        return self.crest_mm - self.side * self.bend_mm

    def _root(self, u: Array) -> Array:
        return np.sqrt(np.maximum(self.bend_mm**2 - u**2, 0.0))

    def r(self, z: Array) -> Array:
        u = z - self.z_mm
        # crest minus sagitta, in the form that does not cancel for a very flat arc
        return self.crest_mm - self.side * u**2 / (self.bend_mm + self._root(u))

    def at(self, z: float, angle: int = 0) -> float:
        u = z - self.z_mm
        root = sqrt(max(self.bend_mm**2 - u * u, 0.0))
        return self.crest_mm - self.side * (u * u) / (self.bend_mm + root)

    def half_r2(self, z: Array) -> Array:
        """Integral of r^2/2 from the crest: r = crest + d(u), d = -side * sagitta."""
        u = np.asarray(z - self.z_mm)
        x = np.minimum(np.maximum(u / self.bend_mm, -1.0), 1.0)
        root, angle = np.sqrt(1 - x * x), np.arcsin(x)
        s = x * x
        small = s < SMALL_ANGLE**2
        first = np.where(
            small,
            -x * s * (1 / 6 + s * (1 / 40 + s * (1 / 112 + s * (5 / 1152)))),
            0.5 * (x * root + angle) - x,
        )
        second = np.where(
            small,
            x * s * s * (1 / 20 + s * (1 / 56 + s * (5 / 576 + s * (7 / 1408)))),
            x * (2 - s / 3 - root) - angle,
        )
        integral: Array = (
            0.5 * self.crest_mm**2 * u
            + self.side * self.crest_mm * self.bend_mm**2 * first
            + 0.5 * self.bend_mm**3 * second
        )
        return integral

    def raised(self, by_mm: float) -> Arc:
        return replace(self, crest_mm=self.crest_mm + by_mm)

    def offset(self, by_mm: float) -> Arc:
        return replace(
            self, crest_mm=self.crest_mm + by_mm, bend_mm=self.bend_mm + self.side * by_mm
        )

    def lean_at(self, z: float) -> float:
        """Lean of the arc; endless where it stands upright at its ends."""
        u = z - self.z_mm
        across = self.bend_mm**2 - u**2
        if across <= (UPRIGHT * self.bend_mm) ** 2:
            return -self.side * (inf if u > 0 else -inf)
        return -self.side * u / sqrt(across)

    def length_mm(self, z0: float, z1: float) -> float:
        return self.bend_mm * abs(self._angle(z1) - self._angle(z0))

    def _angle(self, z: float) -> float:
        return asin(max(-1.0, min(1.0, (z - self.z_mm) / self.bend_mm)))

    def crossings_mm(self, radius_mm: float) -> tuple[float, ...]:
        """Where the arc passes a given radius: none, or the two z [mm]."""
        sagitta = self.side * (self.crest_mm - radius_mm)
        if not LEAST_SAGITTA_MM < sagitta <= self.bend_mm:
            return ()
        u = sqrt(sagitta * (2 * self.bend_mm - sagitta))
        return (self.z_mm - u, self.z_mm + u)

    def steps(self, z0: Array, z1: Array, chord_mm: float, drift_mm: float = 0.0) -> int:
        """Steps that keep the chord, also where the ends drift from one angle to the next."""
        turn = float(np.abs(self.turn_at(z1) - self.turn_at(z0)).max())
        allowed = chord_angle(self.bend_mm, chord_mm)
        allowed -= min(drift_mm / self.bend_mm, 0.6 * allowed)
        return max(1, ceil(turn / allowed - 1e-9))

    def turn_at(self, z: Array) -> Array:
        """The angle on the arc at every z [rad]."""
        return np.arcsin(np.clip((z - self.z_mm) / self.bend_mm, -1.0, 1.0))

    def points(self, z0: Array, z1: Array, steps: int) -> tuple[Array, Array]:
        share = np.arange(steps + 1)[:, None] / steps
        start, end = self.turn_at(z0), self.turn_at(z1)
        z = self.z_mm + self.bend_mm * np.sin(start + (end - start) * share)
        z[0], z[-1] = z0, z1
        return self.r(z), z


def chord_angle(radius_mm: float, chord_mm: float) -> float:
    """Angle that a chord may span on a circle and stay within `chord_mm` of it [rad]."""
    if chord_mm >= radius_mm:
        return 1.0
    return 2 * asin(sqrt(chord_mm * (2 * radius_mm - chord_mm)) / radius_mm)
