"""Shapes of a drawing: lines, areas and words, in mm of paper, x to the right and y upwards."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Literal

Point = tuple[float, float]

Ink = Literal["cut", "dimension", "axis", "hair"]
"""What a line is: a cut edge, a dimension, an axis (dash and dot), a thin line."""

WIDTH_MM: dict[Ink, float] = {"cut": 0.42, "dimension": 0.26, "axis": 0.21, "hair": 0.13}

AXIS_DASH_MM = (3.0, 0.8, 0.4, 0.8)

COLOUR: dict[Ink, str] = {
    "cut": "#24211c",
    "dimension": "#24211c",
    "axis": "#6d675c",
    "hair": "#24211c",
}

SOFT_INK = "#6d675c"
INK = "#24211c"

Anchor = Literal["start", "middle", "end"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Path:
    """A line through points; `closed` joins its ends."""

    points: tuple[Point, ...]
    ink: Ink = "dimension"
    closed: bool = False
    dashed: bool = False
    filled: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Area:
    """A plane area, its holes among its loops; filled flat with #RRGGBB, its edge cut."""

    loops: tuple[tuple[Point, ...], ...]
    fill: str
    edged: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Word:
    """Text on its baseline."""

    at: Point
    text: str
    size_mm: float = 2.6
    anchor: Anchor = "start"
    soft: bool = False
    bold: bool = False
    upwards: bool = False


Shape = Path | Area | Word


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    """Shapes within a box from (0, 0) to (width, height) [mm]."""

    width_mm: float
    height_mm: float
    shapes: tuple[Shape, ...]


def moved(shapes: Iterable[Shape], dx: float, dy: float) -> tuple[Shape, ...]:
    """Shapes somewhere else on the paper, moved by mm."""

    def to(points: tuple[Point, ...]) -> tuple[Point, ...]:
        return tuple((x + dx, y + dy) for x, y in points)

    found: list[Shape] = []
    for shape in shapes:
        if isinstance(shape, Path):
            found.append(replace(shape, points=to(shape.points)))
        elif isinstance(shape, Area):
            found.append(replace(shape, loops=tuple(to(loop) for loop in shape.loops)))
        else:
            found.append(replace(shape, at=(shape.at[0] + dx, shape.at[1] + dy)))
    return tuple(found)


def bounds(shapes: Iterable[Shape]) -> tuple[float, float, float, float]:
    """Least and largest x and y of lines, areas and the places of words [mm]."""
    xs: list[float] = []
    ys: list[float] = []
    for shape in shapes:
        if isinstance(shape, Word):
            points: tuple[Point, ...] = (shape.at,)
        elif isinstance(shape, Path):
            points = shape.points
        else:
            points = tuple(point for loop in shape.loops for point in loop)
        xs += [x for x, _ in points]
        ys += [y for _, y in points]
    return min(xs), min(ys), max(xs), max(ys)
