"""What the rules look at: first what was asked, then the ring as laid out."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from ringgeom.design import Design
from ringgeom.engraving.asked import AnyEngraving, Lettering, MarkBox, Motif
from ringgeom.errors import InputError, Problem, ShapeError
from ringgeom.finger import FingerSize, MadeSize
from ringgeom.form.clock import clock_words
from ringgeom.form.contacts import Contact
from ringgeom.form.curve import Arc, Array, Whole
from ringgeom.form.frame import LEAST_EDGE_MM
from ringgeom.form.pieces import Piece
from ringgeom.form.places import AnyPlace, Band, Liner, MotifInlay, Segments
from ringgeom.form.profiles import Form, Misfit
from ringgeom.form.quadrature import fastest, full_turn, kinks
from ringgeom.form.ring import Ring, ring
from ringgeom.form.ring_form import RingForm
from ringgeom.form.section import BODY, Owner, Section
from ringgeom.form.volume import Volume
from ringgeom.form.wave import Wave
from ringgeom.making.joint import Joint
from ringgeom.making.meeting import Meeting
from ringgeom.making.part import Finished, Part
from ringgeom.making.poured import Casting
from ringgeom.making.routes import Route
from ringgeom.making.sprue import Sprue
from ringgeom.marks import ArticleMark
from ringgeom.melt import MeltPlan
from ringgeom.metal import Alloy
from ringgeom.shop import Shop

if TYPE_CHECKING:
    # a plain ring is weighed without any of this
    from ringgeom.engraving.engraved import Engraved, Set
    from ringgeom.engraving.inset import Inset
    from ringgeom.engraving.pockets import Pockets
    from ringgeom.engraving.unrolled import Unrolled

Groups = tuple[tuple[Whole, Section], ...]


@dataclass(frozen=True, kw_only=True)
class Asking:
    """A design with its shop and size, before anything is laid out."""

    design: Design
    shop: Shop
    finger: FingerSize
    made: MadeSize
    form: RingForm
    alloys: tuple[tuple[tuple[str | int, ...], Alloy], ...]
    not_split: str = ""

    @property
    def band(self) -> Band:
        """The radii of the band asked for."""
        return self.form.band

    def places(self) -> Iterator[tuple[tuple[str | int, ...], AnyPlace]]:
        """Every place with its key in the design file."""
        for number, place in enumerate(self.design.parts):
            yield ("part", number), place

    def stations(self) -> Iterator[tuple[str, Asking]]:
        """At every station of a taper the ring as it would be if it were so all round."""
        taper = self.form.taper
        for angle in taper.angles if taper is not None else ():
            form = self.form.at(angle)
            if (form.width_mm, form.thickness_mm) == (self.form.width_mm, self.form.thickness_mm):
                continue
            share = form.share(self.form)
            measures = {name: getattr(form, name) for name in ("width_mm", "thickness_mm")}
            faces = {"outside": form.outside, "inside": form.inside}
            ring = self.design.ring.model_copy(update={**measures, **faces, "taper": ()})
            parts = tuple(place.shared(share) for place in self.design.parts)
            design = self.design.model_copy(update={"ring": ring, "parts": parts, "engravings": ()})
            yield clock_words(angle), replace(self, form=form, design=design)

    @cached_property
    def empty_ring(self) -> Ring | None:
        """The band without its places, or None if its frame cannot be drawn."""
        if not self.form_fits or self.least_wall is None or self.least_wall[0] <= 0:
            return None
        try:
            return ring(self.form, ())
        except ShapeError:
            return None

    @cached_property
    def rows(self) -> tuple[Set | InputError | None, ...]:
        """Every text as it is set and figure as it is drawn, or why not; None for room."""
        return tuple(self._set(one) for one in self.design.engravings)

    def _set(self, one: AnyEngraving) -> Set | InputError | None:
        from ringgeom.engraving.figures import figures
        from ringgeom.engraving.row import row

        try:
            if isinstance(one, MarkBox):
                return None
            if isinstance(one, Lettering):
                return row(one)
            wave = None
            if isinstance(one, Motif) and one.follows is not None:
                wave = wave_of(self.design, one.follows)
            return figures(
                one, self._unrolled(one.on), out=1 if one.on == "outside" else -1, wave=wave
            )
        except InputError as error:
            return error

    @cached_property
    def cut_out(self) -> tuple[tuple[tuple[str | int, ...], MotifInlay, Pockets | InputError], ...]:
        """Every motif inlay with its key, and its pockets as they are drawn, or why not."""
        return tuple(
            (key, place, self._cut_out(place))
            for key, place in self.places()
            if isinstance(place, MotifInlay)
        )

    def _cut_out(self, place: MotifInlay) -> Pockets | InputError:
        from ringgeom.engraving.pockets import pockets

        try:
            wave = None if place.follows is None else wave_of(self.design, place.follows)
            return pockets(place, self._unrolled("outside"), wave)
        except InputError as error:
            return error

    def _unrolled(self, side: str) -> Unrolled:
        """A face without the rounding of its edges."""
        from ringgeom.engraving.unrolled import Unrolled

        half = self.form.least_half_mm
        half -= self.form.edge_mm if self.form.edge_mm >= LEAST_EDGE_MM else 0.0
        radius = self.band.crest_mm if side == "outside" else self.band.bore_mm
        return Unrolled(round_mm=2 * np.pi * radius, low_mm=-half, high_mm=half)

    @cached_property
    def rises_mm(self) -> tuple[float, float]:
        """How far the outside falls, and the bore rises, at its edges [mm]."""
        return self.form.falls_mm

    @cached_property
    def asked_forms(self) -> tuple[tuple[str, Form], ...]:
        """Outside and bore, each with its key."""
        return ("outside", self.form.outside), ("inside", self.form.inside)

    @cached_property
    def misfits(self) -> tuple[tuple[Misfit, ...], ...]:
        """Of outside and of bore, what does not go with the band."""
        faces = zip(self.asked_forms, self.form.faces, strict=True)
        return tuple(tuple(form.misfits(face)) for (_, form), face in faces)

    @cached_property
    def form_fits(self) -> bool:
        """Whether outside and bore can be drawn, and leave a wall at the edges."""
        return not any(self.misfits) and sum(self.rises_mm) <= self.form.thickness_mm + 1e-9

    @cached_property
    def least_wall(self) -> tuple[float, float] | None:
        """Least wall between the forms away from the edges, and its z; None if they do not fit."""
        if not self.form_fits:
            return None
        outside, bore = self.form.drawn
        stops = {z for chain in (outside, bore) for z in chain.stops_mm[1:-1]}
        crests = {c.z_mm for c in (*outside.curves, *bore.curves) if isinstance(c, Arc)}
        half = self.form.width_mm / 2
        z = np.array(sorted({0.0, *stops, *(at for at in crests if abs(at) < half)}))
        walls = np.array(
            [outside.extremes_mm(at, at)[0] - bore.extremes_mm(at, at)[1] for at in z.tolist()]
        )
        least = int(np.argmin(walls))
        return float(walls[least]), float(z[least])


@dataclass(frozen=True, kw_only=True)
class Formed:
    """The ring as form alone: its partition round the turn and its finished parts."""

    asking: Asking
    ring: Ring
    volumes: Mapping[Piece, Volume]
    parts: tuple[Finished, ...]
    engraved: tuple[Engraved, ...] = ()
    insets: tuple[Inset, ...] = ()

    @cached_property
    def groups(self) -> Groups:
        """The sections round the turn, in groups of one order."""
        return tuple(self.ring.sections(turn_angles(self.ring)))

    @cached_property
    def cast_groups(self) -> Groups:
        """The same with stock on."""
        return tuple(self.ring.sections(turn_angles(self.ring), with_stock=True))

    @cached_property
    def alloys(self) -> Mapping[Alloy, Finished]:
        """Every alloy, with the first part that is made of it."""
        return {part.alloy: part for part in reversed(self.parts)}

    @cached_property
    def _numbers(self) -> tuple[int, ...]:
        """For every claim of the ring, the number of the place that made it."""
        return tuple(
            number
            for number, place in enumerate(self.asking.design.parts)
            for _ in place.placed(self.asking.band)
        )

    def place_of(self, index: int) -> AnyPlace:
        """The place in the design that made a claim."""
        return self.asking.design.parts[self._numbers[index]]

    def key_of(self, index: int | None) -> tuple[str | int, ...]:
        """Key of a claim's place in the design file; of the body for None."""
        return ("body",) if index is None else ("part", self._numbers[index])

    def name_of(self, owner: Owner) -> str:
        """Name of what an owner is; of the first where a claim makes several parts."""
        return "body" if owner == BODY else self.ring.placed[owner.claim].names[0]


