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
from math import cos, pi, sin, tau

OFF_MIDDLE = 0.4321
"""Where in its step an angle is looked at: round numbers may fall on a crossing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Taper:
    """Stations round the ring, by rising angle, the first at 0.

    `angles` [rad] in [0, 2 pi); `widths_mm` and `thicknesses_mm` of the band at each of them.
    """

    angles: tuple[float, ...]
    widths_mm: tuple[float, ...]
    thicknesses_mm: tuple[float, ...]

    def at(self, angle: float) -> tuple[float, float]:
        """Width and thickness at an angle [mm].

        Examples
        --------
        >>> half = Taper(angles=(0.0, pi), widths_mm=(6.0, 4.0), thicknesses_mm=(2.0, 1.5))
        >>> half.at(pi / 2)
        (5.0, 1.75)
        """
        turned = angle % tau
        before = bisect_right(self.angles, turned) - 1
        after = (before + 1) % len(self.angles)
        start, end = self.angles[before], self.angles[after] if after else tau
        eased = (1 - cos(pi * (turned - start) / (end - start))) / 2
        width, thick = (
            round(some[before] + (some[after] - some[before]) * eased, 12)
            for some in (self.widths_mm, self.thicknesses_mm)
        )
        return width, thick

    def widening(self, angle: float) -> float:
        """By what share of itself the width grows at an angle [1/rad]."""
        turned = angle % tau
        before = bisect_right(self.angles, turned) - 1
        after = (before + 1) % len(self.angles)
        start, end = self.angles[before], self.angles[after] if after else tau
        rise = self.widths_mm[after] - self.widths_mm[before]
        eased = sin(pi * (turned - start) / (end - start)) * pi / (end - start) / 2
        return rise * eased / self.at(angle)[0]

    def between(self, count: int) -> list[float]:
        """So many angles between every two stations, rising [rad].

        Alike from the wider end: where two stretches are alike, so is the band there.
        """
        found: list[float] = []
        ends = [*self.angles[1:], tau]
        nexts = [*self.widths_mm[1:], self.widths_mm[0]]
        for start, end, wide, after in zip(self.angles, ends, self.widths_mm, nexts, strict=True):
            shares = [(k + OFF_MIDDLE) / count for k in range(count)]
            if after > wide:
                shares = [1 - share for share in reversed(shares)]
            found += [start + (end - start) * share for share in shares]
        return found

    @property
    def least_mm(self) -> tuple[float, float]:
        """Least width and least thickness [mm]."""
        return min(self.widths_mm), min(self.thicknesses_mm)

    @property
    def steepest_mm(self) -> tuple[float, float]:
        """Steepest change and sharpest bend of width or thickness, a radian and a radian squared.

        Half a cosine from a to b over an angle t changes by (b - a) pi / 2t at its middle, and
        bends by (b - a) pi^2 / 2t^2 at its ends [mm/rad, mm/rad2].
        """
        slope = bend = 0.0
        ends = [*self.angles[1:], tau]
        for some in (self.widths_mm, self.thicknesses_mm):
            steps = zip(self.angles, ends, some, [*some[1:], some[0]], strict=True)
            for start, end, a, b in steps:
                slope = max(slope, abs(b - a) * pi / (2 * (end - start)))
                bend = max(bend, abs(b - a) * pi**2 / (2 * (end - start) ** 2))
        return slope, bend
