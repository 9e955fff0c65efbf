"""A stripe across the width, through the full depth of what is left.

    from_mm       to_mm            both from mid-width, -width/2 to +width/2
       |           |
    ___|___________|_______
    |  |  stripe   |       |
    |__|___________|_______|

A boundary on the band's edge stays there; a wave moves the others.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, ClassVar, Literal, Self

from pydantic import model_validator

from ringgeom.form.claim import Claim, Reach, Wall
from ringgeom.form.places.place import Band, EdgeWave, Place, Placed, Position, Share
from ringgeom.metal.asked import AlloyAsked


class Stripe(Place):
    """One stripe; two stripes that share a waving boundary give each the same wave."""

    along_axis: ClassVar[tuple[str, ...]] = ("from_mm", "to_mm")

    place: Literal["stripe"]
    alloy: AlloyAsked
    from_mm: Position
    to_mm: Position
    wave: EdgeWave | None = None

    @model_validator(mode="after")
    def _runs_upwards(self) -> Self:
        if not self.from_mm < self.to_mm:
            raise ValueError(
                f"from_mm {self.from_mm:g} must be less than to_mm {self.to_mm:g}; "
                "both are measured from mid-width, negative to the left"
            )
        return self

    def placed(self, band: Band) -> tuple[Placed, ...]:
        claim = Claim(takes=self._reach(band, 0.0), fills=self._reach(band, self.gap.side))
        return (Placed(names=(self.name,), alloys=(self.alloy,), claim=claim),)

    def on_edges(self, by: Share, moved: Mapping[str, Any]) -> dict[str, Any]:
        """A boundary on the band's edge stays on it."""
        sides = {"from_mm": by.edge(self.from_mm), "to_mm": by.edge(self.to_mm)}
        return {key: side * by.half_mm for key, side in sides.items() if side}

    def _reach(self, band: Band, inset: float) -> Reach:
        return Reach(
            left=self._wall(band, self.from_mm, -1, "from", inset),
            right=self._wall(band, self.to_mm, 1, "to", inset),
        )

    def _wall(self, band: Band, at: float, out: int, which: str, inset: float) -> Wall | None:
        if band.on_edge(at) and at * out > 0:
            return None
        moved = self.wave is not None and self.wave.on in ("both", which)
        wave = self.wave.wave() if self.wave and moved else None
        return Wall(at_mm=at, out=out, wave=wave, inset_mm=inset)
