"""A concave outside: hollow along the middle, highest at its sides.

         rim_mm
        |<->|
        .---.           .---.    ^
        |    '-._____.-'    |    v dip_mm: mid-width below the sides
        |___________________|

The crest is the sides, where a calliper rests: the thickness is of the band there, and at
mid-width it is dip_mm less. Without rims the hollow is one arc from edge to edge.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import ClassVar, Literal

from ringgeom.form.curve import Arc, Flat
from ringgeom.form.frame import Chain, whole
from ringgeom.form.profiles.face import ROUND_MM, Face, Form, Length, Measure, Misfit, symmetric


class Concave(Form):
    """A hollow of the given depth, with or without level rims."""

    across: ClassVar[tuple[str, ...]] = ("rim_mm",)
    up: ClassVar[tuple[str, ...]] = ("dip_mm",)
    height: ClassVar[tuple[str, int] | None] = ("dip_mm", -1)

    form: Literal["concave"]
    dip_mm: Length
    rim_mm: Measure = 0.0

    def misfits(self, face: Face) -> Iterator[Misfit]:
        reach = face.half_mm - self.rim_mm
        if reach < ROUND_MM:
            yield Misfit(
                key="rim_mm",
                value=self.rim_mm,
                limit=face.half_mm,
                text=f"hollow has rims of {self.rim_mm:g} mm, which fill a band of "
                f"{2 * face.half_mm:g} mm",
                fix=f"rim_mm below {face.half_mm:g}",
            )
        elif self.dip_mm > reach + ROUND_MM:
            yield Misfit(
                key="dip_mm",
                value=self.dip_mm,
                limit=reach,
                text=f"hollow of {self.dip_mm:g} mm over {2 * reach:g} mm is deeper than a half "
                "circle",
                fix=f"dip_mm up to {reach:g}",
            )

    def drawn(self, face: Face) -> Chain:
        reach, dip = face.half_mm - self.rim_mm, self.dip_mm
        hollow = Arc(face.crest_mm - dip, 0.0, (reach**2 + dip**2) / (2 * dip), -1)
        if self.rim_mm < ROUND_MM:
            return whole(hollow, face.half_mm)
        return symmetric((hollow, Flat(face.crest_mm)), (reach, face.half_mm))

    def crest_z_mm(self, half_mm: float) -> float:
        return half_mm - self.rim_mm / 2

    def dip_at_mid_mm(self, half_mm: float) -> float:
        return self.dip_mm
