"""A quote told in the terminal: metal, labour, sums, every figure with its arithmetic."""

from __future__ import annotations

from ringgeom.price import (
    AlloyCost,
    Quote,
    QuoteOn,
    amounts,
    labour_words,
    metal_words,
    swings,
)
from ringgeom.terminal import finding_line, say, table


def tell_quote(job_name: str, found: QuoteOn) -> None:
    """Everything of a quote; money to the cent where it is told, never before."""
    quote = found.quote
    say(f"{job_name}: {_terms(found)}")
    _tell_metal(quote)
    _tell_labour(quote)
    _tell_sums(quote)
    for flag in found.flags:
        finding_line("warn", "prices", "", flag, "")
    for lack in quote.lacking:
        say(f"  {lack}")


def _terms(found: QuoteOn) -> str:
    quote, prices = found.quote, found.quote.prices
    if prices is None or not prices.metals:
        return "no metal prices in [prices] of the shop file: grams and minutes only"
    listed = ", ".join(f"{symbol} {price:.10g}" for symbol, price in prices.metals.items())
    return (
        f"metal prices of {prices.date} in {prices.currency} per {prices.unit}: {listed}; premium "
        f"{prices.premium_percent:g} %, clean metal back at {prices.scrap_percent:g} %, filings "
        f"at {prices.filings_percent:g} %; valid until {quote.valid_until}"
    )


def _tell_metal(quote: Quote) -> None:
    say()
    rows = []
    for alloy in quote.alloys:
        for metal in alloy.metals:
            rows.append(
                [
                    f"{alloy.alloy.name}, {metal.symbol}",
                    f"{metal.percent:.4g}",
                    f"{metal.ring_g:.3f}",
                    f"{metal.clean_g:.3f}",
                    f"{metal.filings_g:.3f}",
                    f"{metal.lost_g:.3f}",
                    f"{metal.bought_g:.3f}",
                    _money(metal.bought_cost),
                    _money(metal.cost),
                ]
            )
        rows.append(_alloy_row(alloy))
    head = ["metal", "%", "ring g", "clean back g", "filings g", "lost g", "bought g"]
    if any(row[-1] for row in rows):
        table((*head, f"bought, {quote.currency}", f"true cost, {quote.currency}"), rows)
    else:
        table(head, [row[:-2] for row in rows])
    for alloy in quote.alloys:
        if (each := alloy.cost_per_ring_g) is not None:
            say(f"  {alloy.alloy.name}: {each:.2f} {quote.currency} for a gram in the ring")
    for alloy in quote.alloys:
        for metal in alloy.metals:
            said = metal_words(metal, alloy, quote.prices)
            say(f"  {alloy.alloy.name}, {metal.symbol}: {said}")
    say("  by the recipes, as if all were bought that day; solder, stones and fees not counted")


def _alloy_row(alloy: AlloyCost) -> list[str]:
    return [
        f"{alloy.alloy.name}, all",
        "",
        f"{alloy.ring_g:.3f}",
        f"{alloy.clean_g:.3f}",
        f"{alloy.filings_g:.3f}",
        f"{alloy.lost_g:.3f}",
        f"{alloy.bought_g:.3f}",
        _money(alloy.bought_cost),
        _money(alloy.cost),
    ]


def _money(amount: float | None) -> str:
    return "" if amount is None else f"{amount:.2f}"


def _tell_labour(quote: Quote) -> None:
    say()
    rows = [
        [line.work, f"{line.count:.4g}", labour_words(line, quote.currency)] for line in quote.lines
    ]
    hours, minutes = divmod(round(quote.minutes), 60)
    rows.append(["all", "", f"{quote.minutes:.1f} min, {hours} h {minutes:02d} min"])
    table(("labour, your own minutes", "count", ""), rows, total=True)


def _tell_sums(quote: Quote) -> None:
    found = amounts(quote)
    if not found:
        return
    say()
    rows = [[one.name, f"{one.money:.2f}", one.words] for one in (*found, *swings(quote))]
    table((f"sums, {quote.currency}".rstrip(", "), "", "from"), rows)
