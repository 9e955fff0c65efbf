"""`[[lot]]`: metal on hand, with its recipe. What it is used for is decided elsewhere."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BeforeValidator, Field

from ringgeom.asked import Asked, told
from ringgeom.errors import Problem, RecipeError
from ringgeom.metal import Recipe, alloy_from_text, recipe_faults

LotKind = Literal["fine", "master", "returns", "scrap"]
"""Bought new: fine metal, master alloy. Melted before: clean returns, tested scrap."""

Flag = Literal["solder", "plated", "stones", "ferrous", "nickel", "dirty"]

SCRAP_DOUBT_PERMILLE = 3.0
"""A test on the stone or with X-rays is good to about this; common practice, no source."""

FINE_PERCENT = 99.5
"""From here a single metal counts as fine."""

NOT_A_LOTS_FAULT = ("cadmium", "lead", "nickel", "nickel-on-skin", "beryllium")
"""What harms is told of a lot and keeps it out of the melt, but it can be on hand."""


def _printable(name: str) -> str:
    if not name.isprintable() or name != name.strip():
        raise told(
            Problem(
                text="a lot's name is letters, digits and signs that can be printed",
                value=repr(name),
                allowed="no line breaks, no spaces at its ends",
            )
        )
    return name


def _written(recipe: Any) -> Any:
    """A recipe as text or as a table of symbols."""
    if isinstance(recipe, str):
        try:
            return dict(alloy_from_text(recipe).recipe.shares)
        except RecipeError as error:
            raise told(error) from None
    return recipe


def _recipe(shares: dict[str, float]) -> dict[str, float]:
    """Refuse what is no recipe: its sum, its symbols, karat or permille for percent."""
    try:
        faults = recipe_faults(Recipe.of("the lot", shares))
    except RecipeError as error:
        raise told(error) from None
    wrong = [f for f in faults if f.level == "stop" and f.code not in NOT_A_LOTS_FAULT]
    if wrong:
        raise told(RecipeError([Problem(text=f"{fault.text}; {fault.fix}") for fault in wrong]))
    return shares


Shares = Annotated[
    dict[str, Annotated[float, Field(ge=0, le=1000)]],
    BeforeValidator(_written),
    AfterValidator(_recipe),
]


class Lot(Asked):
    """Metal on hand.

    `recipe` is a table `{ Au = 75, Ag = 25 }` or text: "Au 75 Ag 25", a catalogue name. A lot
    without a recipe is kept out: one number, a karat, does not tell what else is in it.
    `uncertainty_permille` is how far the fineness on paper may be off, either way: 3 for scrap
    unless it is given, 0 for all else (common practice, no source).
    """

    name: Annotated[str, Field(min_length=1, max_length=60), AfterValidator(_printable)]
    grams: Annotated[float, Field(gt=0, le=100_000)]
    recipe: Shares | None = None
    kind: LotKind | None = None
    flags: Annotated[tuple[Flag, ...], Field(strict=False)] = ()
    uncertainty_permille: Annotated[float, Field(ge=0, le=100)] | None = None

    @property
    def made_of(self) -> Recipe | None:
        """The recipe, its shares brought to 100 percent."""
        return None if self.recipe is None else Recipe.of(self.name, self.recipe).normalised()

    @property
    def doubt_permille(self) -> float:
        """How far the fineness may be off, as given or as usual for the kind [permille]."""
        if self.uncertainty_permille is not None:
            return self.uncertainty_permille
        return SCRAP_DOUBT_PERMILLE if self.is_kind == "scrap" else 0.0

    @property
    def is_kind(self) -> LotKind:
        """The kind as given; without, a single fine metal is fine and all else is scrap."""
        if self.kind is not None:
            return self.kind
        recipe = self.made_of
        return "fine" if recipe and recipe.shares[0][1] >= FINE_PERCENT else "scrap"
