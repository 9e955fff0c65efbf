"""A channel let into the outside, and the inlay that fills it.

         .--- width_mm ---.        measured along the axis, at the outside surface
    _____|                |_____
         |     inlay      |   ^
         /________________\\   v depth_mm below the outside at mid-width
        undercut_mm each side, at the floor

    floor = a cylinder;  centre_mm = from mid-width

A wall on the band's edge is none: the channel is a step, open to that side; as wide as
the band it carries a sleeve.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any, ClassVar, Literal

from pydantic import Field

from ringgeom.form.claim import Claim, Reach, Sectors, Wall
from ringgeom.form.places.place import (
    NOTHING_MM,
    Band,
    Length,
    Place,
    Placed,
    Position,
    Share,
    WaveAsked,
)
from ringgeom.metal.asked import AlloyAsked


class Channel(Place):
    """An inlay in a channel, straight or waving, straight-walled or undercut."""

    along_axis: ClassVar[tuple[str, ...]] = ("width_mm", "centre_mm")
    along_radius: ClassVar[tuple[str, ...]] = ("depth_mm",)

    place: Literal["channel"]
    alloy: AlloyAsked
    width_mm: Length
    depth_mm: Length
    centre_mm: Position = 0.0
    undercut_mm: Annotated[float, Field(ge=0, le=5)] = 0.0
    wave: WaveAsked | None = None

    def placed(self, band: Band) -> tuple[Placed, ...]:
        floor = band.mid_mm - self.depth_mm
        gap = self.gap
        claim = Claim(
            takes=self._reach(band, floor, 0.0),
            fills=self._reach(band, floor + gap.floor, gap.side),
            sectors=self._seam(band),
        )
        return (Placed(names=(self.name,), alloys=(self.alloy,), claim=claim),)

    def on_edges(self, by: Share, moved: Mapping[str, Any]) -> dict[str, Any]:
        """A step stays open to its side, a sleeve as wide as the band."""
        left, right = (by.edge(at) for at in self.walls_mm())
        walls = min(0, left), max(0, right)
        if walls == (-1, 1):
            return {"width_mm": 2 * by.half_mm, "centre_mm": 0.0}
        if any(walls):
            width = moved.get("width_mm", self.width_mm)
            return {"centre_mm": sum(walls) * (by.half_mm - width / 2)}
        return {}

    def _seam(self, band: Band) -> Sectors | None:
        """A strip that is wrapped and soldered is open by its seam, at angle 0."""
        if self.route != "wrap and seam" or self.seam_mm < NOTHING_MM:
            return None
        return Sectors(count=1, gap=self.seam_mm / band.crest_mm, twist=0.0)

    def walls_mm(self) -> tuple[float, float]:
        """z of the two walls at the outside, before any wave [mm]."""
        return self.centre_mm - self.width_mm / 2, self.centre_mm + self.width_mm / 2

    def _reach(self, band: Band, floor: float, inset: float) -> Reach:
        left, right = (
            self._wall(band, at, out, inset)
            for at, out in zip(self.walls_mm(), (-1, 1), strict=True)
        )
        return Reach(left=left, right=right, floor_mm=floor)

    def _wall(self, band: Band, at: float, out: int, inset: float) -> Wall | None:
        if band.on_edge(at) and at * out > 0:
            return None
        return Wall(
            at_mm=at,
            out=out,
            wave=self.wave.wave() if self.wave else None,
            undercut_mm=self.undercut_mm if self.undercut_mm >= NOTHING_MM else 0.0,
            foot_mm=band.mid_mm - self.depth_mm,
            inset_mm=inset,
        )
