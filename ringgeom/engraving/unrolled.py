"""The face that is cut into, unrolled: as long as the ring is round, its width upwards."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from ringgeom.engraving.flat import as_cubic, extent_mm, straight
from ringgeom.engraving.shape import Loop, Shape
from ringgeom.engraving.stroke import Stroke

if TYPE_CHECKING:
    from ringgeom.engraving.combined import Combined

SAME_MM = 1e-6
"""Strokes on both sides of the seam agree within this."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Unrolled:
    """A stretch of a face: x from 0 to `round_mm`, where it meets itself; y from low to high.

    y is the ring's z, measured from mid-width.
    """

    round_mm: float
    low_mm: float
    high_mm: float

    @property
    def width_mm(self) -> float:
        """Of the stretch across the face [mm]."""
        return self.high_mm - self.low_mm

    @property
    def middle_mm(self) -> float:
        """Of the stretch, from mid-width [mm]."""
        return 0.5 * (self.low_mm + self.high_mm)

    def within(self, margin_mm: float) -> Unrolled:
        """The face less a margin along both edges."""
        return Unrolled(
            round_mm=self.round_mm, low_mm=self.low_mm + margin_mm, high_mm=self.high_mm - margin_mm
        )

    @property
    def whole(self) -> Shape:
        """All of the face, cut open at the seam."""
        x, low, high = self.round_mm, self.low_mm, self.high_mm
        return Shape((straight(np.array([(0, low), (x, low), (x, high), (0, high)], dtype=float)),))


def ground(face: Unrolled, figures: Sequence[Shape]) -> Combined:
    """What is left of a face between figures, cut open at the seam; they may lie across it."""
    from ringgeom.engraving.combined import less

    reaching = []
    for figure in figures:
        x0, x1, _, _ = extent_mm(figure)
        reaching += [
            figure.moved(turn * face.round_mm)
            for turn in (-1, 0, 1)
            if x1 + turn * face.round_mm > 0 and x0 + turn * face.round_mm < face.round_mm
        ]
    return less(face.whole, reaching)


def without_seam(shape: Shape, round_mm: float) -> list[tuple[Stroke, ...]]:
    """The outline as it is seen on the ring: runs of strokes, those on the seam left out.

    A stroke lies on the seam where another runs the other way, once round the ring from it.
    """

    from scipy.spatial import cKDTree

    strokes = list(shape.strokes())
    ways = np.array([as_cubic(stroke.points) for stroke in strokes])
    tree = cKDTree(ways.reshape(len(ways), -1))
    seam = np.zeros(len(ways), dtype=bool)
    for way in (-1, 1):
        back = ways[:, ::-1] + np.array([way * round_mm, 0.0])
        seam |= tree.query(back.reshape(len(ways), -1))[0] < SAME_MM
    runs: list[tuple[Stroke, ...]] = []
    first = 0
    for loop in shape.loops:
        runs += _runs(loop, seam[first : first + len(loop)].tolist())
        first += len(loop)
    return runs


def _runs(loop: Loop, seam: list[bool]) -> list[tuple[Stroke, ...]]:
    """Strokes in a row, from one that is left out to the next."""
    if not any(seam):
        return [loop]
    first = seam.index(True)
    turned, left_out = loop[first:] + loop[:first], seam[first:] + seam[:first]
    runs: list[tuple[Stroke, ...]] = []
    row: list[Stroke] = []
    for stroke, skip in zip(turned, left_out, strict=True):
        if skip and row:
            runs.append(tuple(row))
            row = []
        elif not skip:
            row.append(stroke)
    return [*runs, tuple(row)] if row else runs
