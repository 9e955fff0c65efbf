"""What a design asks to be engraved, raised or left free: one list, told apart by its kind."""

from __future__ import annotations

from math import floor
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from ringgeom.asked import BesideDesign, told
from ringgeom.engraving.on_face import CutIn, OnFace
from ringgeom.engraving.patterns import AnyPattern
from ringgeom.engraving.patterns.pattern import Depth
from ringgeom.errors import Problem
from ringgeom.fonts import LETTERING_WORDS, SINGLE_LINE
from ringgeom.form.repeated import Floor, Made, Repeated

LONGEST_TEXT = 200
"""Letters of a text: more than any bore holds."""

LINE_MM = 0.15
"""Width of the cut along single lines, where none is asked for."""

LEAST_LINES = 4.0
"""A capital is at least so many lines high."""

LineWidth = Annotated[float, Field(ge=0.02, le=5)]


class Lettering(OnFace, BesideDesign):
    """A line of text.

    Attributes
    ----------
    font : str
        One of the fonts here by its word, ``line`` for letters of single lines, or the path of a
        TTF or OTF file beside the design.
    line_mm : float, optional
        Width of the cut along single lines; the tool is round.
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
    line_mm: LineWidth | None = None
    mirrored: bool = False
    made: Made | None = None

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

    @model_validator(mode="after")
    def _line_of_single_lines(self) -> Self:
        if self.line_mm is None:
            return self
        if not self.single_lines:
            problem = Problem(
                text="only letters of single lines have a width of their line",
                value=f"{self.line_mm:g}",
                allowed=f'font = "{SINGLE_LINE}", or no line_mm',
            )
            raise told(problem, at=("line_mm",))
        if self.line_mm > self.height_mm / LEAST_LINES:
            problem = Problem(
                text=f"a line of {self.line_mm:g} mm fills letters {self.height_mm:g} mm high",
                value=f"{self.line_mm:g}",
                allowed=f"line_mm = {floor(1000 * self.height_mm / LEAST_LINES) / 1000:g} or less",
            )
            raise told(problem, at=("line_mm",))
        return self

    @property
    def single_lines(self) -> bool:
        """Whether its letters are single lines."""
        return self.font == SINGLE_LINE

    @property
    def cut_mm(self) -> float:
        """Width of the cut along single lines."""
        return self.line_mm or min(LINE_MM, self.height_mm / LEAST_LINES)

    @property
    def words(self) -> str:
        """What it is called in a sentence."""
        return f'"{self.text if len(self.text) <= 30 else self.text[:28] + "…"}"'

    @property
    def cast_in(self) -> bool:
        """Whether the casting has it already."""
        return self.raised or self.made == "cast"

    @property
    def own_file(self) -> bool:
        """Whether the font is a file, not one of those here."""
        return self.font not in LETTERING_WORDS


class MarkBox(OnFace):
    """Room of true size for a mark that is struck or lasered later; it cuts nothing."""

    kind: Literal["mark"]
    which: Literal["fineness", "maker"]
    width_mm: Annotated[float, Field(gt=0, le=50)]
    height_mm: Annotated[float, Field(gt=0, le=30)]

    @property
    def words(self) -> str:
        """What it is called in a sentence."""
        return f"the room for the {self.which} mark"


class Motif(CutIn, Repeated):
    """A drawing of one's own, cut so many times round.

    Attributes
    ----------
    line_mm : float, optional
        Width of the cut along single lines of the drawing; without, they are left out.
    """

    kind: Literal["motif"]
    line_mm: LineWidth | None = None
    depth_mm: Depth = 0.2


Figure = AnyPattern | Motif
"""What is drawn, not written."""

AnyEngraving = Annotated[
    Lettering | MarkBox | Motif | Annotated[AnyPattern, Field(discriminator="pattern")],
    Field(discriminator="kind"),
]

ENGRAVING_WORDS = {
    **dict.fromkeys(("text", "letters", "inscription", "words", "engraved"), "lettering"),
    **dict.fromkeys(("hallmark", "box", "stamp", "punch", "marks"), "mark"),
    **dict.fromkeys(("drawing", "svg", "picture", "ornament"), "motif"),
    **dict.fromkeys(("texture", "border"), "pattern"),
    **dict.fromkeys(("beading", "beads", "millgrain"), "milgrain"),
    **dict.fromkeys(("leaves", "tendril", "foliage"), "vine"),
    **dict.fromkeys(("facets", "planished"), "hammered"),
}
"""What people write for a kind of engraving or a pattern, and the word here."""
