"""A portion as a person writes it: an amount with its unit, and the metal."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from ringgeom.errors import Problem, RecipeError
from ringgeom.metal.alloy import Alloy, alloy_from_recipe
from ringgeom.metal.fault import recipe_faults
from ringgeom.metal.meant import alloy_meant
from ringgeom.metal.mixing import mixture
from ringgeom.units import G_PER_PENNYWEIGHT, G_PER_TROY_OUNCE

UNITS = {
    "g": ("g", 1.0),
    "kg": ("g", 1000.0),
    "dwt": ("g", G_PER_PENNYWEIGHT),
    "ozt": ("g", G_PER_TROY_OUNCE),
    "cm3": ("cm3", 1.0),
    "mm3": ("cm3", 0.001),
}
"""Unit as written to g or cm3, and its size in that."""

PORTION = re.compile(
    r"\s*(?P<amount>\d+(?:[.,]\d+)?|\.\d+)\s*(?P<unit>[A-Za-z]+3?)\s+(?P<metal>.+)"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class WrittenPortion:
    """An amount of an alloy: grams, or cm3 where a volume was written."""

    amount: float
    measure: Literal["g", "cm3"]
    alloy: Alloy

    @property
    def grams(self) -> float:
        """Its mass [g]; a volume weighs by the alloy's density."""
        return self.amount * (1.0 if self.measure == "g" else self.alloy.density_g_cm3)

    @property
    def cm3(self) -> float:
        """Its volume [cm3]."""
        return self.grams / self.alloy.density_g_cm3


def portion_from_text(text: str) -> WrittenPortion:
    """An amount with its metal, such as "18 g Au" or "1.5 cm3 gold-750-green".

    Parameters
    ----------
    text : str
        A number, a unit (g, kg, dwt, ozt, cm3, mm3), then a catalogue name or a recipe.

    Returns
    -------
    WrittenPortion
        In g or cm3.

    Raises
    ------
    RecipeError
        No unit, an ambiguous ounce, no such metal, an amount of zero.

    Examples
    --------
    >>> portion_from_text("10 dwt Au").grams
    15.5517384
    """
    found = PORTION.fullmatch(text)
    if found is None:
        raise RecipeError(
            Problem(
                text="a portion is an amount, its unit and its metal",
                value=text,
                allowed='such as "18 g Au", "12.5 dwt gold-750-green", "1.2 cm3 Ag"',
            )
        )
    unit = found["unit"]
    if unit.lower() in ("oz", "ounce", "ounces", "gr", "gn"):
        raise RecipeError(
            Problem(
                text=f"{unit} is not clear",
                value=text,
                allowed=" ".join(UNITS),
                nearest="ozt, the troy ounce of 31.1035 g" if unit[0].lower() == "o" else "g",
            )
        )
    if unit not in UNITS:
        metal = f"{unit} {found['metal']}"
        raise RecipeError(
            Problem(
                text="the amount needs a unit",
                value=text,
                allowed=" ".join(UNITS),
                nearest=f'"{found["amount"]} g {metal}"',
            )
        )
    measure, size = UNITS[unit]
    amount = float(found["amount"].replace(",", ".")) * size
    if not amount > 0:
        raise RecipeError(Problem(text="the amount must be above 0", value=text))
    return WrittenPortion(
        amount=amount,
        measure="g" if measure == "g" else "cm3",
        alloy=alloy_meant(found["metal"]),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Mixed:
    """Portions melted together, and the alloy that comes of them."""

    portions: tuple[WrittenPortion, ...]
    made: Alloy

    @property
    def grams(self) -> float:
        """Of all portions [g]."""
        return sum(portion.grams for portion in self.portions)

    @property
    def wearable(self) -> bool:
        """Whether no metal of it is refused for wear."""
        return not any(fault.level == "stop" for fault in recipe_faults(self.made.recipe))

    @property
    def volume_cm3(self) -> float:
        """Volume of the portions before they were melted [cm3]."""
        return sum(portion.cm3 for portion in self.portions)


def mixed_from_texts(texts: Sequence[str]) -> Mixed:
    """What comes of portions melted together; every wrong portion is told at once.

    Raises
    ------
    RecipeError
        As `portion_from_text`, for all portions.
    """
    portions = _portions(texts)
    recipe = mixture("the mixture", [(one.alloy.recipe, one.grams) for one in portions])
    return Mixed(portions=portions, made=alloy_from_recipe(recipe.name, dict(recipe.shares)))


def lot_in_hand(texts: Sequence[str]) -> WrittenPortion | None:
    """One lot of an alloy, if that is what is in hand; None for fine metals or several portions."""
    portions = _portions(texts)
    one = portions[0] if len(portions) == 1 else None
    return one if one is not None and len(one.alloy.recipe.shares) > 1 else None


def metals_in_hand(texts: Sequence[str]) -> dict[str, float]:
    """Fine metals in hand, symbol to grams.

    Raises
    ------
    RecipeError
        As `portion_from_text`; or a portion is an alloy, which is a lot of the shop file.
    """
    held: dict[str, float] = {}
    for portion in _portions(texts):
        shares = portion.alloy.recipe.shares
        if len(shares) > 1:
            raise RecipeError(
                Problem(
                    text="in hand are fine metals; an alloy is a [[lot]] of the shop file",
                    value=portion.alloy.name,
                    allowed='such as "31.1 g Au"',
                )
            )
        held[shares[0][0]] = held.get(shares[0][0], 0.0) + portion.grams
    return held


def _portions(texts: Sequence[str]) -> tuple[WrittenPortion, ...]:
    found: list[WrittenPortion] = []
    problems: list[Problem] = []
    for text in texts:
        try:
            found.append(portion_from_text(text))
        except RecipeError as error:
            problems += error.problems
    if problems:
        raise RecipeError(problems)
    return tuple(found)
