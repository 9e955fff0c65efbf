"""A domed face: one circular arc across the full width.

             ___..---..___   ^ rise_mm: mid-width above the edges
outside     |             |  v
bore        |---..___..---|  the bore's dome bulges towards the finger; the size
                             is the bore at mid-width, its smallest

bend R = (h^2 + rise^2) / (2 rise), h = half the width

A domed outside over a domed bore is the trade's court; over a flat bore its D.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import ClassVar, Literal

from ringgeom.form.curve import Arc, Curve, Flat
from ringgeom.form.frame import Chain, whole
from ringgeom.form.profiles.face import LEAST_RISE_MM, ROUND_MM, Face, Form, Measure, Misfit


class Domed(Form):
    """A dome of the given rise."""

    up: ClassVar[tuple[str, ...]] = ("rise_mm",)
    height: ClassVar[tuple[str, int] | None] = ("rise_mm", -1)

    form: Literal["domed"]
    rise_mm: Measure

    @property
    def plain(self) -> bool:
        return self.rise_mm == 0

    @property
    def comfort(self) -> bool:
        return self.rise_mm > 0

    def misfits(self, face: Face) -> Iterator[Misfit]:
        half = face.half_mm
        if self.rise_mm > half + ROUND_MM:
            yield Misfit(
                key="rise_mm",
                value=self.rise_mm,
                limit=half,
                text=f"dome of {self.rise_mm:g} mm over {2 * half:g} mm of width "
                "is more than a half circle",
                fix=f"rise_mm up to {half:g}",
            )

    def drawn(self, face: Face) -> Chain:
        return whole(dome(face, self.rise_mm), face.half_mm)

    def fall_mm(self, face: Face) -> float:
        return self.rise_mm


def dome(face: Face, rise_mm: float) -> Curve:
    """One arc across the width, its crest at mid-width; flat where it has no rise."""
    if rise_mm < LEAST_RISE_MM:
        return Flat(face.crest_mm)
    bend = (face.half_mm**2 + rise_mm**2) / (2 * rise_mm)
    return Arc(face.crest_mm, 0.0, bend, face.side)
