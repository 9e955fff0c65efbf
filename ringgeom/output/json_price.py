"""Quotes and swap tables as JSON: money unrounded, in the currency that is named."""

from __future__ import annotations

from typing import Any

from ringgeom.price import (
    AlloyCost,
    Amount,
    LabourLine,
    Quote,
    QuoteOn,
    amounts,
    labour_words,
    metal_words,
    swings,
)
from ringgeom.swap import Break, Met, Row, Swaps


def quote_json(quote: Quote | None) -> dict[str, Any] | None:
    """A quote, every amount with its arithmetic; null where there is nothing to quote with.

    What a missing price or rate keeps from being known is null too.
    """
    if quote is None:
        return None
    prices = quote.prices
    return {
        "currency": quote.currency,
        "date": None if quote.date is None else quote.date.isoformat(),
        "valid_until": None if quote.valid_until is None else quote.valid_until.isoformat(),
        "prices": None if prices is None else prices.model_dump(mode="json"),
        "settings": quote.labour.model_dump(mode="json"),
        "alloys": [_alloy(one, quote) for one in quote.alloys],
        "labour": [_line(line, quote.currency) for line in quote.lines],
        "minutes": quote.minutes,
        "metal_cost": quote.metal_cost,
        "metal_cost_per_ring_g": quote.metal_cost_per_ring_g,
        "labour_cost": quote.labour_cost,
        "total": quote.total,
        "sums": [_amount(one) for one in amounts(quote)],
        "sensitivity": [_amount(one) for one in swings(quote)],
        "missing_prices": list(quote.missing),
        "lacking": list(quote.lacking),
    }


def quote_on_json(found: QuoteOn) -> dict[str, Any]:
    """A quote on a day."""
    return {
        "on": found.on.isoformat(),
        "age_days": found.age_days,
        "flags": list(found.flags),
        "quote": quote_json(found.quote),
    }


def _alloy(one: AlloyCost, quote: Quote) -> dict[str, Any]:
    return {
        "alloy": one.alloy.name,
        "ring_g": one.ring_g,
        "melt_g": one.melt_g,
        "clean_g": one.clean_g,
        "filings_g": one.filings_g,
        "lost_g": one.lost_g,
        "bought_g": one.bought_g,
        "bought_cost": one.bought_cost,
        "credit": one.credit,
        "cost": one.cost,
        "cost_per_ring_g": one.cost_per_ring_g,
        "metals": [
            {
                "metal": metal.symbol,
                "percent": metal.percent,
                "ring_g": metal.ring_g,
                "clean_g": metal.clean_g,
                "filings_g": metal.filings_g,
                "lost_g": metal.lost_g,
                "bought_g": metal.bought_g,
                "price_per_g": metal.price_per_g,
                "bought_cost": metal.bought_cost,
                "clean_credit": metal.clean_credit,
                "filings_credit": metal.filings_credit,
                "cost": metal.cost,
                "arithmetic": metal_words(metal, one, quote.prices),
            }
            for metal in one.metals
        ],
    }


def _line(line: LabourLine, currency: str) -> dict[str, Any]:
    return {
        "work": line.work,
        "count": line.count,
        "each_minutes": line.each_minutes,
        "minutes": line.minutes,
        "cost": line.cost,
        "arithmetic": labour_words(line, currency),
    }


def _amount(one: Amount) -> dict[str, Any]:
    return {"name": one.name, "amount": one.money, "arithmetic": one.words}


def swap_json(found: tuple[Swaps, ...]) -> dict[str, Any]:
    """A swap table: for every part, or for all at once, its rows."""
    return {"swaps": [_swaps(one) for one in found]}


def _swaps(one: Swaps) -> dict[str, Any]:
    return {
        "parts": [
            {"name": seat.name, "alloy": seat.alloy.name, "parts": list(seat.parts)}
            for seat in one.seats
        ],
        "tried": one.tried,
        "breaks_everywhere": [_break(rule) for rule in one.everywhere],
        "rows": [_row(row) for row in one.rows],
    }


def _row(row: Row) -> dict[str, Any]:
    worst = row.worst
    return {
        "alloys": {seat.name: alloy.name for seat, alloy in row.chosen},
        "as_designed": row.as_designed,
        "parts_g": row.chosen_g,
        "finished_g": row.finished_g,
        "melt_g": row.melt_g,
        "currency": "" if row.quote is None else row.quote.currency,
        "metal_cost": None if row.quote is None else row.quote.metal_cost,
        "total": None if row.quote is None else row.quote.total,
        "worst_delta_e_00_d65": None if worst is None else worst.contrast.delta_e_00_d65,
        "worst_verdict": None if worst is None else worst.verdict,
        "contrasts": [_met(one) for one in row.met],
        "hazards": list(row.hazards),
        "breaks": [_break(rule) for rule in row.breaks],
    }


def _met(one: Met) -> dict[str, Any]:
    found = one.contrast
    return {
        "between": list(one.between),
        "alloys": [alloy.name for alloy in one.alloys],
        "delta_e_00_d65": found.delta_e_00_d65,
        "delta_e_00_a": found.delta_e_00_a,
        "band_de00": found.band,
        "verdict": found.verdict,
        "uncertain": found.uncertain,
    }


def _break(rule: Break) -> dict[str, Any]:
    return {"code": rule.code, "level": rule.level, "text": rule.text, "fix": rule.fix}
