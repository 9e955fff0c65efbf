"""Alloy swap: one design in every sensible alloy, with grams, price, contrast and broken rules."""

from __future__ import annotations

from ringgeom.swap.row import Break, Met, Row
from ringgeom.swap.seat import Seat, in_other_alloys, seats
from ringgeom.swap.table import Swaps, swaps

__all__ = ["Break", "Met", "Row", "Seat", "Swaps", "in_other_alloys", "seats", "swaps"]
