"""The arithmetic of a quote in words: every amount with the figures that it comes from."""

from __future__ import annotations

from dataclasses import dataclass

from ringgeom.price.labour import LabourLine
from ringgeom.price.metal import AlloyCost, MetalCost
from ringgeom.price.quote import SWING_PERCENT, Quote
from ringgeom.shop import Prices


@dataclass(frozen=True, slots=True, kw_only=True)
class Amount:
    """A sum in the currency of the prices, what it is, and what it is made of."""

    name: str
    words: str
    money: float


def metal_words(one: MetalCost, of: AlloyCost, prices: Prices | None) -> str:
    """From the melt to the cost of one metal of it."""
    said = f"{one.percent:.6g} % of {of.melt_g:.2f} g melted"
    fume = one.bought_g - of.melt_g * one.percent / 100
    if fume > 1e-9:
        said += f" + {fume:.3f} g that goes off as fume"
    said += f" = {one.bought_g:.3f} g"
    price, bought, clean, filings = (
        one.price_per_g,
        one.bought_cost,
        one.clean_credit,
        one.filings_credit,
    )
    if prices is None or price is None or bought is None or clean is None or filings is None:
        return f"{said}; no price"
    premium = f" + {prices.premium_percent:g} % premium" if prices.premium_percent else ""
    return (
        f"{said} x {price:.6g} {prices.currency}/g{premium} = {bought:.2f}; back clean "
        f"{one.clean_g:.3f} g x {price:.6g} x {prices.scrap_percent:g} % = {clean:.2f}; filings "
        f"{one.filings_g:.3f} g x {price:.6g} x {prices.filings_percent:g} % = {filings:.2f}; "
        f"cost {bought:.2f} - {clean:.2f} - {filings:.2f}"
    )


def labour_words(line: LabourLine, currency: str) -> str:
    """From the count to the cost of one kind of work."""
    said = f"{line.count:.4g} x {line.each_minutes:g} min = {line.minutes:.1f} min"
    if line.rate_per_hour is None or line.cost is None:
        return said
    return f"{said} / 60 x {line.rate_per_hour:g} {currency}/h".rstrip() + f" = {line.cost:.2f}"


def amounts(quote: Quote) -> tuple[Amount, ...]:
    """The sums as far as they are known, in the order in which they are added up."""
    found = []
    if quote.metal_cost is not None:
        found.append(_metal(quote, quote.metal_cost))
    sums, labour = quote.sums(), quote.labour
    if quote.labour_cost is not None:
        words = f"{quote.minutes:.1f} min / 60 x {labour.rate_per_hour:g} {quote.currency}/h"
        found.append(Amount(name="labour", words=words, money=quote.labour_cost))
    if sums is None:
        return tuple(found)
    return (
        *found,
        Amount(
            name="overhead",
            words=f"{labour.overhead_percent:g} % of labour",
            money=sums.overhead,
        ),
        Amount(name="subtotal", words="metal + labour + overhead", money=sums.subtotal),
        Amount(name="markup", words=f"{labour.markup_percent:g} % of subtotal", money=sums.markup),
        Amount(
            name="tax",
            words="none asked for: tax_percent under [labour]"
            if labour.tax_percent is None
            else f"{labour.tax_percent:g} % of subtotal and markup",
            money=sums.tax,
        ),
        Amount(name="total", words="subtotal + markup + tax", money=sums.total),
    )


def _metal(quote: Quote, cost: float) -> Amount:
    each = " + ".join(f"{one.cost:.2f}" for one in quote.alloys if one.cost is not None)
    words = "of all alloys, what comes back taken off" + (
        f": {each}" if len(quote.alloys) > 1 else ""
    )
    return Amount(name="metal", words=words, money=cost)


def swings(quote: Quote) -> tuple[Amount, ...]:
    """What metal 10 % cheaper and dearer makes of the total; of the metal without a total."""
    found = []
    for percent in (-SWING_PERCENT, SWING_PERCENT):
        sums, metal = quote.sums(percent), quote.metal_cost
        if metal is None:
            return ()
        what = "metal" if sums is None else "total"
        money = metal * (1 + percent / 100) if sums is None else sums.total
        found.append(
            Amount(
                name=f"{what} with metal at {percent:+g} %",
                words=f"metal {metal * (1 + percent / 100):.2f}",
                money=money,
            )
        )
    return tuple(found)
