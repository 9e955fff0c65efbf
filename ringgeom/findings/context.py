"""What the rules look at: first what was asked, then the ring as laid out."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from ringgeom.design import Design
from ringgeom.errors import ShapeError
from ringgeom.finger import FingerSize, MadeSize
from ringgeom.form.contacts import Contact
from ringgeom.form.curve import Array, Whole
from ringgeom.form.pieces import Piece
from ringgeom.form.places import AnyPlace, Band
from ringgeom.form.quadrature import full_turn, kinks
from ringgeom.form.ring import Ring, RingForm, ring
from ringgeom.form.section import BODY, Owner, Section
from ringgeom.form.volume import Volume
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
        return self.form.band

    def places(self) -> Iterator[tuple[tuple[str | int, ...], AnyPlace]]:
        """Every place with its key in the design file."""
        for number, place in enumerate(self.design.parts):
            yield ("part", number), place

    @cached_property
    def empty_ring(self) -> Ring | None:
        """The band without its places, or None if its frame cannot be drawn."""
        outer, inner = self.rises_mm
        half = self.form.width_mm / 2
        if max(outer, inner) > half or outer + inner > self.form.thickness_mm + 1e-9:
            return None
        try:
            return ring(self.form, ())
        except ShapeError:
            return None

    @cached_property
    def rises_mm(self) -> tuple[float, float]:
        """Rise of the outside and of the bore [mm]."""
        return self.form.outside.rise_mm, self.form.inside.rise_mm


@dataclass(frozen=True, kw_only=True)
class Formed:
    """The ring as form alone: its partition round the turn and its finished parts."""

    asking: Asking
    ring: Ring
    volumes: Mapping[Piece, Volume]
    parts: tuple[Finished, ...]

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


def turn_angles(ring: Ring) -> Array:
    """Angles dense enough to find the narrowest place of any wave [rad].

    Where no boundaries cross, those of the volumes: one stretch of those that are alike.
    """
    if not ring.waves:
        return np.zeros(1)
    crossings = kinks(ring, with_stock=False)
    if not crossings.size:
        return full_turn(ring, crossings)[0]
    fastest = max(wave.count for wave in ring.waves)
    return np.linspace(0.0, 2 * np.pi, 64 * fastest, endpoint=False)
