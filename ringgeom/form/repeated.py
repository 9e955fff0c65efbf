"""A drawing of one's own, so many times round the ring: the keys of motifs, engraved or inlaid."""

from __future__ import annotations

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from ringgeom.asked import BesideDesign, told
from ringgeom.errors import Problem

MOST_COPIES = 500
Size = Annotated[float, Field(ge=0.05, le=100)]
Floor = Literal["following", "flat"]
Made = Literal["engraved", "cast"]


class Repeated(BesideDesign):
    """Keys of a drawing that is repeated round the ring.

    Attributes
    ----------
    file : str
        An SVG file beside the design, drawn in mm.
    height_mm, length_mm : float, optional
        Its size across or round the ring, one of them; as drawn without.
    mirrored : str
        Every second copy ``across`` the width or along the way ``round``.
    follows : str, optional
        Name of a part whose wave moves every copy across.
    """

    file: Annotated[str, Field(min_length=1, max_length=300)]
    count: Annotated[int, Field(ge=1, le=MOST_COPIES)] = 1
    height_mm: Size | None = None
    length_mm: Size | None = None
    mirrored: Literal["no", "across", "round"] = "no"
    follows: Annotated[str, Field(min_length=1, max_length=60)] | None = None

    @model_validator(mode="after")
    def _one_size(self) -> Self:
        if self.height_mm is not None and self.length_mm is not None:
            problem = Problem(
                text="a motif has one size: the other follows from its drawing",
                allowed="height_mm or length_mm",
            )
            raise told(problem, at=("length_mm",))
        return self

    @property
    def words(self) -> str:
        """What it is called in a sentence."""
        return f"the motif {self.file[-40:]}"
