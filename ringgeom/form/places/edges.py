"""A stripe at each edge of the band: two parts, `<name> 1` and `<name> 2`.

width_mm          width_mm
|<-->|            |<-->|
|____|____________|____|
|  1 |            | 2  |
|____|____________|____|
"""

from __future__ import annotations

from typing import ClassVar, Literal

from ringgeom.form.claim import Claim, Reach, Wall
from ringgeom.form.places.place import Band, Length, Place, Placed, WaveAsked
from ringgeom.metal.asked import AlloyAsked


class Edges(Place):
    """Rails of one alloy at both edges; a wave moves both inner boundaries side by side."""

    along_axis: ClassVar[tuple[str, ...]] = ("width_mm",)

    place: Literal["edges"]
    alloy: AlloyAsked
    width_mm: Length
    wave: WaveAsked | None = None

    def placed(self, band: Band) -> tuple[Placed, ...]:
        wave = self.wave.wave() if self.wave else None
        inner = band.half_mm - self.width_mm
        placed = []
        for number, out in ((1, 1), (2, -1)):
            takes, fills = (
                Wall(at_mm=-out * inner, out=out, wave=wave, inset_mm=inset)
                for inset in (0.0, self.gap.side)
            )
            claim = Claim(takes=_reach(takes), fills=_reach(fills))
            placed.append(
                Placed(names=(f"{self.name} {number}",), alloys=(self.alloy,), claim=claim)
            )
        return tuple(placed)


def _reach(wall: Wall) -> Reach:
    return Reach(right=wall) if wall.out > 0 else Reach(left=wall)
