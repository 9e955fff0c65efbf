"""The green line: gold-silver from fine gold to a third, its a*, b* and hue, with alloys."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from ringgeom.colour.ternary import KARATS, ChartPoint, GreenLine, LineMark, green_line
from ringgeom.output.chart_sheet import (
    HEIGHT_MM,
    INK,
    SOFT,
    WIDTH_MM,
    Kind,
    Row,
    Spot,
    checked,
    column,
    line,
    row_of,
    sheet,
    signed,
    words,
    written,
)
from ringgeom.output.chart_tags import Box, tags

LEFT_MM, ACROSS_MM = 22.0, 112.0
"""Left edge and width of every panel on the sheet."""

PANELS_MM = {"swatch": (123.5, 5.0), "a": (65.0, 56.0), "b": (47.0, 15.0), "hue": (29.0, 15.0)}
"""Bottom and height of each."""

NAMES = {"a": "a*   ← green    red →", "b": "b*  yellow →", "hue": "hue, deg"}

FEET = (
    "□ known recipes and the greenest (least a*)    ● gold and silver alone    "
    "◇ with other metals: how far above the line, so much green is lost    | in the catalogue",
)

FRAME = Box(middle_mm=(78.0, 93.0), width_mm=111.0, height_mm=55.0)
"""Tags stay within the panel of a*."""

LINE_BOXES = 60
"""The line itself is kept clear of tags, as so many small boxes."""


def green_line_chart(
    points: Sequence[ChartPoint], *, title: str = "The green line", kind: Kind = "png"
) -> bytes:
    """Gold-silver from fine gold to a third: a*, b* and hue, the greenest and known recipes.

    Alloys with other metals stand at their own gold and a*, off the line: what copper costs in
    green is the distance. Those with less gold than the line are left away.

    Parameters
    ----------
    points : sequence of ChartPoint
        From `ringgeom.colour.ternary.chart_points`.
    title : str
        Heading.
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
    data = green_line()
    low = float(data.gold_percent[0])
    shown = [point for point in points if point.gold_percent >= low]
    span = _a_span(data, shown)
    with sheet(title, FEET) as figure:
        _panels(figure, data, span)
        for mark in data.catalogued:
            spot = _spot_mm(mark.gold_percent, mark.lab[1], data, span)
            line(figure, [spot], ls="none", marker="|", ms=6, mec=INK, mew=1.0)
        known = zip("abcd", (data.greenest, *data.known), strict=True)
        rows = [_known_row(tag, mark, data, span) for tag, mark in known]
        rows += [
            row_of(
                point,
                str(count),
                _spot_mm(point.gold_percent, point.lab[1], data, span),
                "projected" if point.left_out or point.place_percent[2] > 0 else "exact",
            )
            for count, point in enumerate(shown, start=1)
        ]
        column(figure, rows)
        tags(figure, rows, FRAME, _line_boxes(data, span))
        return written(figure, kind, title)


def _panels(figure: Any, data: GreenLine, span: tuple[float, float]) -> None:
    low, high = float(data.gold_percent[0]), float(data.gold_percent[-1])
    for permille, karat in KARATS.items():
        x = _spot_mm(permille / 10, 0.0, data, span)[0]
        bottom, top = PANELS_MM["hue"][0], sum(PANELS_MM["a"])
        line(figure, [(x, bottom), (x, top)], color=SOFT, lw=0.7, ls=(0, (5, 2)), zorder=-1)
        how = {"ha": "center", "va": "center_baseline"}
        words(figure, (x, 131), f"{permille} · {karat} kt", size=6, **how)
    values = {"a": data.labs[:, 1], "b": data.labs[:, 2], "hue": data.hue_deg}
    for name, curve in values.items():
        axes = _panel(figure, name, (low, high))
        axes.plot(data.gold_percent, curve, color=INK, lw=1.4)
        axes.set_ylabel(NAMES[name], fontsize=6.5, color=INK)
        axes.yaxis.set_label_coords(-0.075, 0.5)
        if name == "a":
            axes.set_ylim(*span)
            axes.axhline(0, color=SOFT, lw=0.7, ls=(0, (1, 2)))
        if name == "hue":
            axes.set_xlabel("gold, % by mass; the rest is silver", fontsize=6.5, labelpad=2)
        else:
            axes.tick_params(labelbottom=False)
    strip = _panel(figure, "swatch", (low, high))
    strip.imshow(data.srgb[None], extent=(low, high, 0, 1), aspect="auto", origin="lower")
    strip.set(yticks=[], xlim=(high, low))
    strip.tick_params(labelbottom=False, length=0)


def _panel(figure: Any, name: str, gold: tuple[float, float]) -> Any:
    bottom, height = PANELS_MM[name]
    box = (LEFT_MM / WIDTH_MM, bottom / HEIGHT_MM, ACROSS_MM / WIDTH_MM, height / HEIGHT_MM)
    axes = figure.add_axes(box, facecolor="none")
    axes.set_xlim(gold[1], gold[0])
    axes.tick_params(labelsize=6, colors=SOFT, length=2.5)
    for spine in axes.spines.values():
        spine.set(color=SOFT, linewidth=0.8)
    return axes


def _a_span(data: GreenLine, points: Sequence[ChartPoint]) -> tuple[float, float]:
    values = [*data.labs[:, 1], *(point.lab[1] for point in points)]
    return float(min(values)) - 1.2, float(max(values)) + 1.2


def _spot_mm(gold_percent: float, a: float, data: GreenLine, span: tuple[float, float]) -> Spot:
    """Where a gold content and an a* lie on the sheet [mm]; gold falls to the right."""
    bottom, height = PANELS_MM["a"]
    low, high = float(data.gold_percent[0]), float(data.gold_percent[-1])
    across = (high - gold_percent) / (high - low)
    return LEFT_MM + ACROSS_MM * across, bottom + height * (a - span[0]) / (span[1] - span[0])


def _line_boxes(data: GreenLine, span: tuple[float, float]) -> list[Box]:
    step = max(1, len(data.gold_percent) // LINE_BOXES)
    golds, greens = data.gold_percent[::step], data.labs[::step, 1]
    spots = [
        _spot_mm(float(gold), float(a), data, span) for gold, a in zip(golds, greens, strict=True)
    ]
    return [Box(middle_mm=spot, width_mm=1.0, height_mm=1.0) for spot in spots]


def _known_row(tag: str, mark: LineMark, data: GreenLine, span: tuple[float, float]) -> Row:
    lightness, a, b = mark.lab
    numbers = f"L* {lightness:.1f}  a* {signed(a)}  b* {signed(b)}  hue {mark.hue_deg:.0f}°"
    recipe = f"Au {mark.gold_percent:g} Ag {100 - mark.gold_percent:g}"
    return Row(
        spot_mm=_spot_mm(mark.gold_percent, a, data, span),
        tag=tag,
        mark="known",
        hex=mark.hex,
        name=f"{mark.name}: {recipe}",
        lines=(numbers,),
    )
