"""The last page: findings, marks, boxes for what is measured as made, cautions, how sure it is."""

from __future__ import annotations

from collections.abc import Iterator

from reportlab.platypus import Flowable, KeepTogether
from reportlab.platypus import Table as PlatypusTable

from ringgeom.asked import together
from ringgeom.drawing.shapes import INK
from ringgeom.jobs import Job
from ringgeom.making.alike import alike
from ringgeom.marks.region import region_of
from ringgeom.sheet.ink import MM
from ringgeom.sheet.making import IT, recipe_words
from ringgeom.sheet.paper import CELL, HAIR, HEAD, SMALL, SOFT, Paper, para, section, table

WORDS = {"stop": "STOP", "warn": "mind", "note": "note"}

Rows = list[list[str | Flowable]]


def closing(job: Job, paper: Paper) -> Iterator[Flowable]:
    """Findings, marks, boxes to fill in, cautions, sources."""
    yield from _findings(job, paper)
    yield from _marks(job, paper)
    yield from _as_made(job, paper)
    yield from _cautions(job)
    yield from _sources(job, paper)


def _findings(job: Job, paper: Paper) -> Iterator[Flowable]:
    if not job.findings:
        return
    alike: dict[tuple[str, str, str], list[str]] = {}
    for one in job.findings:
        part = one.part or ""
        key = WORDS[one.level], _its(one.text, part), _its(one.fix, part)
        mine = alike.setdefault(key, [])
        mine += [] if part in mine else [part]
    rows: Rows = [
        [level, together(parts), text.replace(IT, parts[0]), fix.replace(IT, parts[0])]
        for (level, text, fix), parts in alike.items()
    ]
    widths = [11, 24, 86]
    head = ("", "part", "what", "the way out")
    yield section("What to mind")
    yield table(head, rows, [*widths, paper.inner_mm - sum(widths)])


def _its(text: str, part: str) -> str:
    return text.replace(part, IT) if part else text


def _marks(job: Job, paper: Paper) -> Iterator[Flowable]:
    rows: Rows = []
    for one in job.marks:
        stamps = "; ".join(stamp.line for stamp in one.stamps) or "no fineness mark"
        doubts = "; ".join(doubt.text for doubt in one.doubts)
        rows.append([region_of(one.region).name, stamps, doubts])
    widths = [40, 70]
    yield KeepTogether(
        [
            section("Marks, a proposal"),
            table(("by", "stamp", "mind"), rows, [*widths, paper.inner_mm - sum(widths)]),
            para("Proposed, never certified: check with your assay office or counsel.", SOFT),
        ]
    )


def _boxes(head: list[str], names: list[str], wide: list[float]) -> PlatypusTable:
    """A table of empty boxes to write in."""
    cells = [[para(text, HEAD) for text in head]]
    cells += [[para(name, CELL), *[""] * (len(head) - 1)] for name in names]
    return PlatypusTable(
        cells,
        colWidths=[mm * MM for mm in wide],
        rowHeights=[None, *[5.6 * MM] * len(names)],
        style=[
            ("GRID", (1, 1), (-1, -1), 0.35, INK),
            ("LINEBELOW", (0, 1), (0, -1), 0.35, HAIR),
            ("VALIGN", (0, 0), (-1, -1), "MIDDLE"),
            ("LEFTPADDING", (0, 0), (-1, -1), 1),
            ("RIGHTPADDING", (0, 0), (-1, -1), 2),
            ("TOPPADDING", (0, 0), (-1, -1), 1),
            ("BOTTOMPADDING", (0, 0), (-1, -1), 1),
        ],
        repeatRows=1,
        hAlign="LEFT",
    )


def _as_made(job: Job, paper: Paper) -> Iterator[Flowable]:
    inner = paper.inner_mm
    names = []
    for like in alike([(part.name, part) for part in job.parts]):
        if like.first.plate is not None:
            names.append(f"{like.name}: all {like.first.count}, {like.first.as_cast_g:.3f} g")
            continue
        cast = like.first.wax.scaled(1 / like.first.scale.scale)
        names.append(
            f"{like.name}: ⌀ {cast.bore_mm:.2f} / ⌀ {cast.outside_mm:.2f} / {cast.width_mm:.2f}, "
            f"{like.first.as_cast_g:.2f} g"
        )
    head = ["as cast, expected", "bore", "outside", "width", "g", "g in water"]
    each = 19.0
    yield KeepTogether(
        [
            section("Measured as made"),
            _boxes(head, names, [inner - 5 * each, *[each] * 5]),
            para("Before anything is filed; ringgeom measured takes these readings.", SOFT),
        ]
    )
    ledger = [
        "where the metal went, g",
        "issued",
        "in the ring",
        "clean returns",
        "filings",
        "left",
    ]
    rows = [f"{one.alloy.name}: {one.flask.melt_g:.2f} to melt" for one in job.castings]
    yield KeepTogether([section("Ledger"), _boxes(ledger, rows, [inner - 5 * each, *[each] * 5])])


def _cautions(job: Job) -> Iterator[Flowable]:
    yield section("Cautions")
    yield para("  ·  ".join(f"{one.text} ({one.source})" for one in job.cautions), SMALL)


def _sources(job: Job, paper: Paper) -> Iterator[Flowable]:
    rows: Rows = []
    for alloy, seen in job.colours:
        rows.append(
            [
                alloy.name,
                recipe_words(alloy.recipe),
                f"{alloy.density_g_cm3:.2f} ± {alloy.density_uncertainty_g_cm3:.2f}: "
                f"{alloy.density_basis}",
                f"{seen.trust.words}, ± {seen.trust.band_de00:g} dE00",
            ]
        )
    widths = [32, 34, 78]
    head = ("alloy", "recipe, % by mass", "density, g/cm³", "colour")
    volumes = sorted({part.volume_by for part in job.parts})
    shrinks = sorted({f"{part.alloy.name} {part.scale.cast_percent:g} %" for part in job.parts})
    yield section("How sure it is")
    yield table(head, rows, [*widths, paper.inner_mm - sum(widths)])
    yield para(
        f"Volumes: {' and '.join(volumes)}, exact to rounding. Weights are as uncertain as their "
        "density. A joint's gap comes out within "
        f"± {job.shop.joining.tolerance_mm:g} mm. Shrink counted on: {', '.join(shrinks)}. Colours "
        "are predictions; a screen or a print is no proof. Sprue, button, loss, flask and pour "
        "are common practice: correct the shop file by what you measure.",
        SOFT,
    )
