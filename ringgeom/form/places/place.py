"""What every place shares: a name, its gaps, and how it claims its part of the section."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import radians
from typing import Annotated, Any, ClassVar, Literal, Self

from pydantic import AfterValidator, Discriminator, Field, Tag

from ringgeom.asked import Asked, safe_name
from ringgeom.colour.predict import Finish
from ringgeom.form.claim import Claim
from ringgeom.form.wave import Wave
from ringgeom.metal.asked import AlloyAsked

Length = Annotated[float, Field(gt=0, le=100)]
Position = Annotated[float, Field(ge=-100, le=100)]
NOTHING_MM = 1e-4
"""A wave, an undercut or a rounding below this is none: a tenth of a micrometre."""

GapWidth = Annotated[float, Field(ge=-0.5, le=2)]
PartName = Annotated[str, Field(min_length=1, max_length=40), AfterValidator(safe_name)]


class Gap(Asked):
    """Signed gaps [mm]: side for walls, floor for cylinders; negative is a press fit."""

    side: GapWidth = 0.0
    floor: GapWidth = 0.0


def _gap_spelling(asked: Any) -> str:
    return "faces" if isinstance(asked, dict | Gap) else "both"


GapAsked = Annotated[
    Annotated[GapWidth, Tag("both")] | Annotated[Gap, Tag("faces")], Discriminator(_gap_spelling)
]


class WaveAsked(Asked):
    """z = amplitude sin(count angle + phase)."""

    amplitude_mm: Annotated[float, Field(ge=0, le=20)]
    count: Annotated[int, Field(ge=1, le=200)]
    phase_deg: Annotated[float, Field(ge=-3600, le=3600)] = 0.0

    def wave(self) -> Wave | None:
        """The wave in radians; a wave without amplitude is none."""
        if self.amplitude_mm < NOTHING_MM:
            return None
        return Wave(self.amplitude_mm, self.count, radians(self.phase_deg))


class EdgeWave(WaveAsked):
    """A wave that may move one boundary only."""

    on: Literal["both", "from", "to"] = "both"


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """The finished band that places are let into: radii and half width [mm].

    `dip_mm` is how far the outside at mid-width lies below its crest.
    """

    bore_mm: float
    crest_mm: float
    half_mm: float
    dip_mm: float = 0.0

    @property
    def mid_mm(self) -> float:
        """Radius of the outside at mid-width, from where depths are measured [mm]."""
        return self.crest_mm - self.dip_mm

    def on_edge(self, z_mm: float) -> bool:
        """Whether a position lies on the band's edge."""
        return abs(abs(z_mm) - self.half_mm) < 1e-9


SAME_MM = 1e-9
"""A boundary this near to the band's edge lies on it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """How a band changes: half its width before and after [mm], and how many times as much
    the measures along the axis and along the radius become."""

    before_mm: float
    half_mm: float
    axis: float = 1.0
    radius: float = 1.0

    def edge(self, at_mm: float) -> int:
        """-1 or 1 for a position on the left or right edge of the band before, else 0."""
        if abs(abs(at_mm) - self.before_mm) >= SAME_MM:
            return 0
        return 1 if at_mm > 0 else -1


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """One claim on the section, with the names and alloys of the part or parts it makes."""

    names: tuple[str, ...]
    alloys: tuple[AlloyAsked, ...]
    claim: Claim


Route = Literal[
    "slide on", "wrap and seam", "split body", "stretch", "hammer in", "cast on",
    "side by side", "laminate", "segments", "solder in", "press in",
]  # fmt: skip
"""How a part is put into the ring."""


class Place(Asked):
    """Keys that every place has.

    `along_axis` and `along_radius` name the measures that lie across the width and along the
    radius.
    """

    along_axis: ClassVar[tuple[str, ...]] = ()
    along_radius: ClassVar[tuple[str, ...]] = ()

    name: PartName
    gap_mm: GapAsked = 0.0
    finish: Finish = "polished"
    route: Route | None = None
    seam_mm: Annotated[float, Field(ge=0, le=1)] = 0.05

    @property
    def gap(self) -> Gap:
        """The gaps, whether given as one number or face by face."""
        if isinstance(self.gap_mm, Gap):
            return self.gap_mm
        return Gap(side=self.gap_mm, floor=self.gap_mm)

    def placed(self, band: Band) -> tuple[Placed, ...]:
        """The claims that this place makes on a band."""
        raise NotImplementedError

    def shared(self, by: Share) -> Self:
        """The place in another band, each measure with its share of that band.

        A boundary on the band's edge stays on it; what is of the tool or the fit (gaps, seams,
        undercuts, counts, slants) stays as it is.
        """
        found: dict[str, Any] = {}
        for keys, share in ((self.along_axis, by.axis), (self.along_radius, by.radius)):
            for key in keys:
                if getattr(self, key) is not None and share != 1.0:
                    found[key] = getattr(self, key) * share
        wave = getattr(self, "wave", None)
        if wave is not None and by.axis != 1.0:
            moved = {"amplitude_mm": wave.amplitude_mm * by.axis}
            found["wave"] = wave.model_copy(update=moved)
        found |= self.on_edges(by, found)
        return self.model_copy(update=found) if found else self

    def on_edges(self, by: Share, moved: Mapping[str, Any]) -> dict[str, Any]:
        """The measures that keep a boundary on the edge of the other band."""
        return {}
