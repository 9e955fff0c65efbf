"""The A5 sheet of a colour map: paper, heading, the column of alloys, the file's bytes.

Letters become outlines in the SVG, so that it looks the same on every machine.
"""

from __future__ import annotations

import io
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any, Literal

from ringgeom.colour.ternary import ChartPoint
from ringgeom.errors import InputError, Problem

Kind = Literal["png", "svg"]
Mark = Literal["exact", "projected", "known"]
Spot = tuple[float, float]

PAPER, INK, SOFT, HAIRLINE, VERDIGRIS = "#fbf9f4", "#24211c", "#6d675c", "#d9d2c3", "#2c6e62"

WIDTH_MM, HEIGHT_MM = 210.0, 148.0
"""A5 lying."""

DOTS_PER_INCH = 200
"""1653 dots across: sharp on A5 paper and large enough for a screen."""

MOST_POINTS = 16
"""More rows than this cannot be read on A5."""

SMALLEST_LETTERS = 5.2
"""In points; smaller ones are lost in a print."""

TRUST_WORDS = (
    "predicted, polished, D65, 2 degree observer; copper side weak (±5.5 dE00)",
    "a print or a screen is no proof: make a test button",
)

COLUMN_MM, ROW_MM, SWATCH_MM = 150.0, 12.0, 5.2
COLUMN_TOP_MM, COLUMN_BOTTOM_MM = 131.0, 20.0
"""Left edge of the column, its tallest row and swatch, and where it may lie on the sheet."""

MARGIN_MM = 6.0
"""Nothing is written nearer to the right edge."""

ROOM_FOR_THREE_MM, LEADING_MM, TIGHT_MM = 9.5, 3.0, 2.5
"""Height of a row from which three lines fit, else two; from line to line, and in low rows."""

STYLES: dict[Mark, dict[str, Any]] = {
    "exact": {"marker": "o", "ms": 6.5, "mfc": VERDIGRIS, "mec": PAPER, "mew": 1.1},
    "projected": {"marker": "D", "ms": 5.6, "mfc": PAPER, "mec": VERDIGRIS, "mew": 1.3},
    "known": {"marker": "s", "ms": 8.2, "mfc": PAPER, "mec": INK, "mew": 1.1},
}
"""Shape and filling tell them apart, ink is a help."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """An alloy of the sheet: its mark's place [mm], the tag beside it, swatch and texts."""

    spot_mm: Spot
    tag: str
    mark: Mark
    hex: str
    name: str
    lines: tuple[str, ...]


def row_of(point: ChartPoint, tag: str, spot_mm: Spot, mark: Mark, note: str = "") -> Row:
    """An alloy's row of the column, its mark at `spot_mm`; a note stands after its colour."""
    lightness, a, b = point.lab
    numbers = f"L* {lightness:.1f}  a* {signed(a)}  b* {signed(b)}"
    return Row(
        spot_mm=spot_mm,
        tag=tag,
        mark=mark,
        hex=point.hex,
        name=point.name,
        lines=(point.recipe, f"{numbers}   {note}" if note else numbers),
    )


def signed(value: float) -> str:
    """A number of any unit to one decimal, with the true minus."""
    return f"{value + 0.0:.1f}".replace("-", "−")


def checked(points: Sequence[ChartPoint]) -> None:
    """Refuse more alloys than the sheet holds.

    Raises
    ------
    InputError
        There are too many.
    """
    if len(points) > MOST_POINTS:
        raise InputError(
            Problem(
                text="a colour map holds only so many alloys",
                value=str(len(points)),
                allowed=f"at most {MOST_POINTS}",
            )
        )


@contextmanager
def sheet(heading: str, feet: Sequence[str] = ()) -> Iterator[Any]:
    """A figure of A5 paper with its heading and foot; the drawing rules hold inside."""
    import matplotlib
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    rules: Any = {
        "font.family": ["DejaVu Sans"],
        "font.size": 6.5,
        "text.color": INK,
        "svg.hashsalt": "ringgeom",
        "svg.fonttype": "path",
        "text.parse_math": False,
        "axes.unicode_minus": True,
    }
    with matplotlib.rc_context():
        # nobody's own settings may change the sheet
        matplotlib.rcdefaults()
        matplotlib.rcParams.update(rules)
        size = (WIDTH_MM / 25.4, HEIGHT_MM / 25.4)
        figure = Figure(figsize=size, dpi=DOTS_PER_INCH, facecolor=PAPER)
        FigureCanvasAgg(figure)
        _fitted(figure, (10, 138), heading, size=13, family="DejaVu Serif", va="center")
        for count, foot in enumerate([*feet, *TRUST_WORDS][::-1]):
            words(figure, (10, 6 + 3.4 * count), foot, size=6.2, color=SOFT, va="center")
        yield figure


