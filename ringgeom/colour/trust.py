"""How far a predicted colour can be trusted: the class of its evidence and bands."""

from __future__ import annotations

from dataclasses import dataclass

from ringgeom.colour.predict import MODELLED, columns
from ringgeom.facts import table
from ringgeom.metal import Alloy

LITTLE_COPPER_PERCENT = 8.0
"""Up to here copper leaves an 18 ct gold-silver greenish; beyond, it is a yellow."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Trust:
    """How far a colour can be trusted: its class, in words, and bands in CIEDE2000."""

    kind: str
    words: str
    band_de00: float
    pair_band_de00: float


def trust(alloy: Alloy) -> Trust:
    """How far the colour of an alloy can be trusted."""
    kinds = {row["class"]: row for row in table("colour_trust")}
    row = kinds[_kind(alloy)]
    return Trust(
        kind=row["class"],
        words=row["words"],
        band_de00=float(row["band_de00"]),
        pair_band_de00=float(row["pair_band_de00"]),
    )


def _kind(alloy: Alloy) -> str:
    recipe = alloy.recipe
    metals = {symbol for symbol, share in recipe.shares if share > 0}
    if alloy.lab is not None:
        return "measured"
    if not metals <= set(MODELLED):
        return "white" if metals & set(columns()) - set(MODELLED) else "other"
    if metals <= {"Au", "Ag"}:
        return "gold-silver"
    if "Au" not in metals:
        return "silver-copper" if recipe.percent("Ag") >= 50 else "brass"
    return "green" if recipe.percent("Cu") <= LITTLE_COPPER_PERCENT else "yellow-red"
