"""The quotes of a grid: every row's metal, minutes and total, as those of its ring alone."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping, Sequence
from functools import cached_property

import numpy as np

from ringgeom.grid import Further, LaidSection, Poured, Weighed
from ringgeom.grid.alloyed import alloyed_parts
from ringgeom.jobs import NO_MELTS
from ringgeom.making.as_made import placed_places
from ringgeom.making.casting import Flask
from ringgeom.making.joint import joints
from ringgeom.making.marking import ring_marks
from ringgeom.price import Quote, Work
from ringgeom.price.labour import LabourLine, labour_lines
from ringgeom.price.metal import AlloyCost, alloy_cost
from ringgeom.quoting.ring import inlay_m, laid_work, struck
from ringgeom.shop import Shop


def quote_columns(shop: Shop) -> Mapping[str, Further]:
    """Columns for many rings: metal with what comes back taken off, minutes, and the total.

    Only what the shop's file can tell: no metal without prices, no minutes without a rate, no
    total without both. The stock is not asked, so marks go by the recipes.
    """
    priced = shop.prices is not None and bool(shop.prices.metals)
    rated = shop.labour.rate_per_hour is not None
    quotes = _Quotes(shop)
    found: dict[str, Further] = {}
    currency = shop.prices.currency.lower() if shop.prices else ""
    if priced:
        found[f"metal_{currency}"] = quotes.column(lambda one: one.metal_cost)
    if rated:
        found["work_min"] = quotes.column(lambda one: one.minutes)
    if priced and rated:
        found[f"total_{currency}"] = quotes.column(lambda one: one.total)
    return found


class _Quotes:
    """The quotes of the rows asked last: its columns are asked one after the other."""

    def __init__(self, shop: Shop) -> None:
        self.shop = shop
        self._last: tuple[Weighed, list[Quote]] | None = None
        self._stamps: dict[Hashable, int] = {}
        self._works: tuple[LaidSection, _Works] | None = None

    def column(self, value: Callable[[Quote], float | None]) -> Further:
        def work(laid: LaidSection, weighed: Weighed) -> Sequence[float | None]:
            return [value(one) for one in self._quotes(laid, weighed)]

        return work

    def _quotes(self, laid: LaidSection, weighed: Weighed) -> list[Quote]:
        if self._last is None or self._last[0] is not weighed:
            self._last = weighed, self._made(laid, weighed)
        return self._last[1]

    def _made(self, laid: LaidSection, weighed: Weighed) -> list[Quote]:
        count = len(laid.ring.sized.askings)
        lines: list[tuple[LabourLine, ...]] = [()] * count
        if self.shop.labour.rate_per_hour is not None:
            if self._works is None or self._works[0] is not laid:
                self._works = laid, _Works(laid, self.shop)
            stamps = self._struck(laid, weighed)
            lines = [
                labour_lines(work, self.shop.labour)
                for work in self._works[1].at_sizes(len(weighed.poured), stamps)
            ]
        return [
            Quote(
                prices=self.shop.prices,
                labour=self.shop.labour,
                alloys=tuple(self._cost(one, size) for one in weighed.poured),
                lines=lines[size],
            )
            for size in range(count)
        ]

    def _cost(self, one: Poured, size: int) -> AlloyCost:
        flask = Flask(
            parts_g=float(one.parts_g[size]),
            finished_g=float(one.finished_g[size]),
            sprue_g=float(one.sprue_g[size]),
            button_g=float(one.button_g[size]),
            button_by="",
            loss_g=float(one.loss_g[size]),
        )
        fume = self.shop.melt.zinc_fume_percent
        return alloy_cost(one.alloy, flask, self.shop.prices, zinc_fume_percent=fume)

    def _struck(self, laid: LaidSection, weighed: Weighed) -> int:
        """Marks to strike; they hang on the alloys and on which part is the heavier."""
        densities = [alloy.density_g_cm3 for alloy in weighed.alloys]
        masses = laid.ring.sized.volume_mm3[:, 0] * densities
        key = laid.touch, weighed.alloys, tuple(np.argsort(masses).tolist())
        if key not in self._stamps:
            parts = alloyed_parts(laid.ring.sized.shaped.laid, weighed.alloys, self.shop)
            self._stamps[key] = struck(ring_marks(parts, NO_MELTS, self.shop.marks.region))
        return self._stamps[key]


class _Works:
    """The work on one section at its sizes, but for what its alloys add."""

    def __init__(self, laid: LaidSection, shop: Shop) -> None:
        self.laid, self.shop = laid, shop

    @cached_property
    def _inlays_m(self) -> list[float]:
        sized = self.laid.ring.sized
        found = []
        for size, asking in enumerate(sized.askings):
            places = placed_places(asking.design, asking.band)
            found.append(inlay_m(sized.ring(size), places))
        return found

    @cached_property
    def _met(self) -> list[tuple[str, str]]:
        laid = self.laid.ring.sized.shaped.laid
        return [one.between for one in joints(laid.parts, laid.contacts, self.shop.joining)]

    def at_sizes(self, flasks: int, stamps: int) -> list[Work]:
        sized = self.laid.ring.sized
        laid = sized.shaped.laid
        places = placed_places(laid.asking.design, laid.asking.band)
        return [
            laid_work(
                laid.ring,
                places,
                sized.parts,
                self._met,
                flasks=flasks,
                sprues=sum(len(one.places) for one in sized.feet),
                inlay_m=inlay,
                stamps=stamps,
            )
            for inlay in self._inlays_m
        ]
