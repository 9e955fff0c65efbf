"""The shop file: the shop's own settings, its stock and its prices; validated, nothing computed."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from pydantic import Field

from ringgeom.asked import Asked
from ringgeom.reading import model_from_text, read_model
from ringgeom.shop.labour import Labour
from ringgeom.shop.learnt import MOST_COUNT, MOST_ISSUED_G, AlloyShrink, LossFrom
from ringgeom.shop.lot import Flag, Lot, LotKind
from ringgeom.shop.melting import Marking, MeltSettings
from ringgeom.shop.prices import Prices
from ringgeom.shop.settings import (
    Casting,
    Fabricating,
    Fit,
    Joining,
    Limits,
    Measured,
    MeshSettings,
    SheetSettings,
    ShrinkSettings,
    StockSettings,
)

__all__ = [
    "MOST_COUNT",
    "MOST_ISSUED_G",
    "AlloyShrink",
    "Casting",
    "Fabricating",
    "Fit",
    "Flag",
    "Joining",
    "Labour",
    "Limits",
    "LossFrom",
    "Lot",
    "LotKind",
    "Marking",
    "Measured",
    "MeltSettings",
    "MeshSettings",
    "Prices",
    "SheetSettings",
    "Shop",
    "ShrinkSettings",
    "StockSettings",
    "read_shop",
    "shop_from_text",
]


MOST_LOTS = 500
"""No drawer holds more lots than this; a plan over so many takes seconds."""


class Shop(Asked):
    """A whole shop file."""

    casting: Casting = Casting()
    shrink: ShrinkSettings = ShrinkSettings()
    stock: StockSettings = StockSettings()
    fit: Fit = Fit()
    limits: Limits = Limits()
    joining: Joining = Joining()
    fabricating: Fabricating = Fabricating()
    mesh: MeshSettings = MeshSettings()
    sheet: SheetSettings = SheetSettings()
    measured: dict[str, Measured] = Field(default_factory=dict)
    melt: MeltSettings = MeltSettings()
    marks: Marking = Marking()
    prices: Prices | None = None
    labour: Labour = Labour()
    lots: tuple[Lot, ...] = Field(default=(), alias="lot", strict=False, max_length=MOST_LOTS)

    def settings(self) -> dict[str, Any]:
        """Every value in force, for the outputs to print."""
        return self.model_dump(mode="json", by_alias=True)


def read_shop(path: str | Path | None) -> Shop:
    """Read a shop file; without one, the defaults.

    Raises
    ------
    InputError
        Everything that is wrong with the file, each with key path, line and way out.
    """
    return Shop() if path is None else read_model(path, Shop, "shop file")[0]


def shop_from_text(text: str) -> Shop:
    """A shop from TOML text; errors as in `read_shop`."""
    return model_from_text(text, Shop)