@dataclass(frozen=True, kw_only=True)
class Laid(Formed):
    """The ring laid out, with all that is cast, joined and melted for it."""

    parts: tuple[Part, ...]
    sprues: Mapping[str, Sprue]
    castings: tuple[Casting, ...]
    contacts: tuple[Contact, ...]
    meetings: tuple[Meeting, ...]
    joints: tuple[Joint, ...]
    routes: tuple[Route, ...]
    melts: MeltPlan
    marks: tuple[ArticleMark, ...]


def wave_of(design: Design, name: str) -> Wave:
    """The wave of a part.

    Raises
    ------
    InputError
        There is no such part, or it does not wave.
    """
    waves = {
        part.name: part.wave.wave()
        for part in design.parts
        if not isinstance(part, Liner | Segments | MotifInlay) and part.wave is not None
    }
    wave = waves.get(name)
    if wave is None:
        names = ", ".join(one for one, found in waves.items() if found)
        raise InputError(
            Problem(
                text=f'no part named "{name}" has a wave to follow',
                allowed=names or "leave follows out: no part of this ring waves",
            )
        )
    return wave


def turn_angles(ring: Ring) -> Array:
    """Angles dense enough to find the narrowest place of any wave [rad].

    Where no boundaries cross, those of the volumes: one stretch of those that are alike.
    """
    if not ring.turns:
        return np.zeros(1)
    crossings = kinks(ring, with_stock=False)
    if ring.form.taper is not None and not ring.waves:
        some = full_turn(ring, crossings)[0]
        return np.sort(np.concatenate([some, ring.form.taper.angles]))
    if not crossings.size:
        return full_turn(ring, crossings)[0]
    even = np.linspace(0.0, 2 * np.pi, 64 * fastest(ring), endpoint=False)
    crests = [wave.crests() for wave in ring.waves]
    stations = () if ring.form.taper is None else ring.form.taper.angles
    return np.unique(np.concatenate([even, *crests, stations]))
