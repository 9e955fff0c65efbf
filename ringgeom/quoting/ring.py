"""The quote of a job: its flasks, and the work that it really holds."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import fsum, pi

from ringgeom.form.places import AnyPlace, Channel
from ringgeom.form.ring import Ring
from ringgeom.jobs import Job
from ringgeom.making.as_made import placed_places
from ringgeom.making.part import Part
from ringgeom.making.waving import wave_measures
from ringgeom.marks import ArticleMark
from ringgeom.price import Quote, Work, ring_quote
from ringgeom.units import MM_PER_M

NO_WORK = Work(
    flasks=0,
    castings=0,
    sprues=0,
    turned=0,
    inlay_m=0.0,
    segments=0,
    inserts=0,
    joints=0,
    finished=0,
    stamps=0,
)
"""Of a ring that is not laid out."""


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
    if job.ring is None:
        return NO_WORK
    places = placed_places(job.design, job.form.band)
    return laid_work(
        job.ring,
        places,
        job.parts,
        (one.between for one in job.joints if one.kind != "segment face"),
        flasks=len(job.castings),
        sprues=sum(sprue.count for casting in job.castings for sprue in casting.sprues),
        inlay_m=inlay_m(job.ring, places, job.form.band.crest_mm),
        stamps=struck(job.marks),
    )


def laid_work(
    ring: Ring,
    places: Sequence[AnyPlace],
    parts: Sequence[Part],
    met: Iterable[Sequence[str]],
    *,
    flasks: int,
    sprues: int,
    inlay_m: float,
    stamps: int,
) -> Work:
    """What there is to do on a ring that is laid out.

    Parameters
    ----------
    places : sequence of places
        For each claim of the ring, the place that made it.
    met : iterable of names
        The two parts of every joint; a pair that meets twice is joined once. Segments among
        themselves are with their fitting.
    """
    kinds = [None if part.place is None else places[part.place] for part in parts]
    seams = sum(isinstance(kind, Channel) and kind.route == "wrap and seam" for kind in kinds)
    return Work(
        flasks=flasks,
        castings=sum(part.count for part in parts),
        sprues=sprues,
        # a strip open at its seam, a segment and an insert are no closed rings
        turned=sum(part.piece.sector is None and part.plate is None for part in parts),
        inlay_m=inlay_m,
        segments=sum(part.pieces_round > 1 for part in parts),
        inserts=sum(part.count for part in parts if part.plate is not None),
        joints=len({frozenset(pair) for pair in met}) + seams,
        # segments are filed and polished in their place, all together
        finished=len({(part.place, part.piece.number) for part in parts}),
        stamps=stamps,
    )


def struck(marks: Sequence[ArticleMark]) -> int:
    """Marks to strike, where the most are asked for."""
    return max((sum(stamp.mark is not None for stamp in one.stamps) for one in marks), default=0)


def inlay_m(ring: Ring, places: Sequence[AnyPlace], crest_mm: float) -> float:
    """Length of all channels round the outside of some radius, each along its own wave [m]."""
    waved = {
        one.place: one.path.length_mm for one in wave_measures(ring, places, crest_mm=crest_mm)
    }
    straight = 2 * pi * crest_mm
    each = (waved.get(one.name, straight) for one in places if isinstance(one, Channel))
    return fsum(each) / MM_PER_M
