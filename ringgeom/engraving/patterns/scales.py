"""Scales: rows of round scales, each row covering half of the next.

\\_/ \\_/ \\_/       scale_mm from scale to scale round the ring
/ \\_/ \\_/ \\       row_mm from row to row
\\_/ \\_/ \\_/       line_mm between neighbours
"""

from __future__ import annotations

from math import ceil
from typing import Annotated, Literal

from pydantic import Field

from ringgeom.engraving.arcs import disc
from ringgeom.engraving.flat import extent_mm
from ringgeom.engraving.patterns.pattern import (
    MOST_FIGURES,
    Asking,
    Cut,
    Depth,
    Pattern,
    closing,
    room,
    rounds,
)
from ringgeom.engraving.shape import Shape, joined
from ringgeom.engraving.unrolled import Unrolled, ground
from ringgeom.errors import ShapeError

TOP = 0.45
"""How much of a row's height the edge of the face takes off the uppermost scales."""


class Scales(Asking):
    """Overlapping scales; their breadth gives way so that whole ones go round."""

    pattern: Literal["scales"] = "scales"
    scale_mm: Annotated[float, Field(ge=0.4, le=20)] = 1.8
    row_mm: Annotated[float, Field(ge=0.2, le=10)] = 0.85
    line_mm: Annotated[float, Field(ge=0.02, le=2)] = 0.12
    cut: Literal["lines", "scales"] = "lines"
    margin_mm: Annotated[float, Field(ge=0, le=10)] = 0.0
    depth_mm: Depth = 0.15

    def drawn(self, face: Unrolled) -> Pattern:
        from ringgeom.engraving.combined import shared

        face = room(face, self.margin_mm, self.row_mm, "scales")
        count = rounds(face, self.scale_mm, what="scales")
        pitch = face.round_mm / count
        if not 0.2 * pitch <= self.row_mm <= 0.7 * pitch:
            raise ShapeError(
                f"rows {self.row_mm:g} mm apart do not cover scales of {pitch:.3f} mm; "
                f"give {0.2 * pitch:.3f} to {0.7 * pitch:.3f} mm"
            )
        if self.line_mm > 0.2 * min(pitch, 2 * self.row_mm):
            raise ShapeError(
                f"lines {self.line_mm:g} mm wide leave too little of scales of {pitch:.3f} mm; "
                f"at most {0.2 * min(pitch, 2 * self.row_mm):.3f} mm"
            )
        one = self._scale(pitch)
        _, _, foot, head = extent_mm(one)
        # the uppermost row is cut below its crown, never just touched by the edge
        top = face.high_mm - head + TOP * self.row_mm
        rows = ceil((top + head - face.low_mm) / self.row_mm)
        if rows * count > MOST_FIGURES:
            raise ShapeError(f"{rows * count} scales are too many; {MOST_FIGURES} at most")
        whole: list[Shape] = []
        kept: list[Shape] = []
        exact = True
        for row in range(rows):
            y = top - row * self.row_mm
            x = 0.5 * pitch * (row % 2) + 0.25 * pitch
            placed = one.moved(x, y)
            clipped = placed
            if y + foot < face.low_mm or y + head > face.high_mm:
                window = Unrolled(round_mm=3 * pitch, low_mm=face.low_mm, high_mm=face.high_mm)
                found = shared([placed, window.whole.moved(x - 1.5 * pitch)])
                clipped, exact = found.shape, exact and found.exact
            if not clipped.loops or clipped.area_mm2 < self.line_mm**2:
                continue
            whole += [placed.moved(k * pitch) for k in range(count)]
            kept += [clipped.moved(k * pitch) for k in range(count)]
        if self.cut == "scales":
            cut, wraps = joined(kept), False
        else:
            left = ground(face, whole)
            cut, wraps, exact = left.shape, True, exact and left.exact
        return Pattern(
            cuts=(Cut(shape=cut, depth_mm=self.depth_mm),),
            figures=tuple(kept),
            count=count,
            wraps=wraps,
            exact=exact,
            notes=closing(self.scale_mm, pitch, "the breadth of a scale"),
        )

    def _scale(self, pitch: float) -> Shape:
        """What is seen of a scale with its centre at (0, 0): round above, covered from below.

        Rims of one row just touch; the two rows in front cover what lies below.
        """
        from ringgeom.engraving.combined import less

        gap = 0.5 * self.line_mm
        radius = 0.5 * pitch
        rim = disc((0.0, 0.0), radius - gap)
        covers = [disc((side * 0.5 * pitch, -self.row_mm), radius + gap) for side in (-1.0, 1.0)]
        covers.append(disc((0.0, -2 * self.row_mm), radius + gap))
        return less(rim, covers).shape
