"""What the colour maps show: gold-silver-copper as a triangle, gold-silver as the green line.

Predicted, polished, D65, 2 degree observer. Nothing is drawn here. Silver-copper far from
gold falls apart into two metals when it cools: there the map is a mere average.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache

import numpy as np

from ringgeom.colour.cie import Array, coded_rgb, hex_rgb, linear_rgb
from ringgeom.colour.difference import hue_deg
from ringgeom.colour.face import colour
from ringgeom.colour.predict import columns, labs
from ringgeom.facts import table
from ringgeom.metal import Alloy, catalogue, element

CHARTED = ("Au", "Ag", "Cu")
"""Metals of the triangle: its top, left and right corner."""

FINENESS_PERMILLE = (375, 585, 750, 916)
"""Fineness lines of the triangle."""

KARATS = {375: 9, 585: 14, 750: 18, 916: 22}
"""What the trade calls them; 14 kt is exactly 583, 22 kt exactly 917."""

LEAST_CHARTED_PERCENT = 93.0
"""An alloy with less gold, silver and copper has no place in the triangle: our choice."""

LINE_GOLD_PERCENT = (33.0, 100.0)
"""The green line runs over these."""

KNOWN_GREENS = (("18 kt", 75.0), ("14 kt", 58.5), ("12 kt, equal masses", 50.0))
"""Golds of the green line that every bench knows, with their gold in percent."""

Three = tuple[float, float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class ChartPoint:
    """An alloy in the maps.

    Attributes
    ----------
    recipe : str
        Metals and mass percent as written, such as ``Au 75 Ag 25``.
    place_percent : tuple of float
        Gold, silver and copper, the three scaled to sum to 100 [% by mass].
    gold_percent : float
        Gold as written [% by mass].
    left_out : tuple of (str, float)
        Metals that the triangle does not show [% by mass]; empty when the place is exact.
    lab, hex : tuple of float, str
        Colour of the whole alloy, with what the triangle leaves out.
    remark : str
        What is left out, in words; empty when nothing is.
    """

    name: str
    recipe: str
    place_percent: Three
    gold_percent: float
    left_out: tuple[tuple[str, float], ...]
    lab: Three
    hex: str
    remark: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ChartLine:
    """A line through the triangle: gold, silver and copper of each corner [% by mass]."""

    name: str
    label: str
    corners_percent: tuple[Three, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class TernaryMap:
    """Gold-silver-copper on a triangular grid.

    Attributes
    ----------
    step_percent : float
        Distance of neighbours [% by mass].
    shares_percent : Array
        Gold, silver and copper, shape (n, 3) [% by mass]; gold rises slowest, then silver.
    labs, linear_rgb, srgb : Array
        CIELAB, linear sRGB and coded sRGB (0..1), shape (n, 3) each.
    fineness_lines, nominal_ranges : tuple of ChartLine
        Lines of one fineness, and the ranges of ISO 8654.
    """

    step_percent: float
    shares_percent: Array
    labs: Array
    linear_rgb: Array
    srgb: Array
    fineness_lines: tuple[ChartLine, ...]
    nominal_ranges: tuple[ChartLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LineMark:
    """One gold of the green line."""

    name: str
    gold_percent: float
    lab: Three
    hue_deg: float
    hex: str


@dataclass(frozen=True, slots=True, kw_only=True)
class GreenLine:
    """Gold-silver without anything else.

    Attributes
    ----------
    gold_percent : Array
        Shape (n,), rising [% by mass]; the rest is silver.
    labs, srgb, hue_deg : Array
        CIELAB (n, 3), coded sRGB (n, 3) and CIELAB hue (n,) [deg].
    greenest : LineMark
        Where a* is least. The hue turns further with more silver, but the metal is pale there.
    known, catalogued : tuple of LineMark
        The golds every bench knows, and those of the catalogue.
    """

    gold_percent: Array
    labs: Array
    srgb: Array
    hue_deg: Array
    greenest: LineMark
    known: tuple[LineMark, ...]
    catalogued: tuple[LineMark, ...]


@cache
def ternary_map(step_percent: float = 1.0) -> TernaryMap:
    """The triangle of gold, silver and copper.

    Parameters
    ----------
    step_percent : float
        A whole part of 100, such as 1 or 2.5 [% by mass].

    Raises
    ------
    ValueError
        The steps do not end at 100.
    """
    steps = round(100 / step_percent)
    if steps < 1 or abs(steps * step_percent - 100) > 1e-9:
        raise ValueError(f"steps of {step_percent:g} % do not end at 100 %")
    gold, silver = np.meshgrid(np.arange(steps + 1), np.arange(steps + 1), indexing="ij")
    inside = gold + silver <= steps
    gold, silver = gold[inside], silver[inside]
    shares = np.stack([gold, silver, steps - gold - silver], axis=-1) * (100 / steps)
    found = _charted_labs(shares)
    linear = linear_rgb(found)
    return TernaryMap(
        step_percent=step_percent,
        shares_percent=_fixed(shares),
        labs=_fixed(found),
        linear_rgb=_fixed(linear),
        srgb=_fixed(coded_rgb(linear)),
        fineness_lines=tuple(_fineness_line(permille) for permille in FINENESS_PERMILLE),
        nominal_ranges=tuple(_nominal_range(row) for row in table("iso_8654")),
    )


def chart_point(alloy: Alloy) -> ChartPoint | None:
    """Where an alloy lies in the maps; None when too much else is in it."""
    shares = dict(alloy.recipe.shares)
    total = alloy.recipe.sum_percent
    charted = np.array([shares.get(symbol, 0.0) for symbol in CHARTED])
    if charted.sum() < LEAST_CHARTED_PERCENT / 100 * total:
        return None
    left_out = tuple((s, share) for s, share in shares.items() if s not in CHARTED)
    said = " and ".join(f"{share:g} % {element(s).name}" for s, share in left_out)
    seen = colour(alloy)
    place = charted * (100 / charted.sum())
    return ChartPoint(
        name=alloy.name,
        recipe=" ".join(f"{symbol} {share:g}" for symbol, share in shares.items()),
        place_percent=(float(place[0]), float(place[1]), float(place[2])),
        gold_percent=shares.get("Au", 0.0),
        left_out=left_out,
        lab=seen.lab,
        hex=seen.hex,
        remark=f"{said} left out of the chart" if said else "",
    )


def chart_points(alloys: Iterable[Alloy]) -> tuple[ChartPoint, ...]:
    """Every alloy that has a place in the maps, in the order given."""
    return tuple(point for alloy in alloys if (point := chart_point(alloy)) is not None)


@cache
def green_line(step_percent: float = 0.1) -> GreenLine:
    """Gold-silver from 33 to 100 % gold by mass; the step is also how finely the greenest is
    sought [% by mass]."""
    low, high = LINE_GOLD_PERCENT
    gold = np.linspace(low, high, round((high - low) / step_percent) + 1)
    found = _line_labs(gold)
    least = round(float(gold[found[:, 1].argmin()]), 6)
    listed = tuple(
        (alloy.name, alloy.recipe.percent("Au"))
        for alloy in catalogue()
        if set(alloy.recipe.symbols) <= {"Au", "Ag"} and low <= alloy.recipe.percent("Au") <= high
    )
    return GreenLine(
        gold_percent=_fixed(gold),
        labs=_fixed(found),
        srgb=_fixed(coded_rgb(linear_rgb(found))),
        hue_deg=_fixed(hue_deg(found)),
        greenest=_mark("greenest", least),
        known=tuple(_mark(name, gold_percent) for name, gold_percent in KNOWN_GREENS),
        catalogued=tuple(_mark(name, gold_percent) for name, gold_percent in listed),
    )


def _fineness_line(permille: int) -> ChartLine:
    gold = permille / 10
    return ChartLine(
        name=str(permille),
        label=f"{permille} · {KARATS[permille]} kt",
        corners_percent=((gold, 100 - gold, 0.0), (gold, 0.0, 100 - gold)),
    )


def _nominal_range(row: dict[str, str]) -> ChartLine:
    gold = float(row["fineness_permille"]) / 10
    ends = (float(row["silver_high_permille"]) / 10, float(row["silver_low_permille"]) / 10)
    return ChartLine(
        name=row["name"],
        label=row["name"],
        corners_percent=tuple((gold, silver, 100 - gold - silver) for silver in ends),
    )


def _mark(name: str, gold_percent: float) -> LineMark:
    found = _line_labs(np.array([gold_percent]))[0]
    return LineMark(
        name=name,
        gold_percent=gold_percent,
        lab=(float(found[0]), float(found[1]), float(found[2])),
        hue_deg=float(hue_deg(found)),
        hex=hex_rgb(found),
    )


def _line_labs(gold_percent: Array) -> Array:
    silver = 100 - gold_percent
    return _charted_labs(np.stack([gold_percent, silver, np.zeros_like(silver)], axis=-1))


def _charted_labs(shares: Array) -> Array:
    wide = np.zeros((*shares.shape[:-1], len(columns())))
    for place, symbol in enumerate(CHARTED):
        wide[..., columns().index(symbol)] = shares[..., place]
    return labs(wide)


def _fixed(values: Array) -> Array:
    """The same numbers, not to be altered: results are shared."""
    values.setflags(write=False)
    return values
