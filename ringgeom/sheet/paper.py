"""The paper: its sizes, its type, its tables; a document whose bytes depend on its content only."""

from __future__ import annotations

import difflib
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from io import BytesIO
from typing import Any

from reportlab.lib.styles import ParagraphStyle
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import (
    BaseDocTemplate,
    Flowable,
    Frame,
    KeepInFrame,
    PageTemplate,
    Paragraph,
    Spacer,
)
from reportlab.platypus import Table as PlatypusTable

from ringgeom.drawing.shapes import INK, SOFT_INK, Drawing
from ringgeom.errors import InputError, Problem
from ringgeom.fonts import BOLD, SANS, SERIF, WRITER, registered, shown
from ringgeom.sheet.ink import MM, draw

PAPERS = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
"""Names of paper and their measures [mm]; ISO 216, and 8.5 x 11 inch."""

MARGIN_MM = 12.0
FOOT_MM = 14.0
CHECK_BAR_MM = 50.0
HAIR = "#d9d2c3"
FIGURE_ONLY = re.compile(r"[±+\-−]?\s*\d[\d.,]*")


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """A size of paper [mm]."""

    name: str
    width_mm: float
    height_mm: float

    @property
    def inner_mm(self) -> float:
        """Width between the margins."""
        return self.width_mm - 2 * MARGIN_MM


def paper_named(name: str) -> Paper:
    """A size of paper by its name.

    Raises
    ------
    InputError
        It is not known; the nearest is named.
    """
    known = {one.lower(): one for one in PAPERS}
    meant = known.get(name.strip().lower().removeprefix("us "))
    if meant is None:
        near = difflib.get_close_matches(name.lower(), known, n=1, cutoff=0.3)
        raise InputError(
            Problem(
                text="no such size of paper",
                where="--paper",
                value=name,
                allowed=", ".join(PAPERS),
                nearest=known[near[0]] if near else "A4",
            )
        )
    return Paper(name=meant, width_mm=PAPERS[meant][0], height_mm=PAPERS[meant][1])


def turned(paper: Paper) -> Paper:
    """The same paper lying on its longer side."""
    return Paper(name=paper.name, width_mm=paper.height_mm, height_mm=paper.width_mm)


def _style(name: str, **more: Any) -> ParagraphStyle:
    plain = {"fontName": SANS, "fontSize": 8.0, "leading": 9.8, "textColor": INK}
    return ParagraphStyle(name, **{**plain, **more})


PLAIN = _style("plain")
SMALL = _style("small", fontSize=7.1, leading=8.6)
SOFT = _style("soft", fontSize=6.9, leading=8.4, textColor=SOFT_INK)
CELL = _style("cell", fontSize=7.3, leading=8.6)
FIGURE = _style("figure", fontSize=7.3, leading=8.6, alignment=2)
HEAD = _style("head", fontSize=6.8, leading=8.2, textColor=SOFT_INK)
HEAD_RIGHT = _style("head right", fontSize=6.8, leading=8.2, textColor=SOFT_INK, alignment=2)
TITLE = _style("title", fontName=SERIF, fontSize=20, leading=24)
SECTION = _style(
    "section",
    fontName=SERIF,
    fontSize=10,
    leading=12,
    spaceBefore=4.5,
    spaceAfter=0.5,
    # a heading never stands alone at the foot of a page
    keepWithNext=1,
)


def escaped(text: str) -> str:
    """A text as a paragraph takes it."""
    plain = shown(text).replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
    return plain


def para(text: str, style: ParagraphStyle = PLAIN) -> Paragraph:
    """A paragraph of plain text."""
    registered()
    return Paragraph(escaped(text), style)


def section(text: str) -> Paragraph:
    """The heading of a block."""
    return para(text, SECTION)


def gap(mm: float) -> Spacer:
    """White space, its height in mm."""
    return Spacer(1, mm * MM)


class Sketch(Flowable):  # type: ignore[misc]
    """A drawing in the flow of a page, at its true size."""

    def __init__(self, drawing: Drawing) -> None:
        super().__init__()
        self.drawing = drawing
        self.width = drawing.width_mm * MM
        self.height = drawing.height_mm * MM

    def wrap(self, _wide: float, _high: float) -> tuple[float, float]:
        """Its width and height in points, whatever room there is."""
        return self.width, self.height

    def draw(self) -> None:
        """Draw it where the page has come to."""
        draw(self.canv, self.drawing, 0, 0)


