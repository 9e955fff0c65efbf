"""One stock for several rings; marks with their solder."""

from __future__ import annotations

from collections.abc import Sequence

from ringgeom.jobs import Job
from ringgeom.making.marking import SolderRoom, ring_marks, solder_from_texts, solder_rooms
from ringgeom.marks import ArticleMark
from ringgeom.melt import MeltPlan, melt_plan


def shared_melts(jobs: Sequence[Job]) -> MeltPlan:
    """The melts of several rings from one stock, the first job's shop, in one optimum."""
    if len(jobs) == 1:
        return jobs[0].melts
    shop = jobs[0].shop
    wanted = [melt.wanted for one in jobs for melt in one.melts.melts]
    return melt_plan(wanted, shop.lots, shop.melt, shop.prices)


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
