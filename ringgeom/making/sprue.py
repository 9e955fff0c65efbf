"""The sprue: thick enough to freeze last, and weighed as the metal it really is.

Two rules, both shown. Freezing time grows with the square of the modulus (volume over
surface), so the sprue's modulus d/4 is made a given times the casting's. Independently,
the gate should have a given share of the section it stands on. The larger wins.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from math import pi, sqrt

import numpy as np

from ringgeom.form.curve import Array
from ringgeom.form.measure import Build, Stand
from ringgeom.shop import Casting

SECOND_SPRUE = pi / 3
"""Two sprues stand about sixty degrees apart, so that the metal meets away from both."""

LONGEST = 0.7
"""Longest oval foot, of the radius it stands on: beyond, it would wrap round the ring."""

RINGS, SPOKES = 24, 48
"""Points of the disc rule; the saddle is smooth, so this is far below 1e-9 of it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sprue:
    """One part's sprue or sprues.

    Attributes
    ----------
    diameter_mm : float
        Of the round sprue: the larger of the two rules.
    across_mm, along_mm : float
        Its foot across the width and round the ring; equal when it is round.
    by_modulus_mm, by_section_mm : float
        What each rule asks for.
    places : tuple of float
        Angle of each from the first [rad].
    length_mm : float
        From the part's surface, at the sprue's axis.
    fillet_mm : float
        Radius that joins its foot to the part, where the run has room for it.
    casting_modulus_mm : float
        Of the part that it feeds.
    volume_mm3 : float
        Of all of them, the saddle on the part and the fillet included.
    """

    diameter_mm: float
    across_mm: float
    along_mm: float
    by_modulus_mm: float
    by_section_mm: float
    places: tuple[float, ...]
    length_mm: float
    fillet_mm: float
    casting_modulus_mm: float
    volume_mm3: float
    stand: Stand

    @property
    def count(self) -> int:
        """How many of them."""
        return len(self.places)

    @property
    def area_share(self) -> float:
        """Its area as a share of the round sprue's; below one where there is no room."""
        return self.across_mm * self.along_mm / self.diameter_mm**2

    @property
    def modulus_mm(self) -> float:
        """Area of the sprue's section over its perimeter, d / 4 where it is round [mm]."""
        a, b = self.across_mm / 2, self.along_mm / 2
        # Ramanujan's second rule for the ellipse; exact for the circle, off by 1e-4 at 1 : 5
        h = ((a - b) / (a + b)) ** 2
        around = pi * (a + b) * (1 + 3 * h / (10 + sqrt(4 - 3 * h)))
        return pi * a * b / around

    @property
    def freezes_later(self) -> float:
        """How many times as long as its part it stays liquid, by Chvorinov's rule."""
        return (self.modulus_mm / self.casting_modulus_mm) ** 2

    @property
    def is_oval(self) -> bool:
        """Whether it was flattened to stand on its run."""
        return abs(self.along_mm - self.across_mm) > 1e-9 * self.across_mm


@cache
def _rule(points: int) -> tuple[Array, Array]:
    """Nodes and weights of Gauss's rule."""
    nodes, weights = np.polynomial.legendre.leggauss(points)
    return nodes, weights


def diameter_by_modulus(modulus_mm: float, ratio: float) -> float:
    """Diameter of a round sprue whose modulus is `ratio` times the casting's [mm].

    Source
    ------
    Chvorinov's rule; the ratio 1.2 from memory of foundry textbooks.
    """
    return 4 * ratio * modulus_mm


def diameter_by_section(area_mm2: float, percent: float, count: int = 1) -> float:
    """Diameter at which the gates together have `percent` of the section they feed [mm].

    Source
    ------
    A gate of 70 to 150 % of the attached section: common practice, read.
    """
    return sqrt(4 * area_mm2 * percent / 100 / pi / count)


