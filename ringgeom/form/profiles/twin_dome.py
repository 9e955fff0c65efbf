"""A twin dome: two arcs side by side, with a valley between them at mid-width.

        .-'''-.   .-'''-.    ^ rise_mm: the crests above the valley and the edges
       |       '.'       |   v
       |_________________|

The crests lie a quarter of the width from mid-width; a calliper rests on them, and the
thickness is of the band there. In the valley it is rise_mm less.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import ClassVar, Literal

from ringgeom.form.curve import Arc
from ringgeom.form.frame import Chain
from ringgeom.form.profiles.face import ROUND_MM, Face, Form, Length, Misfit, symmetric


class TwinDome(Form):
    """Two equal domes, each across half of the width."""

    up: ClassVar[tuple[str, ...]] = ("rise_mm",)
    height: ClassVar[tuple[str, int] | None] = ("rise_mm", -1)

    form: Literal["twin-dome"]
    rise_mm: Length

    def misfits(self, face: Face) -> Iterator[Misfit]:
        quarter = face.half_mm / 2
        if self.rise_mm > quarter + ROUND_MM:
            yield Misfit(
                key="rise_mm",
                value=self.rise_mm,
                limit=quarter,
                text=f"twin dome of {self.rise_mm:g} mm, each dome {2 * quarter:g} mm wide, is "
                "more than two half circles",
                fix=f"rise_mm up to {quarter:g}",
            )

    def drawn(self, face: Face) -> Chain:
        quarter, rise = face.half_mm / 2, self.rise_mm
        bend = (quarter**2 + rise**2) / (2 * rise)
        return symmetric((Arc(face.crest_mm, quarter, bend, 1),), (face.half_mm,))

    def fall_mm(self, face: Face) -> float:
        return self.rise_mm

    def crest_z_mm(self, half_mm: float) -> float:
        return half_mm / 2

    def dip_at_mid_mm(self, half_mm: float) -> float:
        return self.rise_mm
