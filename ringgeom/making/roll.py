"""How a side of the ring lies unrolled: along it from angle 0, across it from mid-width.

z |.__             __.
  |   ''---------''      half(angle): the edge, of a band that tapers a curve
  |   __---------__
  |''             ''
  +-------------------> s = radius x angle; where the thickness tapers its integral
"""

from __future__ import annotations

from dataclasses import dataclass
from math import acos, ceil, pi, sqrt, tau

import numpy as np

from ringgeom.form.claim import Wall
from ringgeom.form.curve import Array
from ringgeom.form.ring_form import RingForm
from ringgeom.form.wave import Wave

CHORD_MM = 0.01
"""How far a drawn line may be from the true wave: the width of a fine scriber's line is more."""

Point = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Roll:
    """The outside at its highest, or the bore, of a band.

    `level` lays every place at its angle times the largest radius, so that the hours of the
    clock are evenly apart; else lengths along the face are true.
    """

    form: RingForm
    outside: bool = True
    level: bool = False

    @property
    def radius_mm(self) -> float:
        """Of the face that is unrolled."""
        band = self.form.band
        return band.crest_mm if self.outside else band.bore_mm

    @property
    def around_mm(self) -> float:
        """Once round."""
        return self.s(tau)

    def s(self, angle: float) -> float:
        """How far along the turn an angle lies [mm]."""
        taper = self.form.taper
        if taper is None or self.level or not self.outside:
            return self.radius_mm * angle
        return self.form.band.bore_mm * angle + taper.thickness.round_to(angle)

    def share(self, angle: float) -> float:
        """The width at an angle, as a share of the largest."""
        taper = self.form.taper
        return 1.0 if taper is None else taper.width.at(angle) / self.form.width_mm

    def half(self, angle: float) -> float:
        """From mid-width to an edge at an angle [mm]."""
        return self.share(angle) * self.form.band.half_mm

    def edge(self) -> list[Point]:
        """The upper edge once round, in points that keep within `CHORD_MM` of it."""
        return [(self.s(angle), self.half(angle)) for angle in self._angles(None).tolist()]

    def wall(self, wall: Wall) -> list[Point]:
        """A wall at the face once round; crests and crossings of its wave are among the points."""
        found = []
        for angle in self._angles(wall.wave).tolist():
            z = wall.at_mm if wall.wave is None else wall.at_mm + float(wall.wave.z(angle))
            found.append((self.s(angle), self.share(angle) * z))
        return found

    def _angles(self, wave: Wave | None) -> Array:
        """Angles once round at which a line has a point."""
        some = [np.array([0.0, tau]) if wave is None else _wave_angles(wave)]
        taper = self.form.taper
        if taper is not None:
            # a chord over an angle a misses a curve by its bend times a squared, over 8
            step = sqrt(8 * CHORD_MM / max(taper.steepest_mm[1], CHORD_MM))
            some.append(np.linspace(0.0, tau, ceil(tau / step / 4) * 4 + 1))
            some.append(np.array(taper.angles))
        return np.unique(np.concatenate(some)) if len(some) > 1 else some[0]


def _wave_angles(wave: Wave) -> Array:
    """Angles so dense that the chords keep within `CHORD_MM` of the wave."""
    # a chord over an angle a of a sine is off by no more than amplitude (1 - cos(a / 2))
    amplitude = abs(wave.amplitude_mm)
    step = pi / 2 if amplitude <= CHORD_MM else 2 * acos(1 - CHORD_MM / amplitude)
    parts = ceil(pi / 2 / min(step, pi / 4))
    first = ceil(wave.phase / (pi / 2) * parts)
    turns = (np.arange(first, first + 4 * parts * wave.count + 1) * pi / 2 / parts) - wave.phase
    inside = turns / wave.count
    inside = inside[(inside > 1e-12) & (inside < 2 * pi - 1e-12)]
    return np.concatenate([[0.0], inside, [2 * pi]])
