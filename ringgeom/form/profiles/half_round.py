"""A half-round outside, the D: one arc that falls to thin edges, whatever the thickness.

          __..---..__
       .-'           '-.       v
      |_________________|      ^ edge_height_mm: the band at its edges, down to the bore

It is the domed outside, asked for by what is left at the edges: with the thickness of the
band the arc grows fuller, up to the half circle.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil
from typing import ClassVar, Literal

from ringgeom.form.frame import Chain, whole
from ringgeom.form.profiles.domed import dome
from ringgeom.form.profiles.face import ROUND_MM, Face, Form, Measure, Misfit


class HalfRound(Form):
    """An arc from the crest down to edges of the given height."""

    up: ClassVar[tuple[str, ...]] = ("edge_height_mm",)
    height: ClassVar[tuple[str, int] | None] = ("edge_height_mm", 1)

    form: Literal["half-round"]
    edge_height_mm: Measure

    def misfits(self, face: Face) -> Iterator[Misfit]:
        rise, half = self.fall_mm(face), face.half_mm
        if rise < -ROUND_MM:
            yield Misfit(
                key="edge_height_mm",
                value=self.edge_height_mm,
                limit=face.edge_room_mm,
                text=f"half-round has edges of {self.edge_height_mm:g} mm on a band that is "
                f"{face.edge_room_mm:.2f} mm thick over them",
                fix=f"edge_height_mm below {face.edge_room_mm:.2f}",
            )
        if rise > half + ROUND_MM:
            least = ceil((face.edge_room_mm - half) * 100 - 1e-6) / 100
            yield Misfit(
                key="edge_height_mm",
                value=rise,
                limit=half,
                text=f"half-round falls {rise:.2f} mm over {2 * half:g} mm of width: more than "
                "a half circle",
                fix=f"edge_height_mm {least:.2f} or more, or a thinner band",
            )

    def drawn(self, face: Face) -> Chain:
        return whole(dome(face, self.fall_mm(face)), face.half_mm)

    def fall_mm(self, face: Face) -> float:
        return face.edge_room_mm - self.edge_height_mm
