"""What everything that is asked for on a face has in common: its side, its place, its file."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Literal, Self

from pydantic import Field, PrivateAttr

from ringgeom.asked import Asked
from ringgeom.engraving.clock import ClockPosition, clock_angle

Side = Literal["inside", "outside"]
Made = Literal["engraved", "cast"]
Floor = Literal["following", "flat"]


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


class BesideDesign(Asked):
    """What may name a file that lies beside the design."""

    _folder: Path | None = PrivateAttr(default=None)

    @property
    def folder(self) -> Path | None:
        """Folder of the design file, where files of one's own are looked for; None without."""
        return self._folder

    @property
    def own_file(self) -> bool:
        """Whether it needs a file of one's own."""
        return True

    def beside(self, folder: Path) -> Self:
        """The same with the folder of its design file."""
        found = self.model_copy()
        found._folder = folder
        return found
