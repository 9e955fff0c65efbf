"""The paper of a picture: heading, scale bar, metals, and that it is a prediction."""

from __future__ import annotations

import io
import warnings
from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ringgeom.output.pictures.legend import Row, rows
from ringgeom.scene.shown import Shown
from ringgeom.scene.view import WIDTH, View

Dots = NDArray[np.uint8]
"""Red, green and blue, shape (rows, dots, 3), top row first."""

PAPER, INK, SOFT = "#f5f2ea", "#24211c", "#6d675c"

DOTS_PER_INCH = 100
POINTS = 72 / DOTS_PER_INCH
"""A dot in points, the measure of letters and lines."""

CUT_LINE = 1.6
"""Width of a cut edge [dots]."""

MARGIN = 60
"""Nothing is written nearer to the left or right edge [dots]."""

NAME_DOWN, TITLE_DOWN = 62, 96
"""From the upper edge to the job's name and to the view's [dots]."""

ROWS, ROW_UP, ROW, COLUMN, LEAST_COLUMN, SWATCH = 4, 150, 28, 560, 400, 18
"""Rows of metals in a column, height of the first above the lower edge, and sizes [dots]."""

FOOT_UP = 30

BAR_SHARE = 0.17
"""The scale bar is 1, 2 or 5 times a power of ten long, whichever comes nearest this share."""

BAR_UP, BAR_THICK, BAR_TICK = 84, 3, 17
"""Height of the bar above the lower edge, its thickness, and the height of its ends [dots]."""

TITLES = {
    "three-quarter": "three-quarter view",
    "front": "front, the finger upwards",
    "section": "cut across; outside up, finger down",
    "exploded": "parts, taken apart",
    "turntable": "turning",
}

RENDERED = "Rendered: no reflection is brighter than the metal's own colour."
DRAWN = "Drawn: the metals' own colours, flat."
PREDICTED = (
    "Colours are predictions for daylight (D65, 2 degree observer), no proof: make a test button."
)
MEASURED = "Colours as measured by the shop, for daylight (D65, 2 degree observer)."
BOTH = (
    "Colours are predictions for daylight (D65, 2 degree observer), no proof, or measured as told."
)


def bar_mm(px_per_mm: int, width: int = WIDTH) -> int:
    """Length of the scale bar [mm]."""
    lengths = [base * ten for ten in (1, 10, 100) for base in (1, 2, 5)]
    return min(lengths, key=lambda mm: abs(mm * px_per_mm - BAR_SHARE * width))


