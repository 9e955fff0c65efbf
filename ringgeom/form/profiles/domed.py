"""A domed face: one circular arc across the full width.

             ___..---..___   ^ rise_mm: mid-width above the edges
outside     |             |  v
bore        |---..___..---|  the bore's dome bulges towards the finger; the size
                             is the bore at mid-width, its smallest

bend R = (h^2 + rise^2) / (2 rise), h = half the width
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from ringgeom.asked import Asked
from ringgeom.form.curve import Arc, Curve, Flat

LEAST_RISE_MM = 1e-6
"""A dome lower than this is drawn flat: the difference is below a millionth of the width."""


class Domed(Asked):
    """A dome of the given rise."""

    form: Literal["domed"]
    rise_mm: Annotated[float, Field(ge=0, le=20)]

    def curve(self, *, crest_mm: float, half_mm: float, side: int) -> Curve:
        """The arc with its crest at a given radius; side +1 for the outside, -1 for the bore."""
        if self.rise_mm < LEAST_RISE_MM:
            return Flat(crest_mm)
        bend = (half_mm**2 + self.rise_mm**2) / (2 * self.rise_mm)
        return Arc(crest_mm, 0.0, bend, side)
