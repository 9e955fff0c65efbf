"""A flat face: a cylinder round the finger.

outside   _____________
         |             |
bore     |_____________|
"""

from __future__ import annotations

from typing import Literal

from ringgeom.asked import Asked
from ringgeom.form.curve import Curve, Flat


class FlatFace(Asked):
    """Nothing to say but the form."""

    form: Literal["flat"] = "flat"

    @property
    def rise_mm(self) -> float:
        """Height at mid-width over the edges [mm]."""
        return 0.0

    def curve(self, *, crest_mm: float, half_mm: float, side: int) -> Curve:
        """The face at a given radius; side +1 for the outside, -1 for the bore."""
        return Flat(crest_mm)
