"""Price: what a ring's metal and labour cost by the shop's own figures. No price is built in."""

from __future__ import annotations

from ringgeom.price.dated import QuoteOn, day_from_text, quote_on
from ringgeom.price.labour import LabourLine, Work, labour_lines
from ringgeom.price.metal import AlloyCost, MetalCost, alloy_cost
from ringgeom.price.quote import Quote, Sums, ring_quote
from ringgeom.price.words import Amount, amounts, labour_words, metal_words, swings

__all__ = [
    "AlloyCost",
    "Amount",
    "LabourLine",
    "MetalCost",
    "Quote",
    "QuoteOn",
    "Sums",
    "Work",
    "alloy_cost",
    "amounts",
    "day_from_text",
    "labour_lines",
    "labour_words",
    "metal_words",
    "quote_on",
    "ring_quote",
    "swings",
]
