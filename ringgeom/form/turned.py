"""Curves and faces whose measures vary round the ring: one of each kind for every angle."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from math import ceil
from typing import Any

import numpy as np

from ringgeom.form.curve import Arc, Array, Cone, Curve, Flat, Whole
from ringgeom.form.frame import Chain
from ringgeom.form.slope import Slope

SAME = 1e-9
"""Curves whose measures differ by less are one and the same."""


@dataclass(frozen=True, slots=True, eq=False)
class Turned:
    """A cylinder, a cone or an arc with measures of its own at every angle.

    `each` holds one for every angle, `all` the same as one whose measures are arrays of
    shape (angles,).
    """

    each: tuple[Curve, ...]
    all: Any

    @property
    def steady(self) -> bool:
        """Whether it is the same at every angle after all, to rounding."""
        first = self.each[0].key
        keys = np.array([one.key for one in self.each])
        return len(first) > 0 and float(np.abs(keys - first).max()) < SAME

    def nearest(self, radius_mm: float) -> Curve:
        """Of its curves the one that comes nearest to a radius at mid-width [mm]."""
        return min(self.each, key=lambda one: abs(one.at(0.0, 0) - radius_mm))

    def crests_mm(self, which: Whole) -> Array | None:
        """z of its crest at some of its angles, if it is an arc [mm]."""
        if not isinstance(self.all, Arc):
            return None
        return np.array([arc.z_mm for arc in self.each if isinstance(arc, Arc)])[which]

    @property
    def key(self) -> tuple[float, ...]:
        return self.each[0].key

    def r(self, z: Array) -> Array:
        found: Array = self.all.r(z)
        return found

    def at(self, z: float, angle: int) -> float:
        return self.each[angle].at(z, 0)

    def half_r2(self, z: Array) -> Array:
        found: Array = self.all.half_r2(z)
        return found

    def raised(self, by_mm: float) -> Curve:
        return turned([curve.raised(by_mm) for curve in self.each])

    def offset(self, by_mm: float) -> Curve:
        return turned([curve.offset(by_mm) for curve in self.each])

    def picked(self, which: Whole) -> Curve:
        return turned([self.each[k] for k in which])

    def lean_at(self, z: float) -> float:
        return self.each[0].lean_at(z)

    def length_mm(self, z0: float, z1: float) -> float:
        return self.each[0].length_mm(z0, z1)

    def steps(self, z0: Array, z1: Array, chord_mm: float, drift_mm: float = 0.0) -> int:
        """Steps that are enough at every angle."""
        if not isinstance(self.each[0], Arc):
            return 1
        bend = self.all.bend_mm
        turn = np.abs(self.all.turn_at(z1) - self.all.turn_at(z0))
        chord = np.minimum(chord_mm, bend)
        allowed = 2 * np.arcsin(np.sqrt(chord * (2 * bend - chord)) / bend)
        allowed = np.where(chord_mm >= bend, 1.0, allowed)
        allowed -= np.minimum(drift_mm / bend, 0.6 * allowed)
        return max(1, ceil(float((turn / allowed).max()) - 1e-9))

    def points(self, z0: Array, z1: Array, steps: int) -> tuple[Array, Array]:
        found: tuple[Array, Array] = self.all.points(z0, z1, steps)
        return found


def turned(each: Sequence[Curve]) -> Curve:
    """Curves of one kind as one that turns; a cylinder is a cone that does not lean."""
    if all(isinstance(one, Slope) for one in each):
        return Slope(*(np.concatenate(rows) for rows in zip(*map(_rows, each), strict=True)))
    upright = [Cone(one.radius_mm, 0.0, 0.0) if isinstance(one, Flat) else one for one in each]
    kind: Any = type(upright[0])
    names = [field.name for field in fields(kind) if field.name != "side"]
    measures: dict[str, Any] = {
        name: np.array([getattr(one, name) for one in upright]) for name in names
    }
    if isinstance(upright[0], Arc):
        measures["side"] = upright[0].side
    return Turned(tuple(each), kind(**measures))


def _rows(curve: Curve) -> tuple[Array, Array, Array]:
    assert isinstance(curve, Slope)
    return curve.r0, curve.z0, curve.lean


@dataclass(frozen=True, slots=True)
class TurnedChain:
    """A face that varies round the ring: for every angle the same curves, side by side."""

    each: tuple[Chain, ...]

    def picked(self, which: Whole) -> TurnedChain:
        """The face at some of its angles."""
        return TurnedChain(tuple(self.each[k] for k in which.tolist()))

    def only(self, at: int) -> Chain:
        """The face at one of its angles."""
        return self.each[at]

    def seen(self, at: int) -> Chain:
        """Its curves as they turn, with their stops as they are at one angle."""
        columns = zip(*(chain.curves for chain in self.each), strict=True)
        return replace(self.each[at], curves=tuple(turned(curves) for curves in columns))
