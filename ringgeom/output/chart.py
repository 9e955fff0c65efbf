"""The triangle gold-silver-copper with its colours and the alloys of a design.

Read in black and white too: every line, range and mark has its word or shape.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import chain
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ringgeom.colour.ternary import (
    KARATS,
    ChartLine,
    ChartPoint,
    TernaryMap,
    Three,
    ternary_map,
)
from ringgeom.output.chart_green import green_line_chart
from ringgeom.output.chart_sheet import (
    HAIRLINE,
    HEIGHT_MM,
    INK,
    PAPER,
    SOFT,
    WIDTH_MM,
    Kind,
    Mark,
    Row,
    Spot,
    checked,
    column,
    row_of,
    sheet,
    words,
    written,
)
from ringgeom.output.chart_tags import Box, tags

__all__ = ["green_line_chart", "ternary_chart"]

CORNER_MM, SIDE_MM = (21.0, 28.5), 114.0
"""Lower left corner of the triangle (fine silver) on the sheet, and its side."""

RISE = 0.75**0.5
"""Height of an equilateral triangle over its side."""

FILL_DOTS = 640
"""Width of the coloured fill; it is smooth, more would only make the file larger."""

GREENNESS = {-4.0: 68.0, -2.0: 48.0, 0.0: 13.0, 2.0: 13.0, 5.0: 13.0, 8.0: 13.0, 11.0: 13.0}
"""Lines of one a*, and the gold content at which each is named: where few alloys are."""

TICKS = (20, 40, 60, 80)
"""Percent of silver along the lower edge, of copper along the right one."""

MIDDLE = {"ha": "center", "va": "center_baseline"}

AXIS_WORDS: tuple[tuple[str, Three, Spot, float], ...] = (
    ("silver, mass %", (0.0, 50.0, 50.0), (1.0, -3.6), 0.0),
    ("copper, mass %", (50.0, 0.0, 50.0), (2.4, 1.9), -60.0),
)
"""Text, the place of an edge that it stands by, how far from it [mm], and its turn [deg]."""

CORNERS: tuple[tuple[Three, str, Spot, str], ...] = (
    ((100.0, 0.0, 0.0), "gold", (0.0, 2.5), "center"),
    ((0.0, 100.0, 0.0), "silver", (-4.0, -4.0), "left"),
    ((0.0, 0.0, 100.0), "copper", (4.0, -4.0), "right"),
)

FRAME = Box(middle_mm=(74.0, 78.0), width_mm=136.0, height_mm=108.0)
"""Tags of the triangle stay in it: clear of the heading, the column and the feet."""

TERNARY_FEET = (
    "● at its place    ◇ other metals left out, the rest scaled to 100 %    "
    "▬ 0N to 5N: nominal ranges of ISO 8654, from memory",
    "dotted: equal a*, green below 0, red above; lines of one fineness: 375, 585, 750, 916",
)


def ternary_chart(points: Sequence[ChartPoint], *, title: str, kind: Kind = "png") -> bytes:
    """The triangle of gold, silver and copper with alloys in it.

    Parameters
    ----------
    points : sequence of ChartPoint
        From `ringgeom.colour.ternary.chart_points`.
    title : str
        Heading, such as the job's name.
    kind : str
        ``png`` (1653 dots wide) or ``svg`` (letters as outlines).

    Returns
    -------
    bytes
        The file; the same for the same call.

    Raises
    ------
    InputError
        More alloys than the sheet holds.
    """
    checked(points)
    import mpltern  # noqa: F401  (makes the triangle known to matplotlib)

    data = ternary_map()
    with sheet(title, TERNARY_FEET) as figure:
        left, bottom = CORNER_MM
        box = (left / WIDTH_MM, bottom / HEIGHT_MM, SIDE_MM / WIDTH_MM, SIDE_MM * RISE / HEIGHT_MM)
        axes = figure.add_axes(box, projection="ternary", ternary_sum=100.0)
        _fill(axes, data)
        _triangle(axes)
        _equal_a(axes, data)
        for each in data.fineness_lines:
            axes.plot(*zip(*each.corners_percent, strict=True), color=INK, lw=0.8, zorder=3)
            x, y = place_mm(each.corners_percent[0])
            words(figure, (x - 1.5, y), each.label, ha="right", va="center_baseline")
        taken = [_nominal(axes, figure, each) for each in data.nominal_ranges]
        for corner, metal, (right, up), side in CORNERS:
            x, y = place_mm(corner)
            words(figure, (x + right, y + up), metal, size=8, ha=side, va="center_baseline")
        rows = [_row(point, str(count)) for count, point in enumerate(points, start=1)]
        column(figure, rows)
        tags(figure, rows, FRAME, [*chain.from_iterable(taken), *_edge_words()])
        return written(figure, kind, title)


def place_mm(place_percent: Three) -> Spot:
    """Where gold, silver and copper, summing to 100, lie on the triangle's sheet [mm]."""
    gold, _, copper = place_percent
    return (
        CORNER_MM[0] + SIDE_MM * (copper + gold / 2) / 100,
        CORNER_MM[1] + SIDE_MM * RISE * gold / 100,
    )


def _row(point: ChartPoint, tag: str) -> Row:
    left = " ".join(f"{symbol} {share:g}" for symbol, share in point.left_out)
    mark: Mark = "projected" if left else "exact"
    note = f"left out: {left}" if left else ""
    return row_of(point, tag, place_mm(point.place_percent), mark, note)


