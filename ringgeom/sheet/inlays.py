"""Motif inlays on the bench sheet: pockets to cut, pieces to make."""

from __future__ import annotations

from collections.abc import Iterator

from reportlab.platypus import Flowable, KeepTogether

from ringgeom.engraving.inset import Inset
from ringgeom.form.clock import clock_words
from ringgeom.jobs import Job
from ringgeom.sheet.paper import Paper, section, table
from ringgeom.units import grams, mass_g

Rows = list[list[str | Flowable]]


def inlays(job: Job, paper: Paper) -> Iterator[Flowable]:
    """Nothing for a ring without."""
    rows: Rows = [_row(job, one) for one in job.insets]
    if not rows:
        return
    widths = [32, 17, 20, 27, 26, 24]
    head = ("motif inlay", "first at", "across, mm", "pockets, mm", "gaps, mm", "cutter")
    whole = [*widths, paper.inner_mm - sum(widths)]
    yield KeepTogether([section("Motif inlays"), table((*head, "pieces"), rows, whole)])


def _row(job: Job, one: Inset) -> list[str | Flowable]:
    asked, cut = one.asked, one.cut
    part = next(part for part in job.parts if part.piece == one.piece)
    tool = f"⌀ {asked.cutter_mm:g}, {asked.corners}" if asked.cutter_mm else "laser, graver"
    made = "cast in" if asked.cast_in else asked.floor
    pieces = ", ".join(
        f"{some.count} × {grams(mass_g(some.volume_mm3, part.alloy.density_g_cm3))} g"
        for some in one.alike
    )
    return [
        f"{part.name}, {len(cut.pockets)} × {cut.length_mm:.2f} × {cut.height_mm:.2f}",
        clock_words(asked.angle),
        f"{asked.centre_mm:+.2f}",
        f"{asked.depth_mm:g} deep, {made}",
        f"{asked.gap.side:g} side, {asked.gap.floor:g} floor",
        tool,
        pieces,
    ]
