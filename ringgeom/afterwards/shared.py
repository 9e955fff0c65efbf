"""One stock and one flask for several rings; marks with their solder."""

from __future__ import annotations

from collections.abc import Sequence

from ringgeom.jobs import Job
from ringgeom.making.marking import SolderRoom, ring_marks, solder_from_texts, solder_rooms
from ringgeom.making.poured import Casting, poured
from ringgeom.marks import ArticleMark
from ringgeom.melt import MeltPlan, Wanted, melt_plan


def shared_melts(jobs: Sequence[Job], castings: Sequence[Casting] = ()) -> MeltPlan:
    """The melts of several rings from one stock, the first job's shop, in one optimum.

    Parameters
    ----------
    castings : sequence of Casting
        What is poured, where the waxes of several rings share their flasks; without them
        every ring is poured by itself.
    """
    shop = jobs[0].shop
    if castings:
        wanted = [
            Wanted(job=_jobs_of(jobs, one), alloy=one.alloy, grams=one.flask.melt_g)
            for one in castings
        ]
    elif len(jobs) == 1:
        return jobs[0].melts
    else:
        wanted = [melt.wanted for one in jobs for melt in one.melts.melts]
    return melt_plan(wanted, shop.lots, shop.melt, shop.prices)


def _jobs_of(jobs: Sequence[Job], casting: Casting) -> str:
    """Names of the rings that have a wax in a flask."""
    names = [
        one.design.job.name
        for one in jobs
        if any(part.alloy == casting.alloy for part in one.parts)
    ]
    return " and ".join(dict.fromkeys(names))


def shared_castings(jobs: Sequence[Job]) -> tuple[Casting, ...]:
    """The waxes of several rings, those of one alloy in one flask: one tree, one button."""
    waxes = [
        (f"{one.design.job.name} {name}", part, sprue)
        for one in jobs
        for casting in one.castings
        for name, part, sprue in zip(casting.names, casting.parts, casting.sprues, strict=True)
    ]
    return poured(waxes, jobs[0].shop.casting)


def job_marks(job: Job, region: str, solder: Sequence[str] = ()) -> tuple[ArticleMark, ...]:
    """What one region, or every region, would have stamped on a ring with its solder."""
    if not region and not solder:
        return job.marks
    chosen = region or job.shop.marks.region
    return ring_marks(job.parts, job.melts, chosen, solder=solder_from_texts(solder))


def job_solder_rooms(job: Job, region: str, solder: Sequence[str]) -> tuple[SolderRoom, ...]:
    """How much of each solder every mark of a ring can carry."""
    chosen = region or job.shop.marks.region
    return solder_rooms(job.parts, job.melts, chosen, solder_from_texts(solder))
