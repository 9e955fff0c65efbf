"""The first page: what ring it is, its section, its parts, what to melt."""

from __future__ import annotations

from collections.abc import Iterator

from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Flowable, KeepTogether
from reportlab.platypus import Table as PlatypusTable

from ringgeom.drawing.faces import part_numbers
from ringgeom.drawing.hatch import hatching
from ringgeom.drawing.inks import Inks, inks
from ringgeom.drawing.section import enlarged_section
from ringgeom.drawing.shapes import Area, Drawing, Shape
from ringgeom.drawing.views import exploded_section, front_view, true_section
from ringgeom.finger import labels
from ringgeom.jobs import Job
from ringgeom.making.alike import alike
from ringgeom.making.tapering import tapers_to
from ringgeom.sheet.ink import MM
from ringgeom.sheet.paper import (
    SOFT,
    TITLE,
    Paper,
    Sketch,
    gap,
    para,
    section,
    table,
)
from ringgeom.units import grams

SWATCH_MM = (7.0, 3.2)


def opening(job: Job, paper: Paper) -> Iterator[Flowable]:
    """Name and size, section, parts, castings."""
    yield from _head(job, paper)
    yield from _drawings(job, paper)
    yield from _parts(job, paper)
    yield from _castings(job, paper)


def _head(job: Job, paper: Paper) -> Iterator[Flowable]:
    made, finger = job.made, job.finger
    wide = paper.inner_mm
    lines = [[para("for", SOFT), "", para("begun", SOFT), "", para("due", SOFT), ""]]
    blanks = PlatypusTable(
        lines,
        colWidths=[mm * MM for mm in (6, 28, 10, 18, 7, 18)],
        style=[
            ("LINEBELOW", (1, 0), (1, 0), 0.4, "#6d675c"),
            ("LINEBELOW", (3, 0), (3, 0), 0.4, "#6d675c"),
            ("LINEBELOW", (5, 0), (5, 0), 0.4, "#6d675c"),
            ("VALIGN", (0, 0), (-1, -1), "BOTTOM"),
            ("LEFTPADDING", (0, 0), (-1, -1), 0),
            ("RIGHTPADDING", (0, 0), (-1, -1), 2),
        ],
    )
    name = _fitted(job.design.job.name, (wide - 92) * MM)
    yield PlatypusTable(
        [[name, blanks]],
        colWidths=[(wide - 90) * MM, 90 * MM],
        style=[
            ("VALIGN", (0, 0), (-1, -1), "BOTTOM"),
            ("LEFTPADDING", (0, 0), (-1, -1), 0),
            ("RIGHTPADDING", (0, 0), (-1, -1), 0),
        ],
    )
    size = (
        f"finger {finger.asked}: {made.finger_diameter_mm:.2f} mm across, "
        f"{finger.circumference_mm:.2f} around"
    )
    for allowance in made.allowances:
        size += f"; {allowance.name} {allowance.diameter_mm:+.2f} mm ({allowance.why})"
    yield para(size)
    near = labels(made.inside_diameter_mm)
    scales = ",  ".join(f"{one.label} {round(one.residual_mm, 2) + 0.0:+.2f}" for one in near)
    yield para(
        f"made ⌀ {made.inside_diameter_mm:.2f} mm, {job.circumference_mm:.2f} around;  width "
        f"{job.form.width_mm:.2f},  thickness {job.form.thickness_mm:.2f} {job.form.measured_at},  "
        f"⌀ {job.outside_diameter_mm:.2f} over the outside"
        + (f";  at 12 o'clock: it {tapers_to(job.form)}" if job.form.taper else "")
    )
    yield para(f"nearest sizes, mm around by which the ring is larger:  {scales}", SOFT)
    yield gap(1.5)


def _fitted(name: str, wide: float) -> Flowable:
    """The job's name as large as its place allows, on one line or two."""
    from reportlab.pdfbase.pdfmetrics import stringWidth

    from ringgeom.fonts import SERIF, registered, shown

    registered()
    size = 20.0
    while size > 10 and stringWidth(shown(name), SERIF, size) > wide:
        size -= 0.5
    return para(name, ParagraphStyle("fitted", parent=TITLE, fontSize=size, leading=1.2 * size))


def _drawings(job: Job, paper: Paper) -> Iterator[Flowable]:
    yield Sketch(_within(job, paper))
    yield gap(1.5)
    exploded = exploded_section(job, across_mm=56.0)
    true = [
        [Sketch(front_view(job)), Sketch(true_section(job))],
        [para("front, 1 : 1", SOFT), para("section, 1 : 1", SOFT)],
    ]
    plain = [
        ("VALIGN", (0, 0), (-1, -1), "BOTTOM"),
        ("LEFTPADDING", (0, 0), (-1, -1), 0),
        ("RIGHTPADDING", (0, 0), (-1, -1), 6),
    ]
    right = PlatypusTable(true, style=plain)
    left = max(exploded.width_mm, 60.0) + 4
    yield PlatypusTable(
        [[Sketch(exploded), right]],
        colWidths=[left * MM, (paper.inner_mm - left) * MM],
        style=plain,
    )


