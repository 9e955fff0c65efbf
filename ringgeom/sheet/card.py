"""The client's card: one page with what the ring is, of what, and how to live with it."""

from __future__ import annotations

from collections.abc import Iterator
from io import BytesIO

from reportlab.platypus import Flowable, Image
from reportlab.platypus import Table as PlatypusTable

from ringgeom.drawing.shapes import Area, Drawing
from ringgeom.drawing.views import exploded_section, front_view
from ringgeom.errors import StopError
from ringgeom.finger import labels
from ringgeom.jobs import Job
from ringgeom.making.tapering import tapers_to
from ringgeom.resizing import resize_outlook
from ringgeom.sheet.client import contrasts, living, metals
from ringgeom.sheet.ink import MM
from ringgeom.sheet.paper import (
    PLAIN,
    SMALL,
    SOFT,
    TITLE,
    Paper,
    Sketch,
    document,
    gap,
    paper_named,
    para,
    section,
    table,
)
from ringgeom.units import grams

SWATCH_MM = 9.0
PICTURE_MM = (150.0, 88.0)


def client_card(job: Job, paper: Paper | None = None, *, picture: bytes | None = None) -> bytes:
    """The card as PDF, one page; the same job and picture give the same bytes.

    Nothing of the shop's own is on it: no melts, no losses, no prices.

    Parameters
    ----------
    picture : bytes, optional
        A PNG of the ring; its drawing without.

    Raises
    ------
    StopError
        A finding stops the design.
    """
    if job.ring is None:
        raise StopError("a finding stops this design: no card is drawn")
    paper = paper or paper_named("A4")
    name = job.design.job.name
    flow = [*_top(job, picture), *_metals(job, paper), *_living(job)]
    return document(flow, paper, title=f"{name}, card", foot=name, bar=False, most_pages=1)


def _tapers(job: Job) -> str:
    words = tapers_to(job.form)
    return f" at 12 o'clock,  {words}" if words else ""


def _top(job: Job, picture: bytes | None) -> Iterator[Flowable]:
    made = job.made
    yield para(job.design.job.name, TITLE)
    near = labels(made.inside_diameter_mm)
    scales = ",  ".join(one.label for one in near)
    yield para(
        f"inside ⌀ {made.inside_diameter_mm:.2f} mm, {job.circumference_mm:.1f} mm around "
        f"({job.finger.asked});  {job.form.width_mm:g} mm wide,  {job.form.thickness_mm:g} mm "
        f"thick{_tapers(job)},  {grams(job.finished_g)} g",
        PLAIN,
    )
    yield para(f"nearest sizes: {scales}", SOFT)
    yield gap(4)
    if picture is not None:
        yield _shown(picture)
        yield para("The picture is a prediction; true size on the right below.", SOFT)
    yield gap(2)
    exploded = exploded_section(job, across_mm=70.0)
    yield PlatypusTable(
        [[Sketch(exploded), Sketch(front_view(job))], ["", para("true size", SOFT)]],
        colWidths=[(max(exploded.width_mm, 100.0) + 6) * MM, None],
        style=[("VALIGN", (0, 0), (-1, -1), "BOTTOM"), ("LEFTPADDING", (0, 0), (-1, -1), 0)],
        hAlign="LEFT",
    )


def _shown(picture: bytes) -> Image:
    found = Image(BytesIO(picture))
    scale = min(PICTURE_MM[0] * MM / found.imageWidth, PICTURE_MM[1] * MM / found.imageHeight)
    found.drawWidth, found.drawHeight = found.imageWidth * scale, found.imageHeight * scale
    found.hAlign = "LEFT"
    return found


def _metals(job: Job, paper: Paper) -> Iterator[Flowable]:
    rows: list[list[str | Flowable]] = [
        [_patch(one.fill), one.where, one.kind, one.fine, one.weight] for one in metals(job)
    ]
    widths = [14, 52, 56, 24]
    yield section("Metals")
    yield table(
        ("colour", "where", "metal", "fine", "weight"),
        rows,
        [*widths, paper.inner_mm - sum(widths)],
    )
    yield para(
        "Colours are a prediction for polished metal in daylight; a print is no proof.", SOFT
    )
    seen = contrasts(job)
    if seen:
        yield para("; ".join(seen[:6]) + ".", SOFT)


def _patch(fill: str) -> Sketch:
    wide = SWATCH_MM
    loop = ((0.0, 0.5), (wide, 0.5), (wide, 5.0), (0.0, 5.0))
    shapes = (Area(loops=(loop,), fill=fill, edged=False),)
    return Sketch(Drawing(width_mm=wide, height_mm=5.5, shapes=shapes))


def _living(job: Job) -> Iterator[Flowable]:
    yield section("Size")
    yield para(f"This ring {resize_outlook(job)}.", SMALL)
    yield section("Care and wear")
    for words in living(job):
        yield para(words, SMALL)
