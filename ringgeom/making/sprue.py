"""The sprue: thick enough to freeze last, and weighed as the metal it really is.

Two rules, both shown. Freezing time grows with the square of the modulus (volume over
surface), so the sprue's modulus d/4 is made a given times the casting's. Independently,
the gate should have a given share of the section it stands on. The larger wins.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import pi, sqrt

import numpy as np

from ringgeom.form.curve import Array
from ringgeom.form.measure import Build
from ringgeom.form.stand import Stand
from ringgeom.making.post import fillets_mm3, posts_mm3
from ringgeom.shop import Casting
from ringgeom.units import Amount

SECOND_SPRUE = pi / 3
"""Two sprues stand about sixty degrees apart, so that the metal meets away from both."""

LONGEST = 0.7
"""Longest oval foot, of the radius it stands on: beyond, it would wrap round the ring."""

SAME_WIDTH_MM = 1e-9
"""A width this near to a limit is on it: a wax scaled and scaled back is as wide as it was."""


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

    def times(self, pieces: int) -> Sprue:
        """One on each of so many pieces, all like the one on the largest of them."""
        turn = 2 * pi / pieces
        places = tuple(turn * number for number in range(pieces))
        return replace(self, places=places, volume_mm3=pieces * self.volume_mm3)

    def standing(self, stand: Stand) -> Sprue:
        """A single one on another piece, no wider than what it stands on there."""
        return replace(
            self,
            across_mm=min(self.across_mm, stand.width_mm),
            along_mm=min(self.along_mm, max(stand.width_mm, self.across_mm)),
            fillet_mm=0.0,
            places=(0.0,),
            stand=stand,
        )

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


def diameter_by_modulus(modulus_mm: Amount, ratio: float) -> Amount:
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


@dataclass(frozen=True, slots=True, kw_only=True)
class Feet:
    """The sprues of one part at several finger sizes; arrays of shape (sizes,), else as `Sprue`."""

    diameter_mm: Array
    across_mm: Array
    along_mm: Array
    by_modulus_mm: Array
    by_section_mm: float
    places: tuple[float, ...]
    length_mm: float
    fillet_mm: Array
    casting_modulus_mm: Array
    volume_mm3: Array
    stand: Stand

    def sprue(self, size: int) -> Sprue:
        """The sprue of one of the sizes, by its number; `stand` stays the one it was drawn at."""
        return Sprue(
            diameter_mm=float(self.diameter_mm[size]),
            across_mm=float(self.across_mm[size]),
            along_mm=float(self.along_mm[size]),
            by_modulus_mm=float(self.by_modulus_mm[size]),
            by_section_mm=self.by_section_mm,
            places=self.places,
            length_mm=self.length_mm,
            fillet_mm=float(self.fillet_mm[size]),
            casting_modulus_mm=float(self.casting_modulus_mm[size]),
            volume_mm3=float(self.volume_mm3[size]),
            stand=self.stand,
        )


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
    lengths, radii = np.array([build.length_mm]), np.array([build.stand.radius_mm])
    found = feet(build, casting, width_mm=width_mm, waves=waves, lengths_mm=lengths, radii_mm=radii)
    return found.sprue(0)


def feet(
    build: Build,
    casting: Casting,
    *,
    width_mm: float,
    waves: int,
    lengths_mm: Array,
    radii_mm: Array,
) -> Feet:
    """The sprue of a part at several finger sizes, its section the same at all of them.

    Parameters
    ----------
    lengths_mm, radii_mm : Array
        At each size, the part's length round the ring and the radius its sprue stands at,
        shape (sizes,); they stand for those of `build`.
    """
    wide = width_mm >= casting.two_sprues_from_mm - SAME_WIDTH_MM
    places = sprue_places(
        casting.sprue_count or (2 if wide else 1), alike=1 if build.ends else waves
    )
    count, stand = len(places), build.stand
    modulus = build.modulus_at(lengths_mm)
    by_modulus = diameter_by_modulus(modulus, casting.sprue_modulus_ratio)
    by_section = diameter_by_section(build.area_mm2, casting.sprue_section_percent, count)
    diameter = np.maximum(by_modulus, by_section)
    longest = lengths_mm if build.ends else LONGEST * radii_mm
    across = np.minimum(diameter, stand.width_mm)
    if build.ends:
        # on a slanted piece there is only what lies square between its joints
        square = build.square_at(lengths_mm, radii_mm)
        across, longest = np.minimum(across, square), np.minimum(longest, square)
    along = np.minimum(diameter**2 / across, longest)
    length = casting.sprue_length_mm
    # on a run that waves away under the foot there is no room for one
    fillet = np.full_like(radii_mm, 0.0 if waves else min(casting.sprue_fillet_mm, length))
    if build.ends:
        # a segment is not longer than itself
        fillet = np.maximum(0.0, np.minimum(fillet, (lengths_mm - along) / 2))
    one = posts_mm3(stand, radii_mm, across, along, length)
    one = one + fillets_mm3(across, along, fillet, run_mm=stand.width_mm)
    return Feet(
        diameter_mm=diameter,
        across_mm=across,
        along_mm=along,
        by_modulus_mm=by_modulus,
        by_section_mm=by_section,
        places=places,
        length_mm=length,
        fillet_mm=fillet,
        casting_modulus_mm=modulus,
        volume_mm3=count * one,
        stand=stand,
    )
