"""The bench sheet: one ring on two or three pages, to work from without a computer."""

from __future__ import annotations

from ringgeom.errors import StopError
from ringgeom.jobs import Job
from ringgeom.sheet.closing import closing
from ringgeom.sheet.making import making
from ringgeom.sheet.opening import opening
from ringgeom.sheet.paper import Paper, document, paper_named


def bench_sheet(job: Job, paper: Paper | None = None) -> bytes:
    """The bench sheet as PDF; the same job gives the same bytes.

    Raises
    ------
    StopError
        A finding stops the design: there is nothing to make.
    """
    if job.ring is None:
        raise StopError("a finding stops this design: no sheet is drawn")
    paper = paper or paper_named("A4")
    flow = [*opening(job, paper), *making(job, paper), *closing(job, paper)]
    name = job.design.job.name
    foot = f"{name}   ⌀ {job.made.inside_diameter_mm:.2f} mm   all lengths in mm"
    return document(flow, paper, title=f"{name}, bench sheet", foot=foot)
