"""A face of the ring as it is engraved: strips side by side, each of one metal and one curve.

z ^   ------------- edge
  |   strip: body, its curve          x runs round the ring at the face's own diameter
  |   ------------- wall              (outside: at its highest; bore: at mid-width)
  |   strip: inlay
  |   -------------                   what waves to and fro belongs to no strip
  +------------------> x
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import pi

import numpy as np

from ringgeom.engraving.on_face import Side
from ringgeom.form.curve import Array, Curve
from ringgeom.form.pieces import Piece, parting, regions_of
from ringgeom.form.quadrature import fastest
from ringgeom.form.ring import Ring
from ringgeom.form.section import Cell, Owner, Section
from ringgeom.form.turned import Turned

WAVES_SEEN = 64
"""Places looked at in every wave."""

NOTHING_MM = 1e-9


@dataclass(frozen=True, slots=True)
class Floor:
    """Where the metal of a strip ends below the face, from one z to another [mm]."""

    low_mm: float
    high_mm: float
    curve: Curve


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    """A stretch across the face on which metal and curve are the same all round.

    Attributes
    ----------
    owner : Owner
        Of the metal there; a gap is open to the face.
    region : int
        Which of the owner's regions in the section it is.
    floors : tuple of Floor
        Where that metal ends below the face; they overlap where what lies below waves.
    """

    low_mm: float
    high_mm: float
    owner: Owner
    region: int
    curve: Curve
    floors: tuple[Floor, ...]

    @property
    def metal(self) -> bool:
        """Whether there is metal here, and no gap."""
        return self.owner.kind in ("part", "body")

    def key(self) -> tuple[object, ...]:
        """What makes it this strip and no other, whatever its width."""
        return (self.owner, self.region, self.curve.key)

    def wall_mm(self, low_mm: float, high_mm: float) -> float:
        """Least thickness of this metal below the face between two z [mm]."""
        low, high = max(low_mm, self.low_mm), min(high_mm, self.high_mm)
        found = np.inf
        for floor in self.floors:
            if min(high, floor.high_mm) >= max(low, floor.low_mm):
                # a leaning wall that waves has a radius for every angle
                z = np.linspace(max(low, floor.low_mm), min(high, floor.high_mm), 33)[:, None]
                found = min(found, float(np.abs(self.curve.r(z) - floor.curve.r(z)).min()))
        return found


@dataclass(frozen=True, slots=True, kw_only=True)
class Face:
    """One side of a ring, unrolled.

    Attributes
    ----------
    radius_mm : float
        At which it is unrolled.
    out : int
        +1 where away from the finger is out of the metal, -1 in the bore.
    """

    ring: Ring
    side: Side
    radius_mm: float
    out: int
    strips: tuple[Strip, ...]

    @property
    def around_mm(self) -> float:
        """Length of the face round the ring."""
        return 2 * pi * self.radius_mm

    @property
    def half_mm(self) -> float:
        """Half the width where the band is narrowest [mm]."""
        return self.ring.form.least_half_mm

    @property
    def edge_mm(self) -> float:
        """How far the rounding of the edge reaches into the face."""
        return self.ring.form.edge_mm

    def between(self, low_mm: float, high_mm: float) -> list[Strip]:
        """Strips that lie at least partly between two z."""
        return [
            strip
            for strip in self.strips
            if min(strip.high_mm, high_mm) - max(strip.low_mm, low_mm) > NOTHING_MM
        ]

    def steady(self, low_mm: float, high_mm: float) -> bool:
        """Whether strips cover everything between two z, nothing of it waving."""
        at = low_mm
        for strip in self.between(low_mm, high_mm):
            if strip.low_mm > at + 1e-7:
                return False
            at = max(at, strip.high_mm)
        return at >= high_mm - 1e-7

    def r(self, z: Array) -> Array:
        """Radius of the face [mm]; between strips that of the nearest."""
        found = np.full(z.shape, np.nan)
        for strip in self.strips:
            inside = (z >= strip.low_mm - NOTHING_MM) & (z <= strip.high_mm + NOTHING_MM)
            found[inside] = strip.curve.r(z[inside])
        lost = np.isnan(found)
        if lost.any():
            middles = np.array([0.5 * (s.low_mm + s.high_mm) for s in self.strips])
            for n in np.flatnonzero(lost):
                nearest = self.strips[int(np.argmin(np.abs(middles - z.flat[n])))]
                found.flat[n] = nearest.curve.r(np.array([z.flat[n]]))[0]
        return found

    def holders(
        self, strip: Strip, *, with_stock: bool
    ) -> list[tuple[Piece, tuple[float, float] | None]]:
        """The pieces that a strip belongs to, each with its angles on the slanted cut."""
        found = []
        for sector, ends in self.ring.stretches(strip.owner):
            known = parting(self.ring, strip.owner, ends, with_stock=with_stock)
            angle = 0.0 if ends is None else 0.5 * (ends[0] + ends[1])
            number = known.number(angle, strip.region)
            if number >= 0:
                found.append((Piece(strip.owner, number, sector), ends))
        return found


def face(ring: Ring, side: Side, *, with_stock: bool = False) -> Face:
    """A side of a ring, worked out once for the ring."""
    found: Face = ring.once(("face", side, with_stock), _face, ring, side, with_stock)
    return found


def _face(ring: Ring, side: Side, with_stock: bool) -> Face:
    band = ring.form.band
    angles = np.zeros(1)
    if ring.turns:
        angles = np.linspace(0.0, 2 * pi, WAVES_SEEN * fastest(ring), endpoint=False)
    if ring.form.taper is not None:
        angles = np.sort(np.concatenate([angles, ring.form.taper.angles]))
    groups = ring.sections(angles, with_stock=with_stock)
    strips = _strips(groups[0][1], side)
    for _, section in groups[1:]:
        strips = _common(strips, _strips(section, side))
    return Face(
        ring=ring,
        side=side,
        radius_mm=band.crest_mm if side == "outside" else band.bore_mm,
        out=1 if side == "outside" else -1,
        strips=tuple(sorted(strips, key=lambda strip: strip.low_mm)),
    )


def _strips(section: Section, side: Side) -> list[Strip]:
    """Strips of a section, each as narrow as it becomes at any of its angles."""
    runs: list[tuple[Strip, int]] = []
    for column, numbers in enumerate(section.columns):
        index = _outermost(section, column, numbers, side)
        if index is None:
            continue
        cell = section.cells[index]
        chain, under = (cell.high, cell.low) if side == "outside" else (cell.low, cell.high)
        owner = cell.owners[0]
        regions = regions_of(section, owner.metal)
        region = next((k for k, held in enumerate(regions) if index in held), -1)
        low, high = section.cuts[column], section.cuts[column + 1]
        shown, floor = section.curve(chain, column), section.curve(under, column)
        if isinstance(shown, Turned):
            if not shown.steady:
                continue
            shown = shown.each[0]
        if isinstance(floor, Turned):
            floor = floor.nearest(shown.at(section.middle(column), 0))
        strip = Strip(
            low_mm=float(low.max()),
            high_mm=float(high.min()),
            owner=owner,
            region=region,
            curve=shown,
            floors=(Floor(float(low.min()), float(high.max()), floor),),
        )
        if runs:
            before, last = runs[-1]
            if last == column - 1 and before.key() == strip.key():
                floors = before.floors + strip.floors
                runs[-1] = replace(before, high_mm=strip.high_mm, floors=floors), column
                continue
        runs.append((strip, column))
    return [strip for strip, _ in runs if strip.high_mm - strip.low_mm > NOTHING_MM]


def _outermost(section: Section, column: int, numbers: list[int], side: Side) -> int | None:
    """The cell that shows on a side of a column; None where there is none."""

    def height(index: int) -> float:
        cell: Cell = section.cells[index]
        chain = cell.high if side == "outside" else cell.low
        return section.middle_r(chain, column)

    seen = [n for n in numbers if section.cells[n].owners[0].kind != "recess"]
    if not seen:
        return None
    return max(seen, key=height) if side == "outside" else min(seen, key=height)


def _common(ours: list[Strip], others: list[Strip]) -> list[Strip]:
    """Where two sections show the same metal on the same curve."""
    found = []
    for one in ours:
        for other in others:
            low, high = max(one.low_mm, other.low_mm), min(one.high_mm, other.high_mm)
            same = one.owner == other.owner and one.curve.key == other.curve.key
            if same and high - low > NOTHING_MM:
                floors = one.floors + other.floors
                found.append(replace(one, low_mm=low, high_mm=high, floors=floors))
    return found
