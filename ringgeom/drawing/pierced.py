"""The inserts of a motif laid out on sheet, to be cut by laser, saw or graver: closed shapes.

+--------------------------+     every piece as it is before it is bent: as long as at
|  (o)   (o)   (o)   (o)   |     half its thickness, as high as it is across the ring
+--------------------------+     outline: the sheet that they take
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil, sqrt

import numpy as np

from ringgeom.drawing.laser import Layer
from ringgeom.drawing.shapes import Point
from ringgeom.engraving.flat import extent_mm
from ringgeom.engraving.inset import Inset
from ringgeom.engraving.shape import Shape
from ringgeom.jobs import Job

APART_MM = 1.0
"""Sheet left between two pieces, and round them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pierced:
    """All pieces of a motif inlay on one sheet, `around_mm` by `across_mm`.

    `thick_mm` is the sheet's, with its stock.
    """

    part: str
    count: int
    thick_mm: float
    around_mm: float
    across_mm: float
    shapes: dict[Layer, tuple[Shape, ...]]
    lines: dict[Layer, tuple[tuple[Point, ...], ...]]
    hours: tuple[tuple[float, str], ...] = ()

    @property
    def words(self) -> str:
        """What the operator must know."""
        return (
            f"{self.part}, {self.count} pieces of sheet {self.thick_mm:.2f} mm thick, outside up, "
            "to be bent afterwards"
        )


def pierced(job: Job) -> Iterator[Pierced]:
    """A sheet for every motif inlay of a ring."""
    for one in job.insets:
        part = next(part for part in job.parts if part.piece == one.piece)
        assert part.plate is not None
        yield _sheet(one, part.name, part.plate.thick_mm / part.scale.scale)


def _sheet(one: Inset, name: str, thick_mm: float) -> Pierced:
    middle = one.face.radius_mm - one.bed.depth_mm / 2
    flat = np.diag([middle / one.face.radius_mm, 1.0])
    pieces = [some.shape.mapped(flat) for some in one.alike for _ in range(some.count)]
    row = ceil(sqrt(len(pieces)))
    placed, x, y, wide, tall = [], APART_MM, APART_MM, 0.0, 0.0
    for number, piece in enumerate(pieces):
        if number and number % row == 0:
            x, y, tall = APART_MM, y + tall + APART_MM, 0.0
        x0, x1, low, high = extent_mm(piece)
        placed.append(piece.moved(x - x0, y - low))
        x += x1 - x0 + APART_MM
        wide, tall = max(wide, x), max(tall, high - low)
    across = y + tall + APART_MM
    edge = ((0.0, 0.0), (wide, 0.0), (wide, across), (0.0, across), (0.0, 0.0))
    return Pierced(
        part=name,
        count=len(pieces),
        thick_mm=thick_mm,
        around_mm=wide,
        across_mm=across,
        shapes={"cut": tuple(placed)},
        lines={"outline": (edge,)},
    )
