"""The quote of a job: its flasks, and the work that it really holds; the metal of many rings."""

from __future__ import annotations

from collections.abc import Sequence
from math import fsum, pi

from ringgeom.form.places import Channel
from ringgeom.grid import Further, Poured
from ringgeom.jobs import Job
from ringgeom.making.as_made import placed_places
from ringgeom.making.casting import Flask
from ringgeom.making.waving import wave_measures
from ringgeom.price import Quote, Work, ring_quote
from ringgeom.price.metal import alloy_cost, together
from ringgeom.shop import Shop
from ringgeom.units import MM_PER_M


def quote(job: Job) -> Quote | None:
    """What a ring costs by its shop's figures; None while the shop names no price and no rate.

    It knows no today: `quote_on` judges it on a day.
    """
    priced = job.shop.prices is not None and bool(job.shop.prices.metals)
    if not job.parts or not (priced or job.shop.labour.rate_per_hour is not None):
        return None
    return grams_and_minutes(job)


def grams_and_minutes(job: Job) -> Quote:
    """The quote also without any price or rate: then it tells grams and minutes."""
    return ring_quote(job.castings, work(job), job.shop)


def work(job: Job) -> Work:
    """What there is to do on a ring, counted from its parts, castings and joints."""
    return Work(
        flasks=len(job.castings),
        castings=len(job.parts),
        sprues=sum(sprue.count for casting in job.castings for sprue in casting.sprues),
        # a strip open at its seam, and a segment, are no closed rings
        turned=sum(part.piece.sector is None for part in job.parts),
        inlay_m=_inlay_mm(job) / MM_PER_M,
        segments=sum(part.pieces_round > 1 for part in job.parts),
        joints=len(_fitted(job)) + _seams(job),
        # segments are filed and polished in their place, all together
        finished=len({(part.place, part.piece.number) for part in job.parts}),
        stamps=max(
            (sum(stamp.mark is not None for stamp in one.stamps) for one in job.marks), default=0
        ),
    )


def metal_columns(shop: Shop) -> dict[str, Further]:
    """A column for many rings: what the metal of each costs, what comes back taken off.

    Empty while the shop names no prices. The sums are those of a quote, flask by flask.
    """
    prices = shop.prices
    if prices is None or not prices.metals:
        return {}

    def costs(poured: Sequence[Poured]) -> list[float | None]:
        sizes = range(len(poured[0].parts_g)) if poured else ()
        return [together([_metal_cost(one, size, shop) for one in poured]) for size in sizes]

    return {f"metal_{prices.currency.lower()}": costs}


def _metal_cost(one: Poured, size: int, shop: Shop) -> float | None:
    flask = Flask(
        parts_g=float(one.parts_g[size]),
        finished_g=float(one.finished_g[size]),
        sprue_g=float(one.sprue_g[size]),
        button_g=float(one.button_g[size]),
        button_by="",
        loss_g=float(one.loss_g[size]),
    )
    fume = shop.melt.zinc_fume_percent
    return alloy_cost(one.alloy, flask, shop.prices, zinc_fume_percent=fume).cost


def _fitted(job: Job) -> set[frozenset[str]]:
    """Pairs of parts that are joined; segments among themselves are with their fitting."""
    return {frozenset(one.between) for one in job.joints if one.kind != "segment face"}


def _inlay_mm(job: Job) -> float:
    """Length of all channels round the outside, each along its own wave [mm]."""
    if job.ring is None:
        return 0.0
    places = placed_places(job.design, job.form.band)
    waved = {one.place: one.path.length_mm for one in wave_measures(job.ring, places)}
    straight = 2 * pi * job.form.band.crest_mm
    return fsum(waved.get(one.name, straight) for one in places if isinstance(one, Channel))


def _seams(job: Job) -> int:
    """Strips that are wrapped round and closed in a seam."""
    places = placed_places(job.design, job.form.band)
    kinds = [None if part.place is None else places[part.place] for part in job.parts]
    return sum(isinstance(kind, Channel) and kind.route == "wrap and seam" for kind in kinds)