def _triangle(axes: Any) -> None:
    axes.taxis.set_ticks([])
    axes.laxis.set_ticks_position("tick2")
    axes.raxis.set_ticks_position("tick2")
    for axis in (axes.laxis, axes.raxis):
        axis.set_ticks(TICKS)
        axis.set_tick_params(labelsize=6, colors=SOFT, length=2.5, pad=2)
    for text, place, (right, up), turn in AXIS_WORDS:
        x, y = place_mm(place)
        words(
            axes.figure,
            (x + right, y + up),
            text,
            size=6,
            color=SOFT,
            rotation=turn,
            ha="center",
            va="center",
        )
    axes.grid(color=HAIRLINE, lw=0.6)
    axes.set_axisbelow(True)
    for spine in axes.spines.values():
        spine.set(color=INK, linewidth=1.0)


def _fill(axes: Any, data: TernaryMap) -> None:
    """The colours as one picture under the lines, blended between neighbours of the grid."""
    from matplotlib.image import AxesImage

    picture = AxesImage(axes, origin="lower", interpolation="bilinear", zorder=0)
    picture.set_data(fill(data))
    half = 1 / 3**0.5
    picture.set_extent((-half, half, 0.0, 1.0))
    picture.set_clip_path(axes.patch)
    axes.add_image(picture)


def fill(data: TernaryMap, dots: int = FILL_DOTS) -> NDArray[np.uint8]:
    """Coded sRGB over the triangle's bounding box, shape (rows, dots, 3), bottom row first."""
    steps = round(100 / data.step_percent)
    x, y = np.meshgrid((np.arange(dots) + 0.5) / dots, (np.arange(round(dots * RISE)) + 0.5))
    gold = np.clip(y / round(dots * RISE), 0, 1) * steps
    copper = np.clip(x * steps - gold / 2, 0, steps - gold)
    silver = steps - gold - copper
    i = np.minimum(gold.astype(int), steps - 1)
    j = np.clip(silver.astype(int), 0, steps - 1 - i)
    up, over = gold - i, silver - j
    # the three corners of the small triangle that holds the dot
    turned = up + over > 1
    weights = np.where(turned, [1 - over, 1 - up, up + over - 1], [up, over, 1 - up - over])
    rows = np.where(turned, [i + 1, i, i + 1], [i + 1, i, i])
    cols = np.where(turned, [j, j + 1, j + 1], [j, j + 1, j])
    cols = np.clip(cols, 0, steps - rows)
    index = rows * (steps + 1) - rows * (rows - 1) // 2 + cols
    coded = (np.clip(weights, 0, 1)[..., None] * data.srgb[index]).sum(axis=0)
    dotted: NDArray[np.uint8] = np.round(255 * np.clip(coded, 0, 1)).astype(np.uint8)
    return dotted


def _equal_a(axes: Any, data: TernaryMap) -> None:
    gold, silver, copper = data.shares_percent.T
    lines = axes.tricontour(
        gold, silver, copper, data.labs[:, 1], levels=[*GREENNESS], colors=SOFT,
        linewidths=0.7, linestyles="dotted", zorder=2,
    )  # fmt: skip
    spots = [_where(data, level, row) for level, row in GREENNESS.items()]
    # the triangle's own axes run from -1/sqrt(3) to 1/sqrt(3), and up to 1
    flat = [((c - s) / 100 / 3**0.5, g / 100) for g, s, c in spots]
    axes.clabel(lines, manual=flat, fontsize=5.8, inline_spacing=2, fmt=lambda v: _a_words(v))


def _a_words(level: float) -> str:
    return f"a* {level:.0f}".replace("-", "−")


def _where(data: TernaryMap, level: float, gold: float) -> Three:
    """Where a line of one a* passes a row of one gold content."""
    row = np.isclose(data.shares_percent[:, 0], gold)
    copper = data.shares_percent[row, 2][::-1]
    at = float(np.interp(level, data.labs[row, 1][::-1], copper))
    return gold, 100 - gold - at, at


def _nominal(axes: Any, figure: Any, each: ChartLine) -> tuple[Box, Box]:
    """A range with its name above it; returns the room that name and bar take."""
    for width, ink in ((4.6, PAPER), (2.6, INK)):
        across = zip(*each.corners_percent, strict=True)
        axes.plot(*across, color=ink, lw=width, solid_capstyle="butt", zorder=4)
    first, second = map(place_mm, each.corners_percent)
    spot = (first[0] + second[0]) / 2, first[1] + 2.4
    words(figure, spot, each.label, size=5.5, **MIDDLE)
    bar = Box(middle_mm=(spot[0], first[1]), width_mm=second[0] - first[0], height_mm=1.2)
    return Box(middle_mm=spot, width_mm=3.0, height_mm=2.2), bar


def _edge_words() -> list[Box]:
    """Room taken by the fineness words at the left edge and the figures at the right one."""
    left = [place_mm((permille / 10, 100 - permille / 10, 0)) for permille in KARATS]
    right = [place_mm((100 - copper, 0, copper)) for copper in TICKS]
    return [Box(middle_mm=(x - 9, y), width_mm=17, height_mm=3) for x, y in left] + [
        Box(middle_mm=(x + 2, y + 1.2), width_mm=4, height_mm=4) for x, y in right
    ]
