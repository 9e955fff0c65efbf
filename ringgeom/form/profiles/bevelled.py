"""A bevelled outside: flat in the middle, sloping down at both sides.

 bevel_mm
|<--->|
       _____________
v   .-'             '-.
^  |                   |   drop_mm: the flat above the edges
   |___________________|
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import ClassVar, Literal

from ringgeom.form.curve import Cone, Flat
from ringgeom.form.frame import Chain
from ringgeom.form.profiles.face import ROUND_MM, Face, Form, Length, Misfit, symmetric


class Bevelled(Form):
    """Two bevels, each so wide along the axis and so deep at the edge."""

    across: ClassVar[tuple[str, ...]] = ("bevel_mm",)
    up: ClassVar[tuple[str, ...]] = ("drop_mm",)
    height: ClassVar[tuple[str, int] | None] = ("drop_mm", -1)

    form: Literal["bevelled"]
    bevel_mm: Length
    drop_mm: Length

    def misfits(self, face: Face) -> Iterator[Misfit]:
        half = face.half_mm
        if self.bevel_mm > half - ROUND_MM:
            yield Misfit(
                key="bevel_mm",
                value=self.bevel_mm,
                limit=half,
                text=f"two bevels of {self.bevel_mm:g} mm leave no flat on a band of "
                f"{2 * half:g} mm",
                fix=f'bevel_mm below {half:g}, or form = "knife-edge"',
            )

    def drawn(self, face: Face) -> Chain:
        start = face.half_mm - self.bevel_mm
        slope = Cone(face.crest_mm, start, -self.drop_mm / self.bevel_mm)
        return symmetric((Flat(face.crest_mm), slope), (start, face.half_mm))

    def fall_mm(self, face: Face) -> float:
        return self.drop_mm
