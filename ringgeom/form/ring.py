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
from ringgeom.form.places import AnyPlace, Placed
from ringgeom.form.ring_form import RingForm
from ringgeom.form.section import Owner, Section
from ringgeom.form.tapered import Layout, tapered
from ringgeom.form.wave import Wave


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """Metal left on for filing and polishing, per face [mm]; mating faces have none."""

    outside_mm: float = 0.0
    bore_mm: float = 0.0
    edge_mm: float = 0.0


NO_STOCK = Stock()
ZERO = np.zeros(1)

JUST_INSIDE = 1e-6
"""An angle from a joint at which a segment is looked at [rad]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ring:
    """Everything that the partition, the volumes and the solids are computed from.

    Of a band that tapers, `finished`, `cast` and `placed` are as at its widest; `at` gives
    them at any other place round the ring.
    """

    form: RingForm
    stock: Stock
    finished: Frame
    places: tuple[AnyPlace, ...]
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
        return 1 if self.form.taper else gcd(*(wave.count for wave in self.waves))

    @property
    def turns(self) -> bool:
        """Whether its section is another from place to place round the ring."""
        return self.form.taper is not None or bool(self.waves)

    def at(self, angle: float) -> Ring:
        """The ring as it is at an angle, all round; itself where it does not taper."""
        taper = self.form.taper
        if taper is None:
            return self
        local: Ring = self.once(("at", taper.at(angle)), self._at, taper.at(angle))
        return local

    def _at(self, measures_mm: tuple[float, float]) -> Ring:
        form = self.form.of(*measures_mm)
        share = form.share(self.form)
        places = tuple(place.shared(share) for place in self.places)
        try:
            return ring(form, places, self.stock)
        except ShapeError as error:
            width, thick = (round(measure, 2) for measure in measures_mm)
            raise ShapeError(f"where the band is {width:g} x {thick:g} mm: {error}") from None

    @property
    def thinnest(self) -> Ring:
        """The ring as it is at the station where its band is thinnest; itself without taper."""
        taper = self.form.taper
        if taper is None:
            return self
        return self.at(min(taper.angles, key=lambda angle: taper.at(angle)[::-1]))

    def frame(self, *, with_stock: bool) -> Frame:
        """The finished frame, or the one with stock."""
        return self.cast if with_stock else self.finished

    def sections(self, angles: Array, *, with_stock: bool = False) -> list[tuple[Whole, Section]]:
        """The partition at some angles of the slanted cut, in groups of one order.

        A ring that neither waves nor tapers has one section all round. Every set of angles is
        drawn once.
        """
        if not self.turns:
            ((_, section),) = self.once(("section", with_stock), self._drawn, ZERO, with_stock)
            return [(np.arange(angles.size), section)]
        found: list[tuple[Whole, Section]] = self.once(
            ("sections", with_stock, angles.tobytes()), self._drawn, angles, with_stock
        )
        return found

    def _drawn(self, angles: Array, with_stock: bool) -> list[tuple[Whole, Section]]:
        if self.form.taper is not None:
            return tapered(self.layouts(angles, with_stock), angles, self.once(("known",), dict))
        return sections(
            frame=self.frame(with_stock=with_stock),
            finished=self.finished,
            claims=self.claims,
            angles=angles,
            twist=self.twist,
            known=self.once(("columns",), dict),
        )

    def layouts(self, angles: Array, with_stock: bool) -> list[Layout]:
        """How the ring is laid out at each of some angles."""
        locals_ = [self.at(angle) for angle in angles.tolist()]
        return [
            Layout(one.frame(with_stock=with_stock), one.finished, one.claims) for one in locals_
        ]

    def refilled(self, places: Sequence[AnyPlace]) -> Ring:
        """The same form with other alloys in its places: what was drawn of it is kept."""
        placed = tuple(one for place in places for one in place.placed(self.form.band))
        if tuple(one.claim for one in placed) != self.claims:
            raise ShapeError("these places are of another form than the ring that was drawn")
        return replace(self, places=tuple(places), placed=placed)

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

    @property
    def seen_angle(self) -> float:
        """Where the ring is looked at [rad]: angle 0, or the middle of its first segment.

        Where the band tapers, just inside the first segment, at its widest.
        """
        first = next((claim for claim in self.claims if claim.sectors is not None), None)
        if first is None:
            return 0.0
        return JUST_INSIDE if self.form.taper else 0.5 * sum(sector_ends(first, 0))

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
    if form.taper is not None and any(twists):
        raise ShapeError("slanted joints are not laid out in a band that tapers; slant_deg = 0 is")
    return Ring(
        form=form,
        stock=stock,
        finished=_frame(form, NO_STOCK),
        places=tuple(places),
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