def _within(job: Job, paper: Paper) -> Drawing:
    """The enlarged section, drawn smaller where its measures would not fit the paper."""
    for across in (92.0, 80.0, 68.0, 56.0, 44.0, 32.0):
        found = enlarged_section(job, across_mm=across)
        if found.width_mm <= paper.inner_mm:
            return found
    return found


def swatch(name: str, colours: Inks) -> Sketch:
    """A small patch of an alloy: its predicted colour and its hatching."""
    wide, high = SWATCH_MM
    loop = ((0.2, 0.2), (wide - 0.2, 0.2), (wide - 0.2, high - 0.2), (0.2, high - 0.2))
    shapes: tuple[Shape, ...] = (
        Area(loops=(loop,), fill=colours.fills[name]),
        *hatching((loop,), colours.numbers[name]),
    )
    return Sketch(Drawing(width_mm=wide, height_mm=high, shapes=shapes))


def _parts(job: Job, paper: Paper) -> Iterator[Flowable]:
    numbers, colours = part_numbers(job), inks(job)
    rows: list[list[str | Flowable]] = []
    for like in alike([(part.name, part) for part in job.parts]):
        part = like.first
        wax = part.wax
        rows.append(
            [
                str(numbers[part.name]),
                swatch(part.alloy.name, colours),
                f"{like.name}, {part.count} pieces" if part.plate is not None else like.name,
                part.alloy.name,
                f"{part.alloy.density_g_cm3:.2f}",
                f"{part.volume_mm3:.2f}",
                grams(part.finished_g),
                f"± {grams(part.uncertainty_g)}",
                grams(part.as_cast_g),
                f"{part.scale.scale:.4f}",
                f"{wax.bore_mm:.2f} / {wax.outside_mm:.2f} / {wax.width_mm:.2f}",
            ]
        )
    rows.append(
        [
            "",
            "",
            "ring",
            f"{len(job.parts)} parts",
            "",
            f"{job.volume_mm3:.2f}",
            grams(job.finished_g),
            f"± {grams(job.uncertainty_g)}",
            grams(job.as_cast_g),
            "",
            "",
        ]
    )
    head = ("", "", "part", "alloy", "g/cm³", "mm³", "finished g", "", "as cast g", "wax ×")
    widths = [5, 9, 27, 34, 11, 14, 15, 12, 14, 13]
    last = paper.inner_mm - sum(widths)
    stock = job.shop.stock
    yield section("Parts")
    yield table((*head, "wax ⌀ bore / ⌀ outside / width"), rows, [*widths, last], bold_last=True)
    yield para(
        f"One of each. Cast with {stock.outside_mm:g} mm of stock outside, {stock.bore_mm:g} in "
        f"the bore, {stock.edge_mm:g} at the edges, none where parts meet. Waxes are scaled "
        "already: do not scale again.",
        SOFT,
    )


def _castings(job: Job, paper: Paper) -> Iterator[Flowable]:
    rows: list[list[str | Flowable]] = []
    colours = inks(job)
    loss = job.shop.casting.melt_loss_percent
    for casting in job.castings:
        flask = casting.flask
        names = ", ".join(
            like.name for like in alike(list(zip(casting.names, casting.parts, strict=True)))
        )
        rows.append(
            [
                swatch(casting.alloy.name, colours),
                f"{casting.alloy.name}: {names}",
                f"({flask.parts_g:.2f} parts + {flask.sprue_g:.2f} sprue + {flask.button_g:.2f} "
                f"button) / (1 − {loss / 100:g})",
                f"{flask.melt_g:.2f}",
                f"{flask.returns_g:.2f}",
                f"{flask.filings_g:.2f}",
                f"{flask.yield_percent:.0f}",
            ]
        )
    widths = [9, 55, 66, 14, 15, 14]
    head = ("", "to melt", "arithmetic", "melt g", "returns g", "filings g", "yield %")
    casting_settings = job.shop.casting
    yield KeepTogether(
        [
            section("Castings"),
            table(head, rows, [*widths, paper.inner_mm - sum(widths)]),
            para(
                f"Button: {casting_settings.button_percent:g} % of the castings, at least "
                f"{casting_settings.button_min_g:g} g, once per flask; {loss:g} % lost in melting. "
                "Yield is castings by what is poured; returns are sprue and button, clean.",
                SOFT,
            ),
        ]
    )
