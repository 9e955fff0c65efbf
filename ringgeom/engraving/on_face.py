"""What everything that is asked for on a face has in common: its side and its place."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from ringgeom.asked import Asked
from ringgeom.form.clock import ClockPosition, clock_angle
from ringgeom.form.repeated import Floor, Made

Side = Literal["inside", "outside"]


class OnFace(Asked):
    """Keys of everything that has its place on a face.

    `at` is where its middle lies round the ring, `centre_mm` where across it, from mid-width.
    """

    on: Side = "inside"
    at: ClockPosition = "12:00"
    centre_mm: Annotated[float, Field(ge=-100, le=100)] = 0.0

    @property
    def angle(self) -> float:
        """Of its middle [rad]."""
        return clock_angle(self.at)


class CutIn(OnFace):
    """Keys of a figure that is cut into a face, the outside unless said otherwise.

    Attributes
    ----------
    floor : str
        ``following`` the face everywhere at one depth, or ``flat``, a cylinder at that depth
        under its middle.
    made : str
        ``engraved`` after casting, or ``cast`` in: then the wax has it too.
    """

    on: Side = "outside"
    floor: Floor = "following"
    made: Made = "engraved"

    @property
    def cast_in(self) -> bool:
        """Whether the casting has it already."""
        return self.made == "cast"
