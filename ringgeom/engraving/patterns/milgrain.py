"""Milgrain: a row of beads along an edge, standing in a groove or cut open by the edge.

 groove_mm            bead_mm
__|_______________    ---
  | (  ) (  ) (  )  |        beads stand, the groove round them is cut
__|_______________|__ ---
  edge_mm from the edge of the face to the groove; 0: part circles, open to the edge
"""

from __future__ import annotations

from itertools import pairwise
from math import acos, pi, sqrt
from typing import Annotated, Literal

import numpy as np
from pydantic import Field

from ringgeom.engraving.arcs import arc, closed, disc
from ringgeom.engraving.patterns.pattern import Asking, Cut, Depth, Pattern, closing, room, rounds
from ringgeom.engraving.shape import Shape
from ringgeom.engraving.stroke import Stroke, line
from ringgeom.engraving.unrolled import Unrolled

PART = 0.35
"""How much of its radius a part circle lies inside the edge, beyond its centre."""


class Milgrain(Asking):
    """Beads of one size, as many as go round whole."""

    pattern: Literal["milgrain"] = "milgrain"
    bead_mm: Annotated[float, Field(ge=0.2, le=3)] = 0.5
    gap_mm: Annotated[float, Field(ge=0.01, le=2)] = 0.06
    groove_mm: Annotated[float, Field(ge=0.02, le=1)] = 0.08
    edge_mm: Annotated[float, Field(ge=0, le=10)] = 0.15
    edges: Literal["both", "low", "high"] = "both"
    depth_mm: Depth = 0.15

    def drawn(self, face: Unrolled) -> Pattern:
        open_to_edge = self.edge_mm == 0
        deep = self.bead_mm * (0.5 + 0.5 * PART) if open_to_edge else self.bead_mm + self.groove_mm
        deep += self.groove_mm
        rows = 2 if self.edges == "both" else 1
        room(face, self.edge_mm, rows * deep, "a bead row with its groove")
        count = rounds(face, self.bead_mm + self.gap_mm, what="beads with their gaps")
        pitch = face.round_mm / count
        if pitch <= self.bead_mm:
            count -= 1
            pitch = face.round_mm / count
        low = self._open(pitch, count, deep) if open_to_edge else self._row(pitch, count, deep)
        cuts, beads = [], []
        for edge in ("low", "high"):
            if self.edges not in ("both", edge):
                continue
            way = 1.0 if edge == "low" else -1.0
            at = face.low_mm + self.edge_mm if edge == "low" else face.high_mm - self.edge_mm
            turn = np.diag([1.0, way])
            cuts.append(Cut(shape=low[0].mapped(turn, (0.0, at)), depth_mm=self.depth_mm))
            beads += [bead.mapped(turn, (0.0, at)) for bead in low[1]]
        return Pattern(
            cuts=tuple(cuts),
            figures=tuple(beads),
            count=count,
            wraps=True,
            notes=closing(self.gap_mm, pitch - self.bead_mm, "the gap between beads"),
        )

    def _row(self, pitch: float, count: int, deep: float) -> tuple[Shape, list[Shape]]:
        """Groove and beads above y = 0; the seam lies between two beads."""
        middle = 0.5 * deep
        bead = disc((0.5 * pitch, middle), 0.5 * self.bead_mm)
        beads = [bead.moved(k * pitch) for k in range(count)]
        strip = Unrolled(round_mm=count * pitch, low_mm=0.0, high_mm=deep).whole
        holes = [
            tuple(stroke.reversed() for stroke in reversed(loop))
            for one in beads
            for loop in one.loops
        ]
        return Shape((*strip.loops, *holes)), beads

    def _open(self, pitch: float, count: int, deep: float) -> tuple[Shape, list[Shape]]:
        """The same with beads cut open by the edge: their centres lie `PART` of a radius inside."""
        radius = 0.5 * self.bead_mm
        middle = radius * PART
        half = sqrt(radius**2 - middle**2)
        low = acos(half / radius)
        strokes: list[Stroke] = []
        beads, at = [], (0.0, 0.0)
        for k in range(count):
            x = (k + 0.5) * pitch
            over = arc((x, middle), (radius, radius), pi + low, -(pi + 2 * low))
            strokes += [line(at, over[0].start), *over]
            at = over[-1].end
            back = [stroke.reversed() for stroke in reversed(over)]
            beads.append(Shape((closed([*back, line(back[-1].end, back[0].start)]),)))
        end = count * pitch
        corners = [at, (end, 0.0), (end, deep), (0.0, deep), (0.0, 0.0)]
        strokes += [line(a, b) for a, b in pairwise(corners)]
        return Shape((closed(strokes),)), beads
