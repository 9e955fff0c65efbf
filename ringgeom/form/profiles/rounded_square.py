"""A rounded square: flat, its two outer corners rounded by a large radius.

   .-----------.
 .'             '.    radius_mm: from the flat round into the upright edge
|                 |
|_________________|   with an eased bore all four corners are round
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import ClassVar, Literal

from ringgeom.form.frame import Chain
from ringgeom.form.profiles.eased import rounded_ends
from ringgeom.form.profiles.face import ROUND_MM, Face, Form, Length, Misfit


class RoundedSquare(Form):
    """A flat outside with large round corners."""

    height: ClassVar[tuple[str, int] | None] = ("radius_mm", -1)

    form: Literal["rounded-square"]
    radius_mm: Length

    def misfits(self, face: Face) -> Iterator[Misfit]:
        if self.radius_mm > face.half_mm + ROUND_MM:
            yield Misfit(
                key="radius_mm",
                value=self.radius_mm,
                limit=face.half_mm,
                text=f"corners of radius {self.radius_mm:g} mm do not fit a band of "
                f"{2 * face.half_mm:g} mm",
                fix=f"radius_mm up to {face.half_mm:g}",
            )

    def drawn(self, face: Face) -> Chain:
        return rounded_ends(face, self.radius_mm)

    def fall_mm(self, face: Face) -> float:
        return self.radius_mm
