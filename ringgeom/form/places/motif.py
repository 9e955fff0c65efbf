"""A drawn motif let into the outside, so many times round: a pocket for each, and its insert.

  count = 12                                      cutter_mm: across a round cutter; 0 for a
 .-.   .-.   .-.      ^ height_mm                 laser or the graver
(   ) (   ) (   )     |                           corners: round as the cutter leaves them, and
 '-'   '-'   '-'      v                           the insert's too; or relieved, and it is sharp
  |          at: the middle of the first

It takes its metal from whatever lies at the outside there, when all other parts have their
place. The floor follows the face, depth_mm below it, or is a cylinder (flat).
"""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from pydantic import Field

from ringgeom.form.claim import Claim, Reach
from ringgeom.form.clock import ClockPosition, clock_angle
from ringgeom.form.places.place import Band, Place, Placed, Position
from ringgeom.form.repeated import Floor, Made, Repeated
from ringgeom.metal.asked import AlloyAsked


class MotifInlay(Place, Repeated):
    """Inserts of one drawing in pockets of their shape; all of them are one part.

    Attributes
    ----------
    at, centre_mm
        Where the middle of the first copy lies round the ring and, from mid-width, across it.
    floor : str
        ``following`` the face at one depth, or ``flat``, a cylinder at that depth under its middle.
    cutter_mm : float
        Across the round cutter of the pocket [mm]; 0 for a laser or the graver.
    corners : str
        ``round``, as the cutter leaves them, or ``relieved``: it runs past them.
    made : str
        The pocket, ``engraved`` after casting or ``cast`` in.
    """

    along_axis: ClassVar[tuple[str, ...]] = ("centre_mm", "height_mm")
    along_radius: ClassVar[tuple[str, ...]] = ("depth_mm",)

    place: Literal["motif"]
    alloy: AlloyAsked
    depth_mm: Annotated[float, Field(gt=0, le=10)]
    at: ClockPosition = "12:00"
    centre_mm: Position = 0.0
    floor: Floor = "following"
    cutter_mm: Annotated[float, Field(ge=0, le=5)] = 0.0
    corners: Literal["round", "relieved"] = "round"
    made: Made = "engraved"

    @property
    def angle(self) -> float:
        """Of the middle of its first copy [rad]."""
        return clock_angle(self.at)

    @property
    def cast_in(self) -> bool:
        """Whether the casting of what it lies in has its pockets already."""
        return self.made == "cast"

    def placed(self, band: Band) -> tuple[Placed, ...]:
        claim = Claim(takes=Reach(), fills=Reach(), drawn=True)
        return (Placed(names=(self.name,), alloys=(self.alloy,), claim=claim),)
