"""Hatch: straight lines across the face at an angle, once or crossing.

      /\\  /\\  /\\       angle_deg from the ring's way round
     /  \\/  \\/  \\
     \\  /\\  /\\  /       pitch_mm from line to line, measured across them
      \\/  \\/  \\/        line_mm wide
"""

from __future__ import annotations

from math import cos, radians, sin
from typing import Annotated, Any, Literal

import numpy as np
from pydantic import Field

from ringgeom.engraving.flat import shape_of
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
from ringgeom.engraving.unrolled import Unrolled
from ringgeom.errors import ShapeError


class Hatch(Asking):
    """Lines of one width; the angle is kept, the pitch gives way so that it closes."""

    pattern: Literal["hatch"] = "hatch"
    pitch_mm: Annotated[float, Field(ge=0.1, le=20)] = 1.0
    line_mm: Annotated[float, Field(ge=0.02, le=5)] = 0.2
    angle_deg: Annotated[float, Field(ge=10, le=90)] = 60.0
    crossing: bool = True
    margin_mm: Annotated[float, Field(ge=0, le=10)] = 0.0
    depth_mm: Depth = 0.15

    def drawn(self, face: Unrolled) -> Pattern:
        from shapely import Polygon, box, unary_union

        face = room(face, self.margin_mm, self.line_mm, "a hatch")
        if self.crossing and self.angle_deg == 90:
            raise ShapeError("lines at 90 degrees do not cross; give an angle below 90")
        lean = radians(self.angle_deg)
        along = self.pitch_mm / sin(lean)
        count = rounds(face, along, what="hatch lines")
        step = face.round_mm / count
        pitch = step * sin(lean)
        if self.line_mm >= pitch * (1 - 1e-9):
            raise ShapeError(
                f"hatch lines {self.line_mm:g} mm wide leave no metal at a pitch of {pitch:.3f} mm"
            )
        shift = face.width_mm * cos(lean) / sin(lean)
        rows = shift / step + 1
        if count * rows > 20 * MOST_FIGURES:
            raise ShapeError(
                f"{count} hatch lines at so flat an angle are too many; widen the pitch"
            )
        half = 0.5 * self.line_mm / sin(lean)
        window = box(0.0, face.low_mm, face.round_mm, face.high_mm)
        strips: list[Any] = []
        for way in (1, -1) if self.crossing else (1,):
            for k in range(-int(rows) - 2, count + int(rows) + 3):
                # both families pass through the middle of the face at the same places
                low, high = ((k + 0.25) * step + end * 0.5 * way * shift for end in (-1, 1))
                corners = [(low - half, face.low_mm), (low + half, face.low_mm)]
                corners += [(high + half, face.high_mm), (high - half, face.high_mm)]
                strips.append(Polygon(np.array(corners)))
        cut = unary_union([strip.intersection(window) for strip in strips])
        return Pattern(
            cuts=(Cut(shape=shape_of(cut), depth_mm=self.depth_mm),),
            figures=(shape_of(window.difference(cut)),),
            count=count,
            wraps=True,
            notes=closing(self.pitch_mm, pitch, "the pitch of the hatch"),
        )
