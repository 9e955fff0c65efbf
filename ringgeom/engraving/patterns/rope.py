"""Rope: two strands laid round each other, seen from the side.

  .--.  .--.  .--.        every strand shows as one slanted S, the two in turn;
 /  /  /  /  /  /         their ends swell beyond the edge of the twist
'--'  '--'  '--'          gap_mm between neighbours
"""

from __future__ import annotations

from typing import Annotated, Literal

import numpy as np
from pydantic import Field

from ringgeom.engraving.arcs import closed
from ringgeom.engraving.patterns.pattern import Asking, Cut, Depth, Pattern, closing, room, rounds
from ringgeom.engraving.shape import Shape
from ringgeom.engraving.stroke import Stroke, line
from ringgeom.engraving.unrolled import Unrolled
from ringgeom.errors import ShapeError
from ringgeom.form.curve import Array

FLAT, LONG = -0.1, 0.46
"""Handles of the S, as shares of its slant and of its half height."""


class Rope(Asking):
    """A rope round the ring; the twist gives way so that both strands close."""

    pattern: Literal["rope"] = "rope"
    height_mm: Annotated[float, Field(ge=0.4, le=20)] = 1.8
    twist_mm: Annotated[float, Field(ge=0.3, le=20)] = 1.0
    slant_mm: Annotated[float, Field(ge=0.1, le=20)] = 1.1
    gap_mm: Annotated[float, Field(ge=0.02, le=2)] = 0.14
    groove_mm: Annotated[float, Field(ge=0.02, le=2)] = 0.12
    hand: Literal["right", "left"] = "right"
    depth_mm: Depth = 0.2

    def drawn(self, face: Unrolled) -> Pattern:
        deep = self.height_mm + 2 * self.groove_mm
        middle = face.middle_mm
        room(face, 0.0, deep, "a rope with its groove")
        count = rounds(face, self.twist_mm, what="turns of the strands", least=4, step=2)
        pitch = face.round_mm / count
        if self.gap_mm >= 0.6 * pitch:
            raise ShapeError(
                f"a gap of {self.gap_mm:g} mm leaves too little of strands {pitch:.3f} mm apart; "
                f"at most {0.6 * pitch:.3f} mm"
            )
        strand = self._strand(pitch)
        seam = self._seam(0.5 * deep)
        far = [stroke.moved(np.eye(2), (face.round_mm, 0.0)) for stroke in seam]
        edge = [
            line(seam[0].start, far[0].start),
            *far,
            line(far[-1].end, seam[-1].end),
            *(stroke.reversed() for stroke in reversed(seam)),
        ]
        strands = [strand.moved((k + 0.5) * pitch) for k in range(count)]
        holes = [tuple(one.reversed() for one in reversed(s.loops[0])) for s in strands]
        groove = Shape((closed(edge), *holes))
        turn = np.diag([1.0, 1.0 if self.hand == "right" else -1.0])
        at = (0.0, middle)
        return Pattern(
            cuts=(Cut(shape=groove.mapped(turn, at), depth_mm=self.depth_mm),),
            figures=tuple(one.mapped(turn, at) for one in strands),
            count=count,
            wraps=True,
            notes=closing(self.twist_mm, pitch, "the twist of the rope"),
        )

    @property
    def _swell(self) -> float:
        """How far the ends of a strand reach beyond its two long sides."""
        return 0.17 * self.height_mm

    def _side(self, x: float) -> Stroke:
        """A long side of a strand: an S upwards through (x, 0)."""
        half, lean = 0.5 * self.height_mm - self._swell, self.slant_mm
        upper = np.array([(x - FLAT * lean, LONG * half), (x + 0.5 * lean, half)])
        lower = np.array([(x - 0.5 * lean, -half), (x + FLAT * lean, -LONG * half)])
        return Stroke(np.vstack([lower, upper]))

    @property
    def _heading(self) -> Array:
        """The way a side leads at its ends, one mm upwards."""
        half = 0.5 * self.height_mm - self._swell
        return np.array([(0.5 + FLAT) * self.slant_mm / ((1 - LONG) * half), 1.0])

    def _strand(self, pitch: float) -> Shape:
        """One S of a strand round (0, 0), its ends swelling."""
        half = 0.5 * (pitch - self.gap_mm)
        left, right = self._side(-half), self._side(half)
        reach = self._swell / 0.75 * self._heading
        begin, end = np.array(left.start), np.array(right.start)
        foot = Stroke(np.array([begin, begin - reach, end - reach, end]))
        return Shape((closed([foot, right, Stroke(-foot.points), left.reversed()]),))

    def _seam(self, half: float) -> list[Stroke]:
        """The way between two strands, from one edge of the groove to the other."""
        side = self._side(0.0)
        low, high = np.array(side.start), np.array(side.end)
        reach = (half - high[1]) * self._heading
        return [Stroke(np.array([low - reach, low])), side, Stroke(np.array([high, high + reach]))]