def on_paper(picture: Dots, view: View, shown: Shown, *, rendered: bool) -> Dots:
    """A picture with its words; the same dots for the same call."""
    import matplotlib
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    width, height = view.size
    with matplotlib.rc_context(), warnings.catch_warnings():
        # letters that the font has not are shown as boxes, without a word on the screen
        warnings.simplefilter("ignore")
        # nobody's own settings may change the picture
        matplotlib.rcdefaults()
        matplotlib.rcParams.update({"text.parse_math": False, "text.color": INK})
        size = (width / DOTS_PER_INCH, height / DOTS_PER_INCH)
        figure = Figure(figsize=size, dpi=DOTS_PER_INCH, facecolor=PAPER)
        canvas: Any = FigureCanvasAgg(figure)
        figure.figimage(picture, 0, 0, origin="upper")
        if rendered:
            _ink(figure, view)
        _heading(figure, view, shown)
        length = bar_mm(view.px_per_mm, width)
        until = width - MARGIN - length * view.px_per_mm
        _metals(figure, rows(shown, ROWS * max(1, until // LEAST_COLUMN)), until)
        _foot(figure, shown, rendered, width)
        _bar_words(figure, view, length)
        canvas.draw()
        dots = np.asarray(canvas.buffer_rgba())[..., :3].copy()
    _bar(dots, length * view.px_per_mm)
    return dots


def png(dots: Dots) -> bytes:
    """A picture as a PNG file, without date or program."""
    from PIL import Image

    stream = io.BytesIO()
    Image.fromarray(dots).save(stream, format="PNG", compress_level=6)
    return stream.getvalue()


def _ink(figure: Any, view: View) -> None:
    """The edges of the cut faces, as drawing practice has them."""
    if not len(view.ink_mm):
        return
    from matplotlib.collections import LineCollection
    from matplotlib.transforms import IdentityTransform

    spots = view.ink_mm * view.px_per_mm + np.array(view.size) / 2
    lines = LineCollection(
        list(spots), colors=INK, linewidths=CUT_LINE * POINTS, capstyle="round",
        transform=IdentityTransform(),
    )  # fmt: skip
    figure.add_artist(lines)


def _heading(figure: Any, view: View, shown: Shown) -> None:
    width, height = view.size
    room = width - 2 * MARGIN
    _words(figure, (MARGIN, height - NAME_DOWN), shown.job, 34, room, family="DejaVu Serif")
    title = TITLES[view.name]
    _words(figure, (MARGIN, height - TITLE_DOWN), title, 19, room, color=SOFT)


def _metals(figure: Any, found: Sequence[Row], until: int) -> None:
    from matplotlib.patches import Rectangle
    from matplotlib.transforms import IdentityTransform

    columns = -(-len(found) // ROWS)
    wide = min(COLUMN, (until - MARGIN - 40) // columns)
    for number, row in enumerate(found):
        column, line = divmod(number, ROWS)
        x, y = MARGIN + column * wide, ROW_UP - line * ROW
        if row.hex:
            figure.add_artist(
                Rectangle(
                    (x, y - 2),
                    SWATCH,
                    SWATCH,
                    fc=row.hex,
                    ec=INK,
                    lw=POINTS,
                    transform=IdentityTransform(),
                )
            )
        _words(figure, (x + SWATCH + 12, y), row.words, 17, wide - SWATCH - 24)


def _foot(figure: Any, shown: Shown, rendered: bool, width: int) -> None:
    measured = {part.colour.trust.kind == "measured" for part in shown.parts}
    colours = BOTH if len(measured) > 1 else MEASURED if True in measured else PREDICTED
    how = RENDERED if rendered else DRAWN
    words = f"{how} {colours}" if width >= WIDTH else colours
    _words(figure, (MARGIN, FOOT_UP), words, 15, width - 2 * MARGIN, color=SOFT)


def _bar_words(figure: Any, view: View, length: int) -> None:
    across = "" if view.name == "front" else "across the line of sight"
    middle = view.size[0] - MARGIN - length * view.px_per_mm / 2
    _words(figure, (middle, BAR_UP + BAR_TICK), f"{length} mm", 19, view.size[0], ha="center")
    _words(figure, (middle, BAR_UP - 26), across, 14, view.size[0], ha="center", color=SOFT)


def _bar(dots: Dots, long: int) -> None:
    """The bar itself, to the dot: its ends are part of its length."""
    ink = np.array([int(INK[n : n + 2], 16) for n in (1, 3, 5)], dtype=np.uint8)
    right, row = dots.shape[1] - MARGIN, dots.shape[0] - BAR_UP
    left, half = right - long, BAR_TICK // 2
    dots[row - BAR_THICK // 2 : row + BAR_THICK // 2 + 1, left:right] = ink
    for x in (left, right - BAR_THICK):
        dots[row - half : row + half + 1, x : x + BAR_THICK] = ink


def _words(
    figure: Any, spot: tuple[float, float], text: str, high: float, room: float, **how: Any
) -> None:
    """Text `high` dots high at a spot from the lower left, cut with an ellipsis to its room."""
    from matplotlib.text import Text

    how = {"family": "DejaVu Sans", "fontsize": high * POINTS, **how}
    renderer = figure.canvas.get_renderer()

    def wide(shown: str) -> float:
        box = Text(0, 0, shown, figure=figure, **how).get_window_extent(renderer, DOTS_PER_INCH)
        return float(box.width)

    shown = text
    while len(shown) > 1 and wide(shown) > room:
        shown = shown.rstrip("…")[:-1].rstrip() + "…"
    width, height = figure.canvas.get_width_height()
    figure.text(spot[0] / width, spot[1] / height, shown, va="baseline", **how)
