"""What a design asks to be engraved, raised or left free: one list, told apart by its kind."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Literal, Self

from pydantic import Field, PrivateAttr, model_validator

from ringgeom.asked import Asked, told
from ringgeom.engraving.clock import ClockPosition, clock_angle
from ringgeom.errors import Problem
from ringgeom.fonts import LETTERING

Side = Literal["inside", "outside"]
Made = Literal["engraved", "cast"]
Floor = Literal["following", "flat"]

LONGEST_TEXT = 200
"""Letters of a text: more than any bore holds."""


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


class Lettering(OnFace):
    """A line of text.

    Attributes
    ----------
    font : str
        One of the fonts here by its word, or the path of a TTF or OTF file beside the design.
    height_mm : float
        Of a capital letter.
    floor : str
        ``following`` the face everywhere at one depth, or ``flat``, a cylinder at that depth
        under the middle of the text.
    fit_mm : float, optional
        Length that the text is spaced to.
    mirrored : bool
        Reads the other way round, for a stamp or a seal.
    made : str
        ``engraved`` after casting, or ``cast`` in: then the wax has it too. Raised letters are
        always cast in.
    """

    kind: Literal["lettering"]
    text: Annotated[str, Field(min_length=1, max_length=LONGEST_TEXT)]
    font: Annotated[str, Field(min_length=1, max_length=300)] = "serif"
    height_mm: Annotated[float, Field(ge=0.2, le=30)]
    depth_mm: Annotated[float, Field(gt=0, le=5)] = 0.15
    raised: bool = False
    floor: Floor = "following"
    repeat: Annotated[int, Field(ge=1, le=100)] = 1
    fit_mm: Annotated[float, Field(gt=0, le=300)] | None = None
    mirrored: bool = False
    made: Made | None = None
    _folder: Path | None = PrivateAttr(default=None)

    @model_validator(mode="after")
    def _raised_is_cast(self) -> Self:
        if self.raised and self.made == "engraved":
            problem = Problem(
                text="raised letters cannot be engraved into a face",
                value='"engraved"',
                allowed='made = "cast", or raised = false',
            )
            raise told(problem, at=("made",))
        return self

    @property
    def cast_in(self) -> bool:
        """Whether the casting has it already."""
        return self.raised or self.made == "cast"

    @property
    def folder(self) -> Path | None:
        """Folder of the design file, where a font of one's own is looked for; None without."""
        return self._folder

    @property
    def own_font(self) -> bool:
        """Whether the font is a file, not one of those here."""
        return self.font not in LETTERING

    def beside(self, folder: Path) -> Lettering:
        """The same with the folder of its design file."""
        found = self.model_copy()
        found._folder = folder
        return found


class MarkBox(OnFace):
    """Room of true size for a mark that is struck or lasered later; it cuts nothing."""

    kind: Literal["mark"]
    which: Literal["fineness", "maker"]
    width_mm: Annotated[float, Field(gt=0, le=50)]
    height_mm: Annotated[float, Field(gt=0, le=30)]


AnyEngraving = Annotated[Lettering | MarkBox, Field(discriminator="kind")]

ENGRAVING_WORDS = {
    **dict.fromkeys(("text", "letters", "inscription", "words", "engraved"), "lettering"),
    **dict.fromkeys(("hallmark", "box", "stamp", "punch", "marks"), "mark"),
}
"""What people write for a kind of engraving, and the kind it means."""
