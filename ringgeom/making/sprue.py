"""The sprue: thick enough to freeze last, and weighed as the metal it really is.

Two rules, both shown. Freezing time grows with the square of the modulus (volume over
surface), so the sprue's modulus d/4 is made a given times the casting's. Independently,
the gate should have a given share of the section it stands on. The larger wins.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi, sqrt

import numpy as np

from ringgeom.form.measure import Build, Stand
from ringgeom.shop import Casting

RINGS, SPOKES = 24, 48
"""Points of the disc rule; the saddle is smooth, so this is far below 1e-9 of it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sprue:
    """One part's sprue or sprues.

    Attributes
    ----------
    diameter_mm : float
        The larger of the two rules.
    by_modulus_mm, by_section_mm : float
        What each rule asks for.
    count : int
        How many of them.
    length_mm : float
        From the part's surface, at the sprue's axis.
    volume_mm3 : float
        Of all of them, the saddle on the part included.
    """

    diameter_mm: float
    by_modulus_mm: float
    by_section_mm: float
    count: int
    length_mm: float
    volume_mm3: float
    stand: Stand


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


def sprue(build: Build, casting: Casting, *, width_mm: float) -> Sprue:
    """Sprue of one part from its heaviest section."""
    wide = width_mm >= casting.two_sprues_from_mm and build.ends == 0
    count = casting.sprue_count or (2 if wide else 1)
    by_modulus = diameter_by_modulus(build.modulus_mm, casting.sprue_modulus_ratio)
    by_section = diameter_by_section(build.area_mm2, casting.sprue_section_percent, count)
    diameter = max(by_modulus, by_section)
    length = casting.sprue_length_mm
    return Sprue(
        diameter_mm=diameter,
        by_modulus_mm=by_modulus,
        by_section_mm=by_section,
        count=count,
        length_mm=length,
        volume_mm3=count * sprue_volume(build.stand, diameter, length),
        stand=build.stand,
    )


def sprue_volume(stand: Stand, diameter_mm: float, length_mm: float) -> float:
    """Volume of a round sprue standing on a part, saddle included [mm3].

    The sprue ends flat, `length_mm` above the surface at its axis; below, it follows the
    part's surface, carried on past the run it stands on.
    """
    nodes, weights = np.polynomial.legendre.leggauss(RINGS)
    rho = 0.25 * diameter_mm * (nodes + 1)
    turn = 2 * pi * (np.arange(SPOKES) + 0.5) / SPOKES
    z = stand.z_mm + rho[:, None] * np.sin(turn)
    y = rho[:, None] * np.cos(turn)
    surface = np.sqrt(np.maximum(stand.curve.r(z) ** 2 - y**2, 0.0))
    height = stand.radius_mm + length_mm - surface
    ring_weights = 0.25 * diameter_mm * weights * rho
    return float(ring_weights @ height.sum(axis=1)) * 2 * pi / SPOKES
