"""`[prices]`: what metals cost, per troy ounce, gram or kilogram. No price is built in."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from difflib import get_close_matches
from typing import Annotated, Any, Literal, Self

from pydantic import AfterValidator, ConfigDict, Field, model_validator

from ringgeom.asked import Asked, Keys, told, told_all
from ringgeom.errors import Problem
from ringgeom.metal import elements, nearest_symbol
from ringgeom.units import G_PER_AVOIRDUPOIS_OUNCE, G_PER_KG, G_PER_TROY_OUNCE

OUNCE_SLACK_G = 0.005
"""31.1, as printed on many price lists, is a troy ounce; 28.35 and 30 are not."""

Unit = Literal["troy ounce", "g", "kg"]
G_PER_UNIT: dict[Unit, float] = {"troy ounce": G_PER_TROY_OUNCE, "g": 1.0, "kg": G_PER_KG}

LIKELY_PER_G: dict[str, tuple[float, float]] = {
    "Au": (400.0 / G_PER_TROY_OUNCE, 1000.0),
    "Ag": (0.3, 8.0),
    "Pt": (10.0, 250.0),
    "Pd": (5.0, 150.0),
}
"""Least and most that a gram costs; a price outside is probably in another unit.

Common practice, no source: true in euro, dollar, pound and franc since 2010. Other currencies
have other figures: `sure = true` overrides.
"""

FILINGS_PERCENT = 80.0
"""Mixed filings are refined before they are metal again: common practice, no source."""


def _currency(text: str) -> str:
    if not text.strip() or not text.isprintable():
        raise told(Problem(text="this is no currency", value=repr(text), allowed='such as "EUR"'))
    return text.strip()


def _figure(amount: float) -> str:
    return f"{amount:.0f}" if amount >= 100 else f"{amount:.3g}"


class Prices(Asked):
    """`Au = 2100.0` and so on, per troy ounce unless `unit` is "g" or "kg".

    `premium_percent` is paid on top when buying; `scrap_percent` is what clean metal that was
    melted before is worth to the shop, `filings_percent` what mixed filings are: 80, or as clean
    metal where that is less.
    """

    model_config = ConfigDict(extra="allow")
    __pydantic_extra__: dict[str, Annotated[float, Field(gt=0, le=1e9)]] = Field(init=False)

    currency: Annotated[str, Field(max_length=12), AfterValidator(_currency)]
    date: datetime.date | None = None
    unit: Unit = "troy ounce"
    ounce_g: float = G_PER_TROY_OUNCE
    premium_percent: Annotated[float, Field(ge=0, le=100)] = 0.0
    scrap_percent: Annotated[float, Field(ge=0, le=100)] = 95.0
    filings_percent: Annotated[float, Field(ge=0, le=100)] = FILINGS_PERCENT
    sure: bool = False

    @property
    def metals(self) -> dict[str, float]:
        """Symbol to price per unit, as typed."""
        return dict(self.__pydantic_extra__ or {})

    def per_g(self, symbol: str) -> float | None:
        """Price of a metal per gram, or None if it is not listed."""
        price = self.metals.get(symbol)
        return None if price is None else price / G_PER_UNIT[self.unit]

    @model_validator(mode="before")
    @classmethod
    def _as_written(cls, given: Any) -> Any:
        """A currency must be there; filings are never worth more than clean metal unasked."""
        if not isinstance(given, dict):
            return given
        if "currency" not in given:
            raise told(
                Problem(
                    text="a price without its currency means nothing",
                    allowed='currency = "EUR", or yours',
                ),
                at=("currency",),
            )
        clean = given.get("scrap_percent", FILINGS_PERCENT)
        number = isinstance(clean, int | float) and not isinstance(clean, bool)
        less = number and 0 <= clean < FILINGS_PERCENT
        return {"filings_percent": clean, **given} if less else given

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
                    text="metal is priced per troy ounce; an ounce of "
                    f"{G_PER_AVOIRDUPOIS_OUNCE:.2f} g is for groceries",
                    value=f"{self.ounce_g:g} g",
                    allowed=f"{G_PER_TROY_OUNCE:.4f} g",
                    nearest='unit = "g" for a price per gram',
                ),
                at=("ounce_g",),
            )
        if self.filings_percent > self.scrap_percent:
            raise told(
                Problem(
                    text="mixed filings are not worth more than clean metal",
                    value=f"{self.filings_percent:g} %",
                    allowed=f"up to scrap_percent, {self.scrap_percent:g} %",
                ),
                at=("filings_percent",),
            )
        if not self.sure and (odd := list(self._unlikely())):
            raise told_all(odd)
        return self

    def _unlikely(self) -> Iterator[tuple[Problem, Keys]]:
        """Prices that are probably per another unit, or of another currency's size."""
        for symbol, (least, most) in LIKELY_PER_G.items():
            price = self.metals.get(symbol)
            if price is None or least <= price / G_PER_UNIT[self.unit] <= most:
                continue
            meant = [unit for unit, grams in G_PER_UNIT.items() if least <= price / grams <= most]
            here = G_PER_UNIT[self.unit]
            problem = Problem(
                text=f"this looks like a price per {meant[0]}, not per {self.unit}"
                if meant
                else f"this is no likely price per {self.unit}",
                value=f"{_figure(price)} {self.currency} per {self.unit}",
                allowed=f"{_figure(least * here)} to {_figure(most * here)}, or sure = true if it "
                "is meant so (a currency of other figures)",
                nearest=f'unit = "{meant[0]}"' if meant else "",
            )
            yield problem, (symbol,)
