"""Brushed: the way in which a face is brushed; a note to the bench, nothing is cut."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from ringgeom.engraving.patterns.pattern import Asking, Pattern
from ringgeom.engraving.unrolled import Unrolled

WORDS = {
    "round": "brushed round the ring",
    "across": "brushed across the width",
    "slanted": "brushed at {angle:g} degrees to the way round",
    "no way": "matt, in no direction",
}


class Brushed(Asking):
    """A brushed face."""

    pattern: Literal["brushed"] = "brushed"
    way: Literal["round", "across", "slanted", "no way"] = "round"
    angle_deg: Annotated[float, Field(gt=0, lt=180)] = 45.0

    def drawn(self, face: Unrolled) -> Pattern:
        return Pattern(
            cuts=(), figures=(), count=1, notes=(WORDS[self.way].format(angle=self.angle_deg),)
        )
