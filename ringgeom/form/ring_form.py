"""The measures of a band, from which its frame is drawn, and how they taper."""

from __future__ import annotations

from dataclasses import dataclass, replace

from ringgeom.form.frame import Chain
from ringgeom.form.places import Band, Share
from ringgeom.form.profiles import Face, Inside, Outside
from ringgeom.form.taper import Taper


@dataclass(frozen=True, slots=True, kw_only=True)
class RingForm:
    """The measures of a band [mm].

    The bore is the diameter at mid-width, its smallest; the thickness lies between it and the
    highest of the outside, half of what the two diameters differ by.
    """

    inside_diameter_mm: float
    width_mm: float
    thickness_mm: float
    outside: Outside
    inside: Inside
    edge_mm: float = 0.0
    proud_mm: float = 0.0
    taper: Taper | None = None

    def at(self, angle: float) -> RingForm:
        """The band as it is at an angle, all round: width and thickness are those of there.

        Measures of its form along the axis and along the radius keep their share of it; the
        bore stays, and so does what is of the tool (rounded edges).
        """
        return self if self.taper is None else self.of(*self.taper.at(angle))

    def of(self, width_mm: float, thickness_mm: float) -> RingForm:
        """The band of another width and thickness, all round [mm]."""
        axis, radius = width_mm / self.width_mm, thickness_mm / self.thickness_mm
        return replace(
            self,
            width_mm=width_mm,
            thickness_mm=thickness_mm,
            outside=self.outside.shared(axis, radius),
            inside=self.inside.shared(axis, radius),
            proud_mm=self.proud_mm * radius,
            taper=None,
        )

    @property
    def tapers_thin(self) -> bool:
        """Whether its thickness is not the same all round."""
        return self.taper is not None and len(set(self.taper.thickness.values)) > 1

    @property
    def least_half_mm(self) -> float:
        """Half its width where it is narrowest [mm]."""
        width = self.width_mm if self.taper is None else self.taper.least_mm[0]
        return width / 2

    @property
    def mean_share(self) -> float:
        """Mean thickness over the turn, as a share of the largest."""
        taper = self.taper
        return 1.0 if taper is None else taper.thickness.mean / self.thickness_mm

    def share(self, of: RingForm) -> Share:
        """What this band is of another one."""
        return Share(
            before_mm=of.width_mm / 2,
            half_mm=self.width_mm / 2,
            axis=self.width_mm / of.width_mm,
            radius=self.thickness_mm / of.thickness_mm,
        )

    @property
    def band(self) -> Band:
        """The radii of the band."""
        bore = self.inside_diameter_mm / 2
        half = self.width_mm / 2
        return Band(
            bore_mm=bore,
            crest_mm=bore + self.thickness_mm,
            half_mm=half,
            dip_mm=self.outside.dip_at_mid_mm(half),
        )

    @property
    def highest_at_edge(self) -> bool:
        """Whether the outside is highest at an edge, where it may be rounded off."""
        half = self.width_mm / 2
        return abs(self.outside.crest_z_mm(half)) == half

    @property
    def measured_at(self) -> str:
        """Where the thickness is that is asked for, in words."""
        return "at mid-width" if self.mid_mm == self.thickness_mm else "at its highest"

    @property
    def mid_mm(self) -> float:
        """Thickness at mid-width [mm]; less than `thickness_mm` where the outside dips there."""
        return self.thickness_mm - self.outside.dip_at_mid_mm(self.width_mm / 2)

    @property
    def faces(self) -> tuple[Face, Face]:
        """The room for outside and bore."""
        half, bore = self.width_mm / 2, self.inside_diameter_mm / 2
        crest = bore + self.thickness_mm
        inner = Face(crest_mm=bore, half_mm=half, side=-1, edge_room_mm=self.thickness_mm)
        room = self.thickness_mm - self.inside.fall_mm(inner)
        return Face(crest_mm=crest, half_mm=half, side=1, edge_room_mm=room), inner

    @property
    def drawn(self) -> tuple[Chain, Chain]:
        """Outside and bore, their edges not yet rounded."""
        outer, inner = self.faces
        return self.outside.drawn(outer), self.inside.drawn(inner)

    @property
    def falls_mm(self) -> tuple[float, float]:
        """How far the outside falls, and the bore rises, at its edges [mm]."""
        outer, inner = self.faces
        return self.outside.fall_mm(outer), self.inside.fall_mm(inner)
