"""The quotes of a grid: every row's metal, minutes and total, as those of its ring alone."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping, Sequence
from dataclasses import replace

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
        self._works: tuple[LaidSection, tuple[Work, ...]] | None = None
        self._known: dict[tuple[int, int], list[tuple[LabourLine, ...]]] = {}

    def column(self, value: Callable[[Quote], float | None]) -> Further:
        def work(laid: LaidSection, weighed: Weighed) -> Sequence[float | None]:
            return [value(one) for one in self._quotes(laid, weighed)]

        return work

    def _quotes(self, laid: LaidSection, weighed: Weighed) -> list[Quote]:
        if self._last is None or self._last[0] is not weighed:
            self._last = weighed, self._made(laid, weighed)
        return self._last[1]

    def _made(self, laid: LaidSection, weighed: Weighed) -> list[Quote]:
        lines = self._lines(laid, weighed)
        return [
            Quote(
                prices=self.shop.prices,
                labour=self.shop.labour,
                alloys=tuple(self._cost(one, size) for one in weighed.poured),
                lines=lines[size],
            )
            for size in range(len(laid.ring.sized.askings))
        ]

    def _lines(self, laid: LaidSection, weighed: Weighed) -> list[tuple[LabourLine, ...]]:
        """The labour at every size; choices that ask for the same work share it."""
        if self.shop.labour.rate_per_hour is None:
            return [()] * len(laid.ring.sized.askings)
        if self._works is None or self._works[0] is not laid:
            self._works = laid, _works(laid, self.shop)
            self._known = {}
        asked = len(weighed.poured), self._struck(laid, weighed)
        if asked not in self._known:
            flasks, stamps = asked
            self._known[asked] = [
                labour_lines(replace(work, flasks=flasks, stamps=stamps), self.shop.labour)
                for work in self._works[1]
            ]
        return self._known[asked]

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


def _works(laid: LaidSection, shop: Shop) -> tuple[Work, ...]:
    """The work on one section at its sizes, without what its alloys ask for."""
    sized = laid.ring.sized
    first = sized.shaped.laid
    places = placed_places(first.asking.design, first.asking.band)
    work = laid_work(
        first.ring,
        places,
        sized.parts,
        (one.between for one in joints(first.parts, first.contacts, shop.joining)),
        flasks=0,
        sprues=sum(
            part.count * len(one.places) for part, one in zip(sized.parts, sized.feet, strict=True)
        ),
        inlay_m=0.0,
        stamps=0,
    )
    crests = (asking.form.band.crest_mm for asking in sized.askings)
    return tuple(replace(work, inlay_m=inlay_m(first.ring, places, crest)) for crest in crests)
