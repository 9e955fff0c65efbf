"""Pieces round the ring, in turn of several alloys: `<name> 1`, `<name> 2`, ...

    unrolled outside            \\ joint, slant_deg to the axis
    ____________________________
    |   1   \\   2   \\   1   \\  |
    |________\\_______\\_______\\_|

They take the full depth of what is left, or depth_mm from the outside at mid-width.
A joint is a radial face that turns evenly along the axis, so that every piece has the
same metal; its gap is taken from the end face of the piece before it.
"""

from __future__ import annotations

from math import cos, radians, tan
from typing import Annotated, ClassVar, Literal

from pydantic import Field

from ringgeom.form.claim import Claim, Reach, Sectors
from ringgeom.form.places.place import Band, Length, Place, Placed
from ringgeom.metal.asked import AlloyAsked


class Segments(Place):
    """Segments, straight or slanted, through or let in to a depth."""

    along_radius: ClassVar[tuple[str, ...]] = ("depth_mm",)

    place: Literal["segments"]
    alloys: Annotated[tuple[AlloyAsked, ...], Field(min_length=1, max_length=24, strict=False)]
    count: Annotated[int, Field(ge=2, le=120)]
    slant_deg: Annotated[float, Field(gt=-80, lt=80)] = 0.0
    depth_mm: Length | None = None

    def placed(self, band: Band) -> tuple[Placed, ...]:
        slant, gap = radians(self.slant_deg), self.gap
        floor = None if self.depth_mm is None else band.mid_mm - self.depth_mm
        claim = Claim(
            takes=Reach(floor_mm=floor),
            fills=Reach(floor_mm=None if floor is None else floor + gap.floor),
            sectors=Sectors(
                count=self.count,
                gap=gap.side / (band.crest_mm * cos(slant)),
                twist=tan(slant) / band.crest_mm,
            ),
        )
        turns = [self.alloys[i % len(self.alloys)] for i in range(self.count)]
        names = tuple(f"{self.name} {i + 1}" for i in range(self.count))
        return (Placed(names=names, alloys=tuple(turns), claim=claim),)
