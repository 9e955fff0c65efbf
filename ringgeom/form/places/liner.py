"""A liner against the finger: the innermost layer.

 _____________________
|  what is left       |
|_____________________|  outer face = a cylinder
|  liner              |  thickness_mm at mid-width; a domed bore is cut in it
 '---...._____....---'
"""

from __future__ import annotations

from typing import ClassVar, Literal

from ringgeom.form.claim import Claim, Reach
from ringgeom.form.places.place import Band, Length, Place, Placed
from ringgeom.metal.asked import AlloyAsked


class Liner(Place):
    """A sleeve of even thickness at mid-width."""

    along_radius: ClassVar[tuple[str, ...]] = ("thickness_mm",)

    place: Literal["liner"]
    alloy: AlloyAsked
    thickness_mm: Length

    def placed(self, band: Band) -> tuple[Placed, ...]:
        face = band.bore_mm + self.thickness_mm
        claim = Claim(takes=Reach(ceiling_mm=face), fills=Reach(ceiling_mm=face - self.gap.floor))
        return (Placed(names=(self.name,), alloys=(self.alloy,), claim=claim),)
