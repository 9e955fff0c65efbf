"""`[prices]`: what metals cost, per troy ounce or per gram. No price is built in."""

from __future__ import annotations

import datetime
from difflib import get_close_matches
from typing import Annotated, Literal, Self

from pydantic import ConfigDict, Field, model_validator

from ringgeom.asked import Asked, told
from ringgeom.errors import Problem
from ringgeom.metal import elements, nearest_symbol
from ringgeom.units import G_PER_TROY_OUNCE

OUNCE_SLACK_G = 0.005
"""31.1, as printed on many price lists, is a troy ounce; 28.35 and 30 are not."""

GOLD_PER_OUNCE_FROM, GOLD_PER_GRAM_TO = 400.0, 1000.0
"""Gold below the first an ounce, or above the second a gram, is probably in the other unit.

Common practice, no source: true in the large currencies since 2005; `sure = true` overrides.
"""


class Prices(Asked):
    """`Au = 2100.0` and so on, per troy ounce unless `unit = "g"`.

    `premium_percent` is paid on top when buying; `scrap_percent` is what metal that was melted
    before is worth to the shop.
    """

    model_config = ConfigDict(extra="allow")
    __pydantic_extra__: dict[str, Annotated[float, Field(gt=0, le=1e9)]] = Field(init=False)

    currency: Annotated[str, Field(min_length=1, max_length=12)]
    date: datetime.date | None = None
    unit: Literal["troy ounce", "g"] = "troy ounce"
    ounce_g: float = G_PER_TROY_OUNCE
    premium_percent: Annotated[float, Field(ge=0, le=100)] = 0.0
    scrap_percent: Annotated[float, Field(ge=0, le=100)] = 95.0
    sure: bool = False

    @property
    def metals(self) -> dict[str, float]:
        """Symbol to price per unit, as typed."""
        return dict(self.__pydantic_extra__ or {})

    def per_g(self, symbol: str) -> float | None:
        """Price of a metal per gram, or None if it is not listed."""
        price = self.metals.get(symbol)
        if price is None or self.unit == "g":
            return price
        return price / G_PER_TROY_OUNCE

    @model_validator(mode="after")
    def _units(self) -> Self:
        for symbol in self.metals:
            if symbol not in elements():
                near = get_close_matches(symbol, type(self).model_fields, n=1)
                raise told(
                    Problem(
                        text="neither a key of [prices] nor the symbol of a known metal",
                        value=symbol,
                        allowed=" ".join(elements()),
                        nearest=near[0] if near else nearest_symbol(symbol) or "",
                    ),
                    at=(symbol,),
                )
        if abs(self.ounce_g - G_PER_TROY_OUNCE) > OUNCE_SLACK_G:
            raise told(
                Problem(
                    text="metal is priced per troy ounce; an ounce of 28.35 g is for groceries",
                    value=f"{self.ounce_g:g} g",
                    allowed=f"{G_PER_TROY_OUNCE:.4f} g",
                    nearest='unit = "g" for a price per gram',
                ),
                at=("ounce_g",),
            )
        gold = self.metals.get("Au")
        if gold is not None and not self.sure:
            self._likely(gold)
        return self

    def _likely(self, gold: float) -> None:
        if self.unit == "troy ounce" and gold < GOLD_PER_OUNCE_FROM:
            other, text = "g", "this looks like a price per gram, not per troy ounce"
        elif self.unit == "g" and gold > GOLD_PER_GRAM_TO:
            other, text = "troy ounce", "this looks like a price per troy ounce, not per gram"
        else:
            return
        raise told(
            Problem(
                text=text,
                value=f"{gold:g} {self.currency} per {self.unit}",
                allowed=f'unit = "{other}", or sure = true if it is meant so',
                nearest=f'unit = "{other}"',
            ),
            at=("Au",),
        )
