"""What a plan is before it is rounded: exact grams, and what is missing."""

from __future__ import annotations

from dataclasses import dataclass

from ringgeom.melt.source import Array


@dataclass(frozen=True, slots=True, kw_only=True)
class Solved:
    """Grams of every source in every melt, shape (sources, melts), and what is missing.

    `missing_g` has shape (symbols, melts): fine metal that would have to be added.
    """

    grams: Array
    missing_g: Array
