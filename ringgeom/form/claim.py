"""What a place takes from the section, and what its metal fills of that.

takes:  what no later part may use        fills:  the metal, inside `takes` by the gaps

    |         |  wall, seen from the finger axis: left has the smaller z
    |  fills  |
 ---'_________'---  floor (a cylinder)
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ringgeom.form.curve import Array
from ringgeom.form.frame import Chain
from ringgeom.form.slope import Slope
from ringgeom.form.wave import Wave


@dataclass(frozen=True, slots=True, kw_only=True)
class Wall:
    """One side of a place.

    `at_mm` is its z at the ring's outside; `out` is -1 on the left, +1 on the right.
    An undercut wall leans outwards by `undercut_mm` from the finished outside down to the
    radius `foot_mm`; above the outside, in the stock, it stands upright.
    `inset_mm` moves the wall inwards, square to itself in the section (a gap).
    """

    at_mm: float
    out: int
    wave: Wave | None = None
    undercut_mm: float = 0.0
    foot_mm: float = 0.0
    inset_mm: float = 0.0

    def z(self, angles: Array, twist: float) -> Array:
        """z of a wall without undercut, at each angle of the slanted cut [mm]."""
        at = self.at_mm - self.out * self.inset_mm
        return np.array([at]) if self.wave is None else self.wave.on_slant(at, angles, twist)

    def mouth(self, angles: Array, twist: float) -> Array:
        """z at which the wall, not moved inwards, meets the finished outside [mm]."""
        if self.wave is None:
            return np.array([self.at_mm])
        return self.wave.on_slant(self.at_mm, angles, twist)

    def slope(self, angles: Array, twist: float, outside: Chain) -> Slope:
        """The leaning wall as a line from the finished outside to its foot."""
        z_top = self.mouth(angles, twist)
        rise = outside.r(z_top) - self.foot_mm
        lean = -rise / (self.out * self.undercut_mm)
        z_foot = z_top + self.out * self.undercut_mm
        shift = self.out * self.inset_mm * np.hypot(1.0, 1.0 / lean)
        return Slope(r0=np.full_like(z_foot, self.foot_mm), z0=z_foot - shift, lean=lean)


@dataclass(frozen=True, slots=True, kw_only=True)
class Reach:
    """A region of the section: between two walls, above a floor, below a ceiling.

    None means: as far as there is metal.
    """

    left: Wall | None = None
    right: Wall | None = None
    floor_mm: float | None = None
    ceiling_mm: float | None = None

    @property
    def walls(self) -> tuple[Wall, ...]:
        """The walls there are, left before right."""
        return tuple(wall for wall in (self.left, self.right) if wall is not None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Sectors:
    """A place cut round the ring into `count` pieces.

    `slant` is the angle of the joints to the axis [rad], `gap` the angle taken from
    each piece's end face [rad], `twist` the joint's change of angle over the width [rad/mm].
    """

    count: int
    gap: float
    twist: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Claim:
    """One place's share of the section.

    One that is `drawn` is cut out of a face as shapes: it has no share of the section.
    """

    takes: Reach
    fills: Reach
    sectors: Sectors | None = None
    drawn: bool = False