def table(
    head: Sequence[str],
    rows: Sequence[Sequence[str | Flowable]],
    widths_mm: Sequence[float],
    *,
    bold_last: bool = False,
) -> PlatypusTable:
    """A table with hairlines; columns whose cells are all figures stand to the right."""
    figures = [
        n > 0
        and any(row[n] != "" for row in rows)
        and all(_is_figure(row[n]) for row in rows if row[n] != "")
        for n in range(len(head))
    ]
    cells: list[list[Any]] = [
        [para(t, HEAD_RIGHT if right else HEAD) for t, right in zip(head, figures, strict=True)]
    ]
    for number, row in enumerate(rows):
        strong = bold_last and number == len(rows) - 1
        cells.append([_cell(one, right, strong) for one, right in zip(row, figures, strict=True)])
    style = [
        ("LINEBELOW", (0, 0), (-1, 0), 0.6, INK),
        ("LINEBELOW", (0, 1), (-1, -1), 0.35, HAIR),
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("LEFTPADDING", (0, 0), (-1, -1), 0),
        ("RIGHTPADDING", (0, 0), (-1, -1), 6),
        ("TOPPADDING", (0, 0), (-1, -1), 0.8),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 1.4),
    ]
    return PlatypusTable(
        cells, colWidths=[mm * MM for mm in widths_mm], style=style, repeatRows=1, hAlign="LEFT"
    )


def _cell(one: str | Flowable, right: bool, strong: bool) -> Flowable:
    if isinstance(one, Flowable):
        return one
    text = escaped(one)
    registered()
    return Paragraph(f"<b>{text}</b>" if strong and text else text, FIGURE if right else CELL)


def _is_figure(cell: str | Flowable) -> bool:
    return isinstance(cell, str) and FIGURE_ONLY.fullmatch(cell) is not None


def document(
    flow: Sequence[Flowable],
    paper: Paper,
    *,
    title: str,
    foot: str,
    bar: bool = True,
    most_pages: int | None = None,
) -> bytes:
    """A PDF of things one after the other; each page with its number, and a check bar.

    Parameters
    ----------
    foot : str
        What stands at the foot of every page.
    bar : bool
        Whether a bar to check the printer's scale stands there.
    most_pages : int, optional
        Pages that it has at most: all is made as much smaller as that takes.
    """
    registered()
    if most_pages is not None:
        room = (paper.height_mm - MARGIN_MM - FOOT_MM) * MM * most_pages
        flow = [KeepInFrame(paper.inner_mm * MM, room, list(flow), mode="shrink")]
    stream = BytesIO()
    wide, high = paper.width_mm * MM, paper.height_mm * MM
    made = BaseDocTemplate(
        stream,
        pagesize=(wide, high),
        invariant=1,
        title=shown(title),
        author="",
        creator="ringgeom",
        producer="ringgeom",
    )
    inner = Frame(
        MARGIN_MM * MM,
        FOOT_MM * MM,
        paper.inner_mm * MM,
        high - (MARGIN_MM + FOOT_MM) * MM,
        leftPadding=0,
        rightPadding=0,
        topPadding=0,
        bottomPadding=0,
    )
    made.addPageTemplates([PageTemplate(frames=[inner])])
    with WRITER:
        made.build(list(flow), canvasmaker=_numbered(paper, foot, bar))
    return stream.getvalue()


def _numbered(paper: Paper, foot: str, bar: bool) -> Callable[..., Canvas]:
    """A canvas that knows how many pages there are before it writes the first foot."""

    class Numbered(Canvas):  # type: ignore[misc]
        def __init__(self, *given: Any, **more: Any) -> None:
            super().__init__(*given, **{**more, "invariant": 1})
            self._pages: list[dict[str, Any]] = []

        def showPage(self) -> None:
            self._pages.append(dict(self.__dict__))
            self._startPage()

        def save(self) -> None:
            total = len(self._pages)
            for number, page in enumerate(self._pages, start=1):
                self.__dict__.update(page)
                _foot(self, paper, f"{foot}   {number} / {total}", bar)
                super().showPage()
            super().save()

    return Numbered


def _foot(canvas: Canvas, paper: Paper, text: str, bar: bool) -> None:
    canvas.saveState()
    canvas.setStrokeColor(INK)
    canvas.setFillColor(SOFT_INK)
    canvas.setFont(SANS, 7)
    y = 8 * MM
    canvas.drawRightString((paper.width_mm - MARGIN_MM) * MM, y, shown(text))
    if bar:
        x0, x1 = MARGIN_MM * MM, (MARGIN_MM + CHECK_BAR_MM) * MM
        canvas.setLineWidth(0.7)
        canvas.line(x0, y, x1, y)
        for number in range(6):
            x = x0 + number * 10 * MM
            canvas.line(x, y - 1 * MM, x, y + 1 * MM)
        canvas.setFont(BOLD, 6.5)
        canvas.drawString(x1 + 2 * MM, y - 0.8 * MM, "50 mm: print at 100 %")
    canvas.restoreState()
