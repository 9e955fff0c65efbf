"""A quote: metal, labour, what comes on top, until when it stands. It knows no today."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass
from math import fsum

from ringgeom.making.poured import Casting
from ringgeom.price.labour import LabourLine, Work, labour_lines
from ringgeom.price.metal import AlloyCost, alloy_cost, together
from ringgeom.shop import Shop
from ringgeom.shop.labour import Labour
from ringgeom.shop.prices import Prices

SWING_PERCENT = 10.0
"""How far metal prices are moved to show what that does to the total."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sums:
    """From metal and labour to the total, at one level of metal prices; nothing is rounded.

    In the currency of the prices.
    """

    metal: float
    labour: float
    overhead: float
    subtotal: float
    markup: float
    tax: float
    total: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Quote:
    """What one ring costs.

    Attributes
    ----------
    prices, labour : Prices or None, Labour
        The shop's figures that it was made with.
    alloys : tuple of AlloyCost
        One for each flask.
    lines : tuple of LabourLine
        Every kind of work.
    """

    prices: Prices | None
    labour: Labour
    alloys: tuple[AlloyCost, ...]
    lines: tuple[LabourLine, ...]

    @property
    def currency(self) -> str:
        """Of the prices; empty without any."""
        return self.prices.currency if self.prices else ""

    @property
    def date(self) -> datetime.date | None:
        """Day of the prices."""
        return self.prices.date if self.prices else None

    @property
    def valid_until(self) -> datetime.date | None:
        """Last day on which it stands."""
        if self.date is None:
            return None
        last = self.date.toordinal() + self.labour.quote_days
        return datetime.date.fromordinal(min(last, datetime.date.max.toordinal()))

    @property
    def missing(self) -> tuple[str, ...]:
        """Metals of the recipes that have no price."""
        return tuple(dict.fromkeys(symbol for one in self.alloys for symbol in one.missing))

    @property
    def ring_g(self) -> float:
        """The finished ring [g]."""
        return fsum(one.ring_g for one in self.alloys)

    @property
    def minutes(self) -> float:
        """All work."""
        return fsum(line.minutes for line in self.lines)

    @property
    def metal_cost(self) -> float | None:
        """True cost of the metal: bought, less what comes back."""
        return together([one.cost for one in self.alloys])

    @property
    def metal_cost_per_ring_g(self) -> float | None:
        """Metal for every gram that stays in the ring; none without prices."""
        return None if self.metal_cost is None else self.metal_cost / self.ring_g

    @property
    def labour_cost(self) -> float | None:
        """All work; none without a rate."""
        return together([line.cost for line in self.lines])

    def sums(self, metal_percent: float = 0.0) -> Sums | None:
        """The sums with metal prices moved by some percent; None while metal or rate is unknown."""
        if self.metal_cost is None or self.labour_cost is None:
            return None
        metal = self.metal_cost * (1 + metal_percent / 100)
        overhead = self.labour_cost * self.labour.overhead_percent / 100
        subtotal = metal + self.labour_cost + overhead
        markup = subtotal * self.labour.markup_percent / 100
        tax = (subtotal + markup) * (self.labour.tax_percent or 0.0) / 100
        return Sums(
            metal=metal,
            labour=self.labour_cost,
            overhead=overhead,
            subtotal=subtotal,
            markup=markup,
            tax=tax,
            total=subtotal + markup + tax,
        )

    @property
    def total(self) -> float | None:
        """With overhead, markup and tax; none without prices or a rate."""
        found = self.sums()
        return None if found is None else found.total

    @property
    def lacking(self) -> tuple[str, ...]:
        """What keeps the sums from being told, each with its way out."""
        said = []
        if self.missing:
            each = ", ".join(f"{symbol} = ..." for symbol in self.missing)
            said.append(f"no price of {', '.join(self.missing)}: write {each} under [prices]")
        if self.labour.rate_per_hour is None:
            said.append("no rate: write rate_per_hour = ... under [labour]")
        return tuple(said)


def ring_quote(castings: Sequence[Casting], work: Work, shop: Shop) -> Quote:
    """The quote of one ring from its castings and what there is to do.

    Solder, stones and fees are not in it.
    """
    return Quote(
        prices=shop.prices,
        labour=shop.labour,
        alloys=tuple(
            alloy_cost(
                one.alloy,
                one.flask,
                shop.prices,
                zinc_fume_percent=shop.melt.zinc_fume_percent,
            )
            for one in castings
        ),
        lines=labour_lines(work, shop.labour),
    )
