"""What every pattern comes to: shapes with a depth each, on a face, closing round the ring."""

from __future__ import annotations

from abc import abstractmethod
from dataclasses import dataclass
from typing import Annotated, Any, Literal

from pydantic import Field, SerializerFunctionWrapHandler, model_serializer

from ringgeom.engraving.on_face import CutIn
from ringgeom.engraving.shape import Shape
from ringgeom.engraving.unrolled import Unrolled
from ringgeom.errors import ShapeError

Depth = Annotated[float, Field(gt=0, le=1.5)]
"""How deep it is cut below the face, measured radially [mm]."""

MOST_FIGURES = 2_000
"""Beads, leaves, scales or facets of one pattern."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """A shape taken out of the face, its floor as far below the face everywhere [mm]."""

    shape: Shape
    depth_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Pattern:
    """A pattern on a face.

    `cuts` are taken out; `figures` are what is seen, standing or cut. `count` is how many repeats
    go round. Where `wraps`, the cuts are opened at the seam only to be drawn flat:
    `unrolled.without_seam` gives their outline as it is. `notes` say what was made to close.
    """

    cuts: tuple[Cut, ...]
    figures: tuple[Shape, ...]
    count: int
    wraps: bool = False
    exact: bool = True
    notes: tuple[str, ...] = ()

    @property
    def area_mm2(self) -> float:
        """What is cut of the unrolled face."""
        return sum(cut.shape.area_mm2 for cut in self.cuts)


class Asking(CutIn):
    """Parameters of a pattern, with their limits.

    It begins `at` a place round the ring, and lies within `width_mm` round `centre_mm`; without
    a width, as far as the nearer edge of the face.
    """

    kind: Literal["pattern"] = "pattern"
    pattern: str
    width_mm: Annotated[float, Field(gt=0, le=60)] | None = None

    @model_serializer(mode="wrap")
    def _told_by_name(self, handler: SerializerFunctionWrapHandler) -> dict[str, Any]:
        """Kind and pattern are always written: they say how the rest is read."""
        return {"kind": self.kind, "pattern": self.pattern, **handler(self)}

    @property
    def words(self) -> str:
        """What it is called in a sentence."""
        return f"the pattern {self.pattern}"

    @abstractmethod
    def drawn(self, face: Unrolled) -> Pattern:
        """The pattern on a face.

        Raises
        ------
        ShapeError
            It does not fit the face, or does not close round it; told with what would.
        """


def rounds(face: Unrolled, asked_mm: float, *, what: str, least: int = 3, step: int = 1) -> int:
    """How many repeats near a wanted length go round, a whole number that `step` divides.

    Raises
    ------
    ShapeError
        Fewer than would close, or more than can be cut.
    """
    count = step * round(face.round_mm / asked_mm / step)
    if count < least:
        raise ShapeError(
            f"{what} of {asked_mm:g} mm go round {face.round_mm:.2f} mm fewer than {least} times; "
            f"at most {face.round_mm / least:.3f} mm each"
        )
    if count > MOST_FIGURES:
        raise ShapeError(
            f"{count} {what} are too many; at least {face.round_mm / MOST_FIGURES:.3f} mm each"
        )
    return count


def room(face: Unrolled, margin_mm: float, least_mm: float, what: str) -> Unrolled:
    """The face within its margins.

    Raises
    ------
    ShapeError
        Too little of it is left.
    """
    left = face.within(margin_mm)
    if left.width_mm < least_mm:
        raise ShapeError(
            f"{what} needs {least_mm:.3f} mm of the face's width; between margins of "
            f"{margin_mm:g} mm there are {left.width_mm:.3f} of {face.width_mm:.3f} mm"
        )
    return left


def closing(asked_mm: float, made_mm: float, what: str) -> tuple[str, ...]:
    """A note where a length was changed so that whole repeats go round."""
    if abs(made_mm - asked_mm) < 5e-4:
        return ()
    return (f"{what} is {made_mm:.3f} mm, not {asked_mm:g}, so that it closes round the ring",)
