"""A bore with eased edges: flat on the finger, its two inner edges rounded.

       |                     |
       |                     |    radius_mm: from the flat round into the upright edge
        '.                 .'
          '---------------'       the size is the flat

Unlike a domed bore it reads true on a stick over most of its width.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import ClassVar, Literal

from ringgeom.form.curve import Arc, Flat
from ringgeom.form.frame import Chain, whole
from ringgeom.form.profiles.face import ROUND_MM, Face, Form, Length, Misfit, symmetric


class Eased(Form):
    """A flat bore, rounded at its edges only."""

    height: ClassVar[tuple[str, int] | None] = ("radius_mm", -1)

    form: Literal["eased"]
    radius_mm: Length

    def misfits(self, face: Face) -> Iterator[Misfit]:
        if self.radius_mm > face.half_mm + ROUND_MM:
            yield Misfit(
                key="radius_mm",
                value=self.radius_mm,
                limit=face.half_mm,
                text=f"edges eased by {self.radius_mm:g} mm do not fit a band of "
                f"{2 * face.half_mm:g} mm",
                fix=f"radius_mm up to {face.half_mm:g}",
            )

    def drawn(self, face: Face) -> Chain:
        return rounded_ends(face, self.radius_mm)

    def fall_mm(self, face: Face) -> float:
        return self.radius_mm


def rounded_ends(face: Face, radius_mm: float) -> Chain:
    """A level face that ends in quarter circles."""
    start = face.half_mm - radius_mm
    if start < ROUND_MM:
        return whole(Arc(face.crest_mm, 0.0, face.half_mm, face.side), face.half_mm)
    corner = Arc(face.crest_mm, start, radius_mm, face.side)
    return symmetric((Flat(face.crest_mm), corner), (start, face.half_mm))
