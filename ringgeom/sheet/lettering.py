"""What is engraved, on the bench sheet: a table, and every engraved face unrolled."""

from __future__ import annotations

from collections.abc import Iterator
from math import tau

from reportlab.platypus import Flowable, KeepTogether

from ringgeom.drawing.laser import unwound
from ringgeom.drawing.lettering import lettering_drawing
from ringgeom.engraving.asked import Lettering, MarkBox
from ringgeom.engraving.engraved import Engraved
from ringgeom.form.clock import clock_words
from ringgeom.jobs import Job
from ringgeom.sheet.paper import SOFT, Paper, Sketch, para, section, table


def lettering(job: Job, paper: Paper) -> Iterator[Flowable]:
    """Nothing for a ring without."""
    if not job.engraved and not job.insets:
        return
    if rows := [_row(job, one) for one in job.engraved]:
        widths = [46, 16, 16, 22, 18, 22]
        head = ("what, and room for marks", "on", "middle at", "across, mm", "high", "depth")
        whole = [*widths, paper.inner_mm - sum(widths)]
        yield KeepTogether([section("Engraving"), table((*head, "takes, mm³"), rows, whole)])
    for one in unwound(job):
        if not one.mirrored:
            yield Sketch(lettering_drawing(one, paper.inner_mm))
    yield para(
        "Depths are in the finished face. Files for the laser lie in laser/; power and passes are "
        "set at the machine.",
        SOFT,
    )


def _row(job: Job, one: Engraved) -> list[str | Flowable]:
    asked = one.asked
    at = [asked.on, clock_words(asked.angle % tau), f"{asked.centre_mm:+.2f}"]
    if isinstance(asked, MarkBox):
        room = f"room for the {asked.which} mark, {asked.width_mm:g} × {asked.height_mm:g}"
        return [room, *at, f"{asked.height_mm:g}", "", ""]
    names = {part.piece: part.name for part in job.parts}
    taken = ", ".join(
        f"{names[piece]} {volume:.2f}" for piece, volume in one.removed if piece in names
    )
    how = "high" if one.raised else "cast in" if asked.cast_in else asked.floor
    depth = f"{one.deepest_mm or one.tallest_mm:g} {how}"
    if isinstance(asked, Lettering):
        assert one.row is not None
        font = f"single lines {asked.cut_mm:g} wide" if asked.single_lines else asked.font
        text = f"“{asked.text}” {font}, {one.row.length_mm:.2f} mm"
        if asked.repeat > 1:
            text += f", {asked.repeat} times"
        return [text, *at, f"{asked.height_mm:g}", depth, taken]
    assert one.figures is not None
    if not one.carved:
        return ["; ".join(one.figures.notes), *at, "", "", "nothing is cut"]
    found = one.figures
    text = f"{one.words.removeprefix('the ')}, {found.count} × {found.length_mm:.2f} mm"
    return [text, *at, f"{found.height_mm:.2f}", depth, taken]
