"""Where metal can come from: the lots that may be used, and fine metals that may be bought."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ringgeom.metal import Recipe, element
from ringgeom.metal.hazard import CADMIUM_LIMIT_PERCENT, LEAD_LIMIT_PERCENT
from ringgeom.shop import Flag, Lot, LotKind, MeltSettings

Array = NDArray[np.float64]

FLAG_WORDS: dict[Flag, str] = {
    "solder": "holds solder: its low-melting metals make castings brittle and the recipe uncertain",
    "plated": "is plated: strip the plating first, its metal is not in the recipe",
    "stones": "still holds stones: take them out and weigh again",
    "ferrous": "holds iron or steel (springs, binding wire): draw it out with a magnet first",
    "nickel": "may hold nickel: it must not get into another metal unnoticed",
    "dirty": "is dirty: melt it clean and have it tested",
}

NEW: tuple[LotKind, ...] = ("fine", "master")


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """Metal that may go into a melt.

    Attributes
    ----------
    name : str
        The lot, or the symbol of a fine metal to buy.
    recipe : Recipe
        In percent by mass, summing to 100.
    grams : float
        How much there is; infinite when it is bought.
    kind : str
        ``fine`` or ``master`` are new, ``returns`` and ``scrap`` were melted before.
    bought : bool
        Whether it is still to be bought.
    uncertainty_permille : float
        How far its fineness may be off, either way.
    """

    name: str
    recipe: Recipe
    grams: float
    kind: LotKind
    bought: bool = False
    uncertainty_permille: float = 0.0

    @property
    def is_new(self) -> bool:
        """Whether it was never melted in this shop."""
        return self.kind in NEW

    def share(self, symbol: str) -> float:
        """Mass share of a metal, 0 to 1."""
        return self.recipe.percent(symbol) / 100


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptOut:
    """A lot that is not used for any melt, and why."""

    lot: str
    why: str


def fine(symbol: str) -> Source:
    """Fine metal to buy, as much as is needed."""
    return Source(
        name=f"fine {element(symbol).name}",
        recipe=Recipe.of(symbol, {symbol: 100.0}),
        grams=math.inf,
        kind="fine",
        bought=True,
    )


def sources(
    lots: Iterable[Lot], symbols: Iterable[str], settings: MeltSettings
) -> tuple[tuple[Source, ...], tuple[KeptOut, ...]]:
    """What may be melted, and the lots that are kept out with the reason.

    Parameters
    ----------
    lots : iterable of Lot
        Metal on hand. Without any, every metal of the recipes is bought fine.
    symbols : iterable of str
        Metals that the melts' recipes hold.
    """
    usable: list[Source] = []
    out: list[KeptOut] = []
    lots = tuple(lots)
    for lot in lots:
        why = _why_not(lot, settings)
        recipe = lot.made_of
        if why or recipe is None:
            out.append(KeptOut(lot=lot.name, why=why))
            continue
        usable.append(
            Source(
                name=lot.name,
                recipe=recipe,
                grams=lot.grams,
                kind=lot.is_kind,
                uncertainty_permille=lot.doubt_permille,
            )
        )
    for symbol in symbols if not lots else settings.buy:
        usable.append(fine(symbol))
    return tuple(usable), tuple(out)


def _why_not(lot: Lot, settings: MeltSettings) -> str:
    recipe = lot.made_of
    if recipe is None:
        return (
            "its recipe is unknown: a karat alone does not tell what else is in it; have it tested"
        )
    for flag in lot.flags:
        if flag not in settings.allow:
            return FLAG_WORDS[flag]
    for symbol, limit in (("Cd", CADMIUM_LIMIT_PERCENT), ("Pb", LEAD_LIMIT_PERCENT)):
        held = recipe.percent(symbol)
        if held >= limit:
            return (
                f"holds {held:g} % {element(symbol).name}, not allowed for wear from {limit:g} %; "
                "send it to a refiner"
            )
    return ""
