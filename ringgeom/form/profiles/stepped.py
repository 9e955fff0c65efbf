"""Stepped edges: a ledge along both sides, lower than the middle.

       ledge_mm
       |<->|
            _____________
        ___|             |___   ^ drop_mm: the ledges below the middle
       |                     |  v
       |_____________________|

The riser between ledge and middle stands upright.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import ClassVar, Literal

from ringgeom.form.curve import Flat
from ringgeom.form.frame import Chain
from ringgeom.form.profiles.face import ROUND_MM, Face, Form, Length, Misfit, symmetric


class Stepped(Form):
    """Two ledges, each so wide and so far below the middle."""

    across: ClassVar[tuple[str, ...]] = ("ledge_mm",)
    up: ClassVar[tuple[str, ...]] = ("drop_mm",)
    height: ClassVar[tuple[str, int] | None] = ("drop_mm", -1)

    form: Literal["stepped"]
    ledge_mm: Length
    drop_mm: Length

    def misfits(self, face: Face) -> Iterator[Misfit]:
        if self.ledge_mm > face.half_mm - ROUND_MM:
            yield Misfit(
                key="ledge_mm",
                value=self.ledge_mm,
                limit=face.half_mm,
                text=f"two ledges of {self.ledge_mm:g} mm leave nothing between them on a band of "
                f"{2 * face.half_mm:g} mm",
                fix=f"ledge_mm below {face.half_mm:g}",
            )

    def drawn(self, face: Face) -> Chain:
        curves = Flat(face.crest_mm), Flat(face.crest_mm - self.drop_mm)
        return symmetric(curves, (face.half_mm - self.ledge_mm, face.half_mm))

    def fall_mm(self, face: Face) -> float:
        return self.drop_mm
