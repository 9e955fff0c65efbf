"""What an alloy can be chosen for: the body, a place, each alloy in turn of segments."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from ringgeom.design import BODY_NAME, Design
from ringgeom.findings import Laid
from ringgeom.form.places import AnyPlace, Segments
from ringgeom.making.part import Part
from ringgeom.metal.asked import RecipeAsked

AlloyChoice = str | RecipeAsked
"""A catalogue name or a recipe, as a design asks for it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Role:
    """One metal of a design.

    Attributes
    ----------
    name : str
        Of the place; with its number where segments take several alloys in turn.
    place : int or None
        Number of the place in the design; None for the body.
    turn : int
        Which of the place's alloys in turn.
    """

    name: str
    place: int | None
    turn: int = 0

    def asked(self, design: Design) -> AlloyChoice:
        """The alloy that a design has in this role."""
        if self.place is None:
            assert design.body is not None
            return design.body.alloy
        place = design.parts[self.place]
        return place.alloys[self.turn] if isinstance(place, Segments) else place.alloy


def roles(design: Design) -> tuple[Role, ...]:
    """The metals of a design in the order written, the body last."""
    found = [
        Role(name=name, place=number, turn=turn)
        for number, place in enumerate(design.parts)
        for turn, name in enumerate(_names(place))
    ]
    return (*found, *([Role(name=BODY_NAME, place=None)] if design.body is not None else []))


def _names(place: AnyPlace) -> tuple[str, ...]:
    if isinstance(place, Segments) and len(place.alloys) > 1:
        # as the first pieces of each alloy are called
        return tuple(f"{place.name} {turn + 1}" for turn in range(len(place.alloys)))
    return (place.name,)


def role_of(laid: Laid, part: Part, known: tuple[Role, ...]) -> int:
    """Number of the role that a part of a laid ring plays."""
    key = laid.key_of(part.place)
    number = key[1] if len(key) > 1 else None
    turns = [n for n, role in enumerate(known) if role.place == number]
    return turns[(part.piece.sector or 0) % len(turns)]


def swapped(design: Design, choice: Mapping[Role, AlloyChoice]) -> Design:
    """The design with other alloys in some of its roles."""
    body, parts = design.body, list(design.parts)
    for role, asked in choice.items():
        if role.place is None:
            assert body is not None
            body = body.model_copy(update={"alloy": asked})
            continue
        place = parts[role.place]
        if isinstance(place, Segments):
            turns = list(place.alloys)
            turns[role.turn] = asked
            parts[role.place] = place.model_copy(update={"alloys": tuple(turns)})
        else:
            parts[role.place] = place.model_copy(update={"alloy": asked})
    return design.model_copy(update={"body": body, "parts": tuple(parts)})