def sprue_places(count: int, *, alike: int) -> tuple[float, ...]:
    """Angles from the first sprue to each [rad], about sixty degrees apart.

    Where the ring waves only `alike` places round it are like the first, and there are no
    more sprues than that; 0 means that all places are alike. A segment has one.
    """
    if alike == 0:
        step = min(SECOND_SPRUE, 2 * pi / count)
        return tuple(number * step for number in range(count))
    count = min(count, alike)
    step = max(1, min(round(SECOND_SPRUE * alike / (2 * pi)), alike // count))
    return tuple(number * step * 2 * pi / alike for number in range(count))


def sprue(build: Build, casting: Casting, *, width_mm: float, waves: int = 0) -> Sprue:
    """Sprue of one part from its heaviest section.

    Where the round sprue is wider than the run it stands on, it is made oval, as wide as
    the run and of the same area, so that it never grows over a channel or an edge; but
    no longer than `LONGEST` of the radius it stands on, or than the segment.

    Parameters
    ----------
    width_mm : float
        Width of the part; wide ones take two.
    waves : int
        How many places round the ring are alike; 0 for all.
    """
    wide = width_mm >= casting.two_sprues_from_mm
    places = sprue_places(
        casting.sprue_count or (2 if wide else 1), alike=1 if build.ends else waves
    )
    count = len(places)
    by_modulus = diameter_by_modulus(build.modulus_mm, casting.sprue_modulus_ratio)
    by_section = diameter_by_section(build.area_mm2, casting.sprue_section_percent, count)
    diameter = max(by_modulus, by_section)
    longest = build.length_mm if build.ends else LONGEST * build.stand.radius_mm
    across = min(diameter, build.stand.width_mm)
    if build.ends:
        # on a slanted piece there is only what lies square between its joints
        across = min(across, build.square_mm)
        longest = min(longest, build.square_mm)
    along = min(diameter**2 / across, longest)
    length = casting.sprue_length_mm
    # on a run that waves away under the foot there is no room for one
    fillet = 0.0 if waves else min(casting.sprue_fillet_mm, length)
    if build.ends:
        # a segment is not longer than itself
        fillet = max(0.0, min(fillet, (build.length_mm - along) / 2))
    one = sprue_volume(build.stand, across, along, length)
    one += fillet_volume(across, along, fillet, run_mm=build.stand.width_mm)
    return Sprue(
        diameter_mm=diameter,
        across_mm=across,
        along_mm=along,
        by_modulus_mm=by_modulus,
        by_section_mm=by_section,
        places=places,
        length_mm=length,
        fillet_mm=fillet,
        casting_modulus_mm=build.modulus_mm,
        volume_mm3=count * one,
        stand=build.stand,
    )


def sprue_volume(stand: Stand, across_mm: float, along_mm: float, length_mm: float) -> float:
    """Volume of a round or oval sprue standing on a part, saddle included [mm3].

    The sprue ends flat, `length_mm` above the surface at its axis; below, it follows the
    part's surface.
    """
    nodes, weights = _rule(RINGS)
    rho = 0.5 * (nodes + 1)
    turn = 2 * pi * (np.arange(SPOKES) + 0.5) / SPOKES
    z = stand.z_mm + 0.5 * across_mm * rho[:, None] * np.sin(turn)
    y = 0.5 * along_mm * rho[:, None] * np.cos(turn)
    surface = np.sqrt(np.maximum(stand.curve.r(z) ** 2 - y**2, 0.0))
    height = stand.radius_mm + length_mm - surface
    rings = 0.5 * weights * rho * (across_mm * along_mm / 4)
    return float(rings @ height.sum(axis=1)) * 2 * pi / SPOKES


def fillet_volume(across_mm: float, along_mm: float, radius_mm: float, *, run_mm: float) -> float:
    """Volume of the fillet round a sprue's foot, cut off at the sides of its run [mm3].

    Round an oval foot it is a round one pressed together across, as the oval itself is.

    Source
    ------
    Integral over rings of the height r - sqrt(r^2 - (r - t)^2) at t from the foot, times what
    of each ring lies on the run; closed form for a round foot derived in the tests.
    """
    if radius_mm <= 0:
        return 0.0
    press, foot = across_mm / along_mm, along_mm / 2
    half_run = run_mm / 2 / press
    # sin^2 spreads the nodes so that neither end of the arc is a root
    nodes, weights = _rule(SPOKES)
    turn = pi / 4 * (nodes + 1)
    out = radius_mm * np.sin(turn) ** 2
    step = radius_mm * np.sin(2 * turn) * pi / 4 * weights
    height = radius_mm - np.sqrt(radius_mm**2 - (radius_mm - out) ** 2)
    ring = foot + out
    share = np.where(ring > half_run, 4 * np.arcsin(np.minimum(half_run / ring, 1.0)), 2 * pi)
    return float(press * (step @ (height * ring * share)))
