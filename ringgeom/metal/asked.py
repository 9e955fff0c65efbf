"""An alloy as a file may ask for it: a catalogue name, or a recipe in mass percent.

A recipe is a table, `{ name = "Willow", Au = 75, Ag = 25 }`, or plain text, "Au 75 Ag 25".
"""

from __future__ import annotations

from typing import Annotated, Any, Self

from pydantic import (
    AfterValidator,
    BeforeValidator,
    ConfigDict,
    Discriminator,
    Field,
    Tag,
    model_validator,
)

from ringgeom.asked import Asked, told
from ringgeom.errors import Problem, RecipeError
from ringgeom.metal.alloy import Alloy, alloy_from_recipe
from ringgeom.metal.catalogue import alloy_names
from ringgeom.metal.recipe import karat_to_permille
from ringgeom.metal.written import alloy_from_text

Lightness = Annotated[float, Field(ge=0, le=100)]
ColourPart = Annotated[float, Field(ge=-128, le=128)]
Share = Annotated[float, Field(ge=0, le=1000)]
"""A share as typed; whether the shares make a recipe is judged by the recipe's own checks."""


class RecipeAsked(Asked):
    """`{ name = "Willow", Au = 75, Ag = 25 }`: every other key is the symbol of a metal."""

    model_config = ConfigDict(extra="allow")
    __pydantic_extra__: dict[str, Share] = Field(init=False)

    name: Annotated[str, Field(min_length=1, max_length=60)]
    density_g_cm3: Annotated[float, Field(gt=0.5, lt=25)] | None = None
    lab: Annotated[tuple[Lightness, ColourPart, ColourPart], Field(strict=False)] | None = None

    @property
    def shares(self) -> dict[str, float]:
        """Symbol to mass percent, as typed."""
        return {symbol: float(share) for symbol, share in (self.__pydantic_extra__ or {}).items()}

    @model_validator(mode="after")
    def _can_be_weighed(self) -> Self:
        alloy_asked(self)
        return self


def _known(name: str) -> str:
    alloy_asked(name)
    return name


def _spelling(asked: Any) -> str:
    return "name" if isinstance(asked, str) else "recipe"


def _alloy_like(asked: Any) -> Any:
    """A name or a table; a bare number is perhaps a karat."""
    if isinstance(asked, str | dict | RecipeAsked):
        return asked
    number = asked if isinstance(asked, int | float) and not isinstance(asked, bool) else 0
    permille = round(karat_to_permille(number)) if 8 <= number <= 24 else 0
    near = [name for name in alloy_names() if name.startswith(f"gold-{permille}-")]
    raise told(
        Problem(
            text="an alloy is a name in quotes or a recipe in braces"
            + (f"; {number:g} kt is {permille} permille" if permille else ""),
            value=str(asked)[:60],
            allowed='a catalogue name such as "gold-750-yellow-3n", or a recipe such as '
            '{ name = "Willow", Au = 75, Ag = 25 }',
            nearest=", ".join(near[:3]),
        )
    )


AlloyAsked = Annotated[
    Annotated[str, Field(min_length=1, max_length=120), AfterValidator(_known), Tag("name")]
    | Annotated[RecipeAsked, Tag("recipe")],
    Discriminator(_spelling),
    BeforeValidator(_alloy_like),
]


def alloy_asked(asked: str | RecipeAsked) -> Alloy:
    """The alloy that was asked for.

    Raises
    ------
    PydanticCustomError
        No such alloy, or a recipe with unknown metals.
    """
    try:
        if isinstance(asked, str):
            return alloy_from_text(asked)
        return alloy_from_recipe(asked.name, asked.shares, asked.density_g_cm3, asked.lab)
    except RecipeError as error:
        raise told(error) from None
