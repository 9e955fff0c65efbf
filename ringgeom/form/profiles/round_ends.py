"""A level face that ends in quarter circles: what an eased bore and a rounded square share.

crest   .-------------.
       /               \\   radius_mm
      |                 |
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import ClassVar

from ringgeom.form.curve import Arc, Flat
from ringgeom.form.frame import Chain, whole
from ringgeom.form.profiles.face import ROUND_MM, Face, Form, Length, Misfit, symmetric


class RoundEnds(Form):
    """Level, with a rounding at both edges; `called` is what the rounding is in a sentence."""

    height: ClassVar[tuple[str, int] | None] = ("radius_mm", -1)
    called: ClassVar[str] = ""

    form: str
    radius_mm: Length

    def misfits(self, face: Face) -> Iterator[Misfit]:
        if self.radius_mm > face.half_mm + ROUND_MM:
            yield Misfit(
                key="radius_mm",
                value=self.radius_mm,
                limit=face.half_mm,
                text=f"{self.called} {self.radius_mm:g} mm do not fit a band of "
                f"{2 * face.half_mm:g} mm",
                fix=f"radius_mm up to {face.half_mm:g}",
            )

    def drawn(self, face: Face) -> Chain:
        start = face.half_mm - self.radius_mm
        if start < ROUND_MM:
            return whole(Arc(face.crest_mm, 0.0, face.half_mm, face.side), face.half_mm)
        corner = Arc(face.crest_mm, start, self.radius_mm, face.side)
        return symmetric((Flat(face.crest_mm), corner), (start, face.half_mm))

    def fall_mm(self, face: Face) -> float:
        return self.radius_mm