def words(figure: Any, place_mm: Spot, text: str, *, size: float = 6.5, **how: Any) -> None:
    """Text at a place of the sheet [mm]."""
    figure.text(place_mm[0] / WIDTH_MM, place_mm[1] / HEIGHT_MM, text, fontsize=size, **how)


def line(figure: Any, spots_mm: Sequence[Spot], **how: Any) -> None:
    """A line, or a mark, over the sheet [mm]."""
    from matplotlib.lines import Line2D

    across = [x / WIDTH_MM for x, _ in spots_mm]
    up = [y / HEIGHT_MM for _, y in spots_mm]
    figure.add_artist(Line2D(across, up, transform=figure.transFigure, **how))


def column(figure: Any, rows: Sequence[Row]) -> None:
    """The alloys on the right, from top to bottom: tag and mark, swatch, name and numbers."""
    if not rows:
        return
    height = min(ROW_MM, (COLUMN_TOP_MM - COLUMN_BOTTOM_MM) / len(rows))
    for place, row in enumerate(rows):
        _entry(figure, row, COLUMN_TOP_MM - height * (place + 0.5), height)


def _entry(figure: Any, row: Row, middle: float, height: float) -> None:
    from matplotlib.patches import Rectangle

    side = min(SWATCH_MM, 0.8 * height)
    figure.add_artist(
        Rectangle(
            (COLUMN_MM / WIDTH_MM, (middle - side / 2) / HEIGHT_MM),
            side / WIDTH_MM,
            side / HEIGHT_MM,
            transform=figure.transFigure,
            fc=row.hex,
            ec=INK,
            lw=0.6,
        )
    )
    line(figure, [(COLUMN_MM - 3.0, middle)], ls="none", **STYLES[row.mark])
    tag = {"ha": "right", "va": "center_baseline", "weight": "bold"}
    words(figure, (COLUMN_MM - 5.4, middle), row.tag, size=7, **tag)
    texts = (row.name, *row.lines)[: 3 if height >= ROOM_FOR_THREE_MM else 2]
    leading = LEADING_MM if height > 2 * LEADING_MM else TIGHT_MM
    for count, text in enumerate(texts):
        place = (COLUMN_MM + 7.0, middle + leading * ((len(texts) - 1) / 2 - count))
        size, ink = (7.0, INK) if count == 0 else (6.0, SOFT)
        _fitted(figure, place, text, size=size, color=ink, va="center_baseline")


def _fitted(figure: Any, place_mm: Spot, text: str, *, size: float, **how: Any) -> None:
    """Text that ends before the margin: a little smaller, else cut with an ellipsis."""
    from matplotlib.text import Text

    def width_mm(shown: str, points: float) -> float:
        probe = Text(0, 0, shown, fontsize=points, figure=figure, **how)
        box = probe.get_window_extent(figure.canvas.get_renderer(), dpi=DOTS_PER_INCH)
        return float(box.width) / DOTS_PER_INCH * 25.4

    room = WIDTH_MM - MARGIN_MM - place_mm[0]
    if (wide := width_mm(text, size)) > room:
        size = max(SMALLEST_LETTERS, 0.99 * size * room / wide)
    shown = text
    while width_mm(shown, size) > room:
        shown = shown.rstrip("…")[:-1].rstrip() + "…"
    words(figure, place_mm, shown, size=size, **how)


def written(figure: Any, kind: Kind, title: str) -> bytes:
    """The sheet as a file, the same bytes every time."""
    stream = io.BytesIO()
    told: dict[str, Any] = {"Title": title}
    # a date or a version would change the bytes
    told |= {"Date": None, "Creator": "ringgeom"} if kind == "svg" else {"Software": "ringgeom"}
    figure.savefig(stream, format=kind, dpi=DOTS_PER_INCH, facecolor=PAPER, metadata=told)
    return stream.getvalue()
