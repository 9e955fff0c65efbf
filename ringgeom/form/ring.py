"""A ring as form alone: its finished frame, the same with stock, and the claims of its places."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass, field, replace
from math import gcd, pi
from typing import Any

import numpy as np

from ringgeom.errors import ShapeError
from ringgeom.form.claim import Claim
from ringgeom.form.curve import Array, Whole
from ringgeom.form.frame import Chain, Frame, frame
from ringgeom.form.left_on import left_on
from ringgeom.form.partition import sections
from ringgeom.form.places import AnyPlace, Band, Placed
from ringgeom.form.profiles import Face, Inside, Outside
from ringgeom.form.section import Owner, Section
from ringgeom.form.wave import Wave


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


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """Metal left on for filing and polishing, per face [mm]; mating faces have none."""

    outside_mm: float = 0.0
    bore_mm: float = 0.0
    edge_mm: float = 0.0


NO_STOCK = Stock()
ZERO = np.zeros(1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Ring:
    """Everything that the partition, the volumes and the solids are computed from."""

    form: RingForm
    stock: Stock
    finished: Frame
    placed: tuple[Placed, ...]
    twist: float
    _kept: dict[Hashable, Any] = field(default_factory=dict, repr=False, compare=False)
    _cast: list[Frame] = field(default_factory=list, repr=False, compare=False)

    @property
    def cast(self) -> Frame:
        """The frame with stock on it, drawn when it is first asked for.

        Raises
        ------
        ShapeError
            It cannot be drawn.
        """
        if not self._cast:
            self._cast.append(_frame(self.form, self.stock))
        return self._cast[0]

    @property
    def claims(self) -> tuple[Claim, ...]:
        """What every part takes and fills, in the order written."""
        return tuple(placed.claim for placed in self.placed)

    @property
    def waves(self) -> tuple[Wave, ...]:
        """Every different wave in the ring."""
        found: tuple[Wave, ...] = self.once(("waves",), self._all_waves)
        return found

    def _all_waves(self) -> tuple[Wave, ...]:
        found = {
            wall.wave
            for claim in self.claims
            for reach in (claim.takes, claim.fills)
            for wall in reach.walls
            if wall.wave is not None
        }
        return tuple(sorted(found, key=lambda w: (w.count, w.amplitude_mm, w.phase)))

    @property
    def alike(self) -> int:
        """How many places round the ring are alike; 0 where all are."""
        return gcd(*(wave.count for wave in self.waves))

    def frame(self, *, with_stock: bool) -> Frame:
        """The finished frame, or the one with stock."""
        return self.cast if with_stock else self.finished

    def sections(self, angles: Array, *, with_stock: bool = False) -> list[tuple[Whole, Section]]:
        """The partition at some angles of the slanted cut, in groups of one order.

        A ring without waves has one section all round. Every set of angles is drawn once.
        """
        if not self.waves:
            ((_, section),) = self.once(("section", with_stock), self._drawn, ZERO, with_stock)
            return [(np.arange(angles.size), section)]
        found: list[tuple[Whole, Section]] = self.once(
            ("sections", with_stock, angles.tobytes()), self._drawn, angles, with_stock
        )
        return found

    def _drawn(self, angles: Array, with_stock: bool) -> list[tuple[Whole, Section]]:
        return sections(
            frame=self.frame(with_stock=with_stock),
            finished=self.finished,
            claims=self.claims,
            angles=angles,
            twist=self.twist,
            known=self.once(("columns",), dict),
        )

    def refilled(self, places: Sequence[AnyPlace]) -> Ring:
        """The same form with other alloys in its places: what was drawn of it is kept."""
        placed = tuple(one for place in places for one in place.placed(self.form.band))
        if tuple(one.claim for one in placed) != self.claims:
            raise ShapeError("these places are of another form than the ring that was drawn")
        return replace(self, placed=placed)

    def once(self, key: Hashable, work: Callable[..., Any], *given: Any) -> Any:
        """Something worked out of the ring the first time it is asked for."""
        if key not in self._kept:
            self._kept[key] = work(*given)
        return self._kept[key]

    def knots(self) -> list[float]:
        """Angles at which a segment begins or ends [rad]."""
        found: list[float] = []
        for claim in self.claims:
            if claim.sectors is not None:
                for number in range(claim.sectors.count):
                    found += sector_ends(claim, number)
        return found

    def stretches(self, owner: Owner) -> list[tuple[int | None, tuple[float, float] | None]]:
        """Where round the ring an owner is: the whole turn, or one stretch per segment.

        Returns (segment, its two angles); both None for the whole turn. A gap under
        segments goes on below their joints.
        """
        claim = self.claims[owner.claim] if owner.claim >= 0 else None
        if claim is None or claim.sectors is None:
            return [(None, None)]
        return [(number, self.ends(owner, number)) for number in range(claim.sectors.count)]

    def ends(self, owner: Owner, sector: int | None) -> tuple[float, float] | None:
        """The two angles between which an owner's segment is; None for the whole turn [rad]."""
        if sector is None:
            return None
        claim = self.claims[owner.claim]
        assert claim.sectors is not None
        start, end = sector_ends(claim, sector)
        after = end + claim.sectors.gap
        return {"part": (start, end), "gap": (start, after), "joint": (end, after)}[owner.kind]


def ring(form: RingForm, places: Sequence[AnyPlace], stock: Stock = NO_STOCK) -> Ring:
    """Lay out a ring: frames drawn, every place asked for its claim.

    Raises
    ------
    ShapeError
        The frame cannot be drawn, or two places slant differently.
    """
    placed = tuple(one for place in places for one in place.placed(form.band))
    twists = {one.claim.sectors.twist for one in placed if one.claim.sectors is not None}
    if len(twists) > 1:
        raise ShapeError("segments of two different slants do not share their joints in one ring")
    return Ring(
        form=form,
        stock=stock,
        finished=_frame(form, NO_STOCK),
        placed=placed,
        twist=next(iter(twists), 0.0),
    )


def _frame(form: RingForm, stock: Stock) -> Frame:
    outside, bore = form.drawn
    half = form.width_mm / 2 + stock.edge_mm
    return frame(
        outside=_with_stock(outside, stock.outside_mm, half, stock),
        bore=_with_stock(bore, -stock.bore_mm, half, stock),
        half_mm=half,
        edge_mm=form.edge_mm,
        proud_mm=form.proud_mm,
    )


def _with_stock(face: Chain, by_mm: float, half_mm: float, stock: Stock) -> Chain:
    return face if stock == NO_STOCK else left_on(face, by_mm, half_mm)


def sector_ends(claim: Claim, number: int) -> tuple[float, float]:
    """Angles of a segment's two faces, its gap taken off the end [rad]."""
    assert claim.sectors is not None
    pitch = 2 * pi / claim.sectors.count
    return number * pitch, (number + 1) * pitch - claim.sectors.gap
