"""What the metal of one casting costs: bought, back clean, back as filings, in the ring, lost.

bought = in the ring + back clean + filings + lost,     for every metal of the recipe
cost   = bought x price x (1 + premium) - back clean x price x scrap - filings x price x share
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import fsum

from ringgeom.making.casting import Flask
from ringgeom.metal import Alloy
from ringgeom.shop import Prices


@dataclass(frozen=True, slots=True, kw_only=True)
class MetalCost:
    """One metal of one alloy. Masses in g, money in the currency of the prices.

    `bought_g` is the metal's share of the melt, with the zinc that goes off as fume on top.
    What no price is known for is None.
    """

    symbol: str
    percent: float
    ring_g: float
    clean_g: float
    filings_g: float
    lost_g: float
    price_per_g: float | None
    bought_cost: float | None
    clean_credit: float | None
    filings_credit: float | None

    @property
    def bought_g(self) -> float:
        """What has to be bought for it [g]."""
        return self.ring_g + self.clean_g + self.filings_g + self.lost_g

    @property
    def cost(self) -> float | None:
        """Bought, less what comes back."""
        if self.bought_cost is None or self.clean_credit is None or self.filings_credit is None:
            return None
        return self.bought_cost - self.clean_credit - self.filings_credit


@dataclass(frozen=True, slots=True, kw_only=True)
class AlloyCost:
    """All metals of one alloy, largest share first. Masses in g.

    `melt_g` is what is melted; the metals bought for it are heavier by the zinc's fume.
    """

    alloy: Alloy
    melt_g: float
    ring_g: float
    metals: tuple[MetalCost, ...]

    @property
    def missing(self) -> tuple[str, ...]:
        """Metals without a price."""
        return tuple(one.symbol for one in self.metals if one.price_per_g is None)

    @property
    def bought_g(self) -> float:
        """What has to be bought for it, all metals [g]."""
        return fsum(one.bought_g for one in self.metals)

    @property
    def clean_g(self) -> float:
        """What comes back clean, all metals [g]."""
        return fsum(one.clean_g for one in self.metals)

    @property
    def filings_g(self) -> float:
        """What comes back as filings, all metals [g]."""
        return fsum(one.filings_g for one in self.metals)

    @property
    def lost_g(self) -> float:
        """What is lost, all metals [g]."""
        return fsum(one.lost_g for one in self.metals)

    @property
    def bought_cost(self) -> float | None:
        """What is paid for it; none without a price of every metal."""
        return together([one.bought_cost for one in self.metals])

    @property
    def credit(self) -> float | None:
        """What comes back is worth this."""
        clean = together([one.clean_credit for one in self.metals])
        filings = together([one.filings_credit for one in self.metals])
        return together([clean, filings])

    @property
    def cost(self) -> float | None:
        """What is paid less what comes back; none without a price of every metal."""
        return together([one.cost for one in self.metals])

    @property
    def cost_per_ring_g(self) -> float | None:
        """True cost of a gram that stays in the ring."""
        return None if self.cost is None else self.cost / self.ring_g


def together(amounts: Sequence[float | None]) -> float | None:
    """Their sum; None if one of them is not known."""
    known = [amount for amount in amounts if amount is not None]
    return fsum(known) if len(known) == len(amounts) else None


def alloy_cost(
    alloy: Alloy, flask: Flask, prices: Prices | None, *, zinc_fume_percent: float
) -> AlloyCost:
    """Cost of what one flask takes of one alloy.

    Counted by the recipe, as if all of it were bought on the day of the prices: what the drawer
    gives is worth as much. The steps of the balance are left out.

    Parameters
    ----------
    prices : Prices, optional
        Without them, or without the price of a metal, only its grams are told.
    zinc_fume_percent : float
        Of the zinc that is charged, topped up.
    """
    recipe = alloy.recipe.normalised()
    return AlloyCost(
        alloy=alloy,
        melt_g=flask.melt_g,
        ring_g=flask.finished_g,
        metals=tuple(
            _metal(symbol, percent, flask, prices, zinc_fume_percent if symbol == "Zn" else 0.0)
            for symbol, percent in recipe.shares
        ),
    )


def _metal(
    symbol: str, percent: float, flask: Flask, prices: Prices | None, fume_percent: float
) -> MetalCost:
    share, fume = percent / 100, fume_percent / 100
    ring, clean = share * flask.finished_g, share * flask.returns_g
    filings = share * flask.filings_g
    lost = share * (flask.loss_g + flask.melt_g * fume / (1 - fume))
    price = prices.per_g(symbol) if prices else None
    bought_cost = clean_credit = filings_credit = None
    if prices and price is not None:
        bought = ring + clean + filings + lost
        bought_cost = bought * price * (1 + prices.premium_percent / 100)
        clean_credit = clean * price * prices.scrap_percent / 100
        filings_credit = filings * price * prices.filings_percent / 100
    return MetalCost(
        symbol=symbol,
        percent=percent,
        ring_g=ring,
        clean_g=clean,
        filings_g=filings,
        lost_g=lost,
        price_per_g=price,
        bought_cost=bought_cost,
        clean_credit=clean_credit,
        filings_credit=filings_credit,
    )
