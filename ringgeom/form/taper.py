"""A band that tapers: width and thickness from place to place round the ring.

    width
      |*.                    .*        stations: 12 o'clock, where the band is largest, and
      |  '.                .'          any others; between two neighbours it eases over along
      |    '-.          .-'            half a cosine, so that nothing kinks
      |       '--.__.--'
      +-----------+-----------+
     12           6          12

The bore stays round and of one diameter: the finger's size is exact all round.
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass
from itertools import pairwise
from math import cos, pi, sin, tau

OFF_MIDDLE = 0.4321
"""Where in its step an angle is looked at: round numbers may fall on a crossing."""


@dataclass(frozen=True, slots=True)
class Eased:
    """One measure round the ring: `values` at `angles` that rise from 0 [rad], eased between."""

    angles: tuple[float, ...]
    values: tuple[float, ...]

    def _around(self, angle: float) -> tuple[float, float, float, float]:
        """Of the two neighbours of an angle: the first value, the rise to the next one, how far
        between them it lies as a share, and the angle between them."""
        turned = angle % tau
        before = bisect_right(self.angles, turned) - 1
        after = (before + 1) % len(self.angles)
        start, end = self.angles[before], self.angles[after] if after else tau
        value = self.values[before]
        return value, self.values[after] - value, (turned - start) / (end - start), end - start

    def at(self, angle: float) -> float:
        """The measure at an angle.

        Examples
        --------
        >>> Eased((0.0, pi), (6.0, 4.0)).at(pi / 2)
        5.0
        """
        value, rise, share, _ = self._around(angle)
        return round(value + rise * (1 - cos(pi * share)) / 2, 12)

    def round_to(self, angle: float) -> float:
        """Its integral from 0 to an angle within the turn [measure x rad]."""
        total = 0.0
        for start in self.angles:
            value, rise, _, between = self._around(start)
            share = min(max(angle - start, 0.0) / between, 1.0)
            total += between * (value * share + rise / 2 * (share - sin(pi * share) / pi))
        return total

    @property
    def mean(self) -> float:
        """Its mean over the turn."""
        return self.round_to(tau) / tau

    def slope(self, angle: float) -> float:
        """How fast it grows at an angle [1/rad]."""
        _, rise, share, between = self._around(angle)
        return rise * sin(pi * share) * pi / between / 2

    @property
    def steepest(self) -> tuple[float, float]:
        """Its steepest slope and sharpest bend [1/rad, 1/rad2].

        Half a cosine from a to b over an angle t changes by (b - a) pi / 2t at its middle, and
        bends by (b - a) pi^2 / 2t^2 at its ends.
        """
        found = [self._around(angle)[1::2] for angle in self.angles]
        slopes = [abs(rise) * pi / (2 * between) for rise, between in found]
        bends = [abs(rise) * pi**2 / (2 * between**2) for rise, between in found]
        return max(slopes), max(bends)


@dataclass(frozen=True, slots=True, kw_only=True)
class Taper:
    """Width and thickness round the ring [mm]."""

    width: Eased
    thickness: Eased

    @property
    def angles(self) -> tuple[float, ...]:
        """Every station, by rising angle [rad]."""
        return tuple(sorted({*self.width.angles, *self.thickness.angles}))

    def at(self, angle: float) -> tuple[float, float]:
        """Width and thickness at an angle [mm]."""
        return self.width.at(angle), self.thickness.at(angle)

    def widening(self, angle: float) -> float:
        """By what share of itself the width grows at an angle [1/rad]."""
        return self.width.slope(angle) / self.width.at(angle)

    def between(self, count: int) -> list[float]:
        """So many angles between every two stations, rising [rad].

        Alike from the larger end: where two stretches are alike, so is the band there.
        """
        found: list[float] = []
        for start, end in pairwise((*self.angles, tau)):
            shares = [(k + OFF_MIDDLE) / count for k in range(count)]
            if self.at(end) > self.at(start):
                shares = [1 - share for share in reversed(shares)]
            found += [start + (end - start) * share for share in shares]
        return found

    @property
    def least_mm(self) -> tuple[float, float]:
        """Least width and least thickness [mm]."""
        return min(self.width.values), min(self.thickness.values)

    @property
    def steepest_mm(self) -> tuple[float, float]:
        """Steepest change and sharpest bend of either measure [mm/rad, mm/rad2]."""
        (slope, bend), (other, sharper) = self.width.steepest, self.thickness.steepest
        return max(slope, other), max(bend, sharper)
