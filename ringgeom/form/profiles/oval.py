"""An oval outside: flatter over the middle, turning down ever more tightly to upright edges.

        __..--------..__         ^
     .-'                '-.      | rise_mm: the crest above the edges
    |                      |     v
    |______________________|

An oval of three arcs that run smoothly into each other, as it is drawn with compasses: with
h = half the width and b = rise, the side arcs have radius b^2/h and the middle one
h (h + b) / (2 b). The sides bend as tightly as those of the ellipse h, b.
(A dome over a domed bore is a court, and is asked for as two domes.)
"""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil, sqrt
from typing import ClassVar, Literal

from ringgeom.form.curve import Arc
from ringgeom.form.frame import Chain, whole
from ringgeom.form.profiles.domed import dome
from ringgeom.form.profiles.face import ROUND_MM, Face, Form, Length, Misfit, symmetric

LEAST_SIDE_MM = 0.05
"""Side arcs tighter than this are edges: no tool cuts them round (common practice, no source)."""


class Oval(Form):
    """Half an oval as high as `rise_mm` over the whole width."""

    up: ClassVar[tuple[str, ...]] = ("rise_mm",)
    height: ClassVar[tuple[str, int] | None] = ("rise_mm", -1)

    form: Literal["oval"]
    rise_mm: Length

    def misfits(self, face: Face) -> Iterator[Misfit]:
        half = face.half_mm
        if self.rise_mm > half + ROUND_MM:
            yield Misfit(
                key="rise_mm",
                value=self.rise_mm,
                limit=half,
                text=f"oval of {self.rise_mm:g} mm over {2 * half:g} mm of width is higher than "
                "a half circle",
                fix=f"rise_mm up to {half:g}",
            )
        least = sqrt(LEAST_SIDE_MM * half)
        if self.rise_mm < least - ROUND_MM:
            yield Misfit(
                key="rise_mm",
                value=self.rise_mm,
                limit=least,
                text=f"oval of {self.rise_mm:g} mm over {2 * half:g} mm of width would turn down "
                f"in arcs of {self.rise_mm**2 / half:.3f} mm at its sides, which are edges",
                fix=f'rise_mm {ceil(least * 100) / 100:.2f} or more, or form = "domed"',
            )

    def drawn(self, face: Face) -> Chain:
        half, rise = face.half_mm, self.rise_mm
        if rise > half - ROUND_MM:
            return whole(dome(face, rise), half)
        side, middle = rise**2 / half, half * (half + rise) / (2 * rise)
        centre = half - side
        curves = (
            Arc(face.crest_mm, 0.0, middle, 1),
            Arc(face.crest_mm - rise + side, centre, side, 1),
        )
        return symmetric(curves, (centre * middle / (middle - side), half))

    def fall_mm(self, face: Face) -> float:
        return self.rise_mm
