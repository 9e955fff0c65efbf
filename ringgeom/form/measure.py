"""What feeding and joining need of a part: its heaviest section, its surface, where it is thick.

Read from the same partition as the volumes, at the angle where the section is largest.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import pi

import numpy as np

from ringgeom.errors import ShapeError
from ringgeom.form.curve import Arc, Array, Curve, Whole
from ringgeom.form.outline import Edge, Region, outlines
from ringgeom.form.pieces import Piece, parting, region_of, regions_of
from ringgeom.form.quadrature import full_turn, kinks
from ringgeom.form.ring import Ring, sector_ends
from ringgeom.form.section import Section
from ringgeom.form.stand import Stand, stand_on
from ringgeom.form.turned import Turned


@dataclass(frozen=True, slots=True, kw_only=True)
class Build:
    """Measures of one part for casting.

    Attributes
    ----------
    area_mm2, perimeter_mm : float
        Of the heaviest section.
    length_mm : float
        Of the part round the ring, at the centroid of that section.
    ends : int
        Faces cut across the ring: 0 for a closed ring, 2 for a segment.
    stand : Stand
        Where its sprue stands.
    turn : float
        The angle that it spans [rad].
    twist, crest_mm : float
        Of its joints, change of angle over the width [rad/mm]; and the radius of the outside.
    """

    area_mm2: float
    perimeter_mm: float
    length_mm: float
    ends: int
    stand: Stand
    turn: float = 2 * pi
    twist: float = 0.0
    crest_mm: float = 1.0

    def square_at(self, lengths_mm: Array, radii_mm: Array) -> Array:
        """Length of a segment square between its joints, where its sprue stands [mm].

        Parameters
        ----------
        lengths_mm, radii_mm : Array
            At each finger size, its length round the ring and the radius of its stand; the
            slant is the same on the outside at all of them.
        """
        rise = radii_mm - self.stand.radius_mm
        turn = lengths_mm / (self.length_mm / self.turn + rise)
        lean = radii_mm * self.twist * self.crest_mm / (self.crest_mm + rise)
        return radii_mm * turn / np.hypot(1.0, lean)

    @property
    def modulus_mm(self) -> float:
        """Volume over surface [mm]; for a closed ring area over perimeter of its section."""
        return float(self.modulus_at(np.array([self.length_mm]))[0])

    def modulus_at(self, lengths_mm: Array) -> Array:
        """The modulus of the same section at other lengths round the ring [mm]."""
        surface = self.perimeter_mm * lengths_mm + self.ends * self.area_mm2
        found: Array = self.area_mm2 * lengths_mm / surface
        return found


def build(ring: Ring, piece: Piece, *, with_stock: bool) -> Build:
    """Measures of a piece at its heaviest section, and where it can be fed."""
    found: Build = ring.once(("build", piece, with_stock), _build, ring, piece, with_stock)
    return found


def _build(ring: Ring, piece: Piece, with_stock: bool) -> Build:
    turn, _ = _turn(ring, piece)
    section, region, best = _heaviest(ring, piece, with_stock)
    area = sum(section.area(section.cells[i]) for i in region)
    moment = sum(float(section.moment(section.cells[i])[0]) for i in region)
    edges = outlines(section)
    perimeter = sum(_length(edge) for loop in edges.loops(region, section.seen) for edge, _ in loop)
    return Build(
        area_mm2=area,
        perimeter_mm=perimeter,
        length_mm=turn * moment / area,
        ends=0 if piece.sector is None else 2,
        stand=stand_on(section, region, edges, best, ring),
        turn=turn,
        twist=ring.twist,
        crest_mm=ring.form.band.crest_mm,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Extent:
    """What a calliper reads on a piece [mm]: smallest bore, largest outside, width."""

    bore_mm: float
    outside_mm: float
    width_mm: float

    def scaled(self, by: float) -> Extent:
        """The same measures, so many times as large."""
        return Extent(
            bore_mm=self.bore_mm * by, outside_mm=self.outside_mm * by, width_mm=self.width_mm * by
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Plate:
    """One of many pieces that a part is: along the ring, across it, and radially [mm]."""

    long_mm: float
    wide_mm: float
    thick_mm: float

    def scaled(self, by: float) -> Plate:
        """The same measures, so many times as large."""
        return Plate(
            long_mm=self.long_mm * by, wide_mm=self.wide_mm * by, thick_mm=self.thick_mm * by
        )


def extent(ring: Ring, piece: Piece, *, with_stock: bool) -> Extent:
    """Diameters and width of a piece, at their extremes round the ring."""
    found: Extent = ring.once(("extent", piece, with_stock), _extent, ring, piece, with_stock)
    return found


def _extent(ring: Ring, piece: Piece, with_stock: bool) -> Extent:
    low, high, left, right = np.inf, -np.inf, np.inf, -np.inf
    _, angles = _turn(ring, piece)
    for section, column, region in _regions(ring, piece, angles, with_stock):
        for cell in (section.cells[i] for i in region):
            start, end = section.cuts[cell.column][column], section.cuts[cell.column + 1][column]
            left, right = min(left, float(start.min())), max(right, float(end.max()))
            # a curve's extreme lies at the ends of its column or at its crest
            inner, outer = (section.curve(i, cell.column) for i in (cell.low, cell.high))
            for z in (start, end):
                low = min(low, float(_at(inner, z, column).min()))
                high = max(high, float(_at(outer, z, column).max()))
            if (crest := _crest(inner, column)) is not None:
                low = min(low, float(_at(inner, np.clip(crest, start, end), column).min()))
            if (crest := _crest(outer, column)) is not None:
                high = max(high, float(_at(outer, np.clip(crest, start, end), column).max()))
    return Extent(bore_mm=2 * low, outside_mm=2 * high, width_mm=right - left)


def _regions(
    ring: Ring, piece: Piece, angles: Array, with_stock: bool
) -> Iterator[tuple[Section, Whole, Region]]:
    """Where a piece is seen: section, the columns of its angles, region."""
    ends = ring.ends(piece.owner, piece.sector)
    known = parting(ring, piece.owner, ends, with_stock=with_stock)
    for which, section in ring.sections(angles, with_stock=with_stock):
        stretches = known.stretch(angles[which])
        for k, region in enumerate(regions_of(section, piece.owner.metal)):
            numbers = np.array([n[k] if k < len(n) else -1 for n in known.numbers])[stretches]
            columns = np.flatnonzero(numbers == piece.number)
            if columns.size:
                yield section, columns if section.turns else np.zeros(1, dtype=np.intp), region


def _crest(curve: Curve, columns: Whole) -> Array | None:
    """z of an arc's crest, one for each of some angles or for all; None of other curves."""
    if isinstance(curve, Turned):
        return curve.crests_mm(columns)
    return np.array([curve.z_mm]) if isinstance(curve, Arc) else None


def _at(curve: Curve, z: Array, columns: Whole) -> Array:
    """A curve's radius at z, one for each of some angles."""
    return curve.picked(columns).r(np.asarray(z, dtype=float))


def _turn(ring: Ring, piece: Piece) -> tuple[float, Array]:
    """The angle that a piece spans at most, and angles to look at it."""
    if piece.sector is None:
        angles = full_turn(ring, kinks(ring, with_stock=True))[0]
        if ring.form.taper is not None:
            # what is largest is so at a station, where no weight of the quadrature lies
            angles = np.sort(np.concatenate([angles, ring.form.taper.angles]))
        return 2 * pi, angles
    start, end = sector_ends(ring.claims[piece.owner.claim], piece.sector)
    return end - start, start + (end - start) * np.array([0.5] if not ring.turns else SPREAD)


SPREAD = np.linspace(0.0, 1.0, 129)

SAME_SHARE = 1e-9
"""Two sections whose moments differ by less than this share are equally heavy."""


def _heaviest(ring: Ring, piece: Piece, with_stock: bool) -> tuple[Section, Region, float]:
    """The section, region and angle at which a piece has the most metal."""
    best = heaviest_angle(ring, piece, with_stock=with_stock)
    ((_, section),) = ring.sections(np.array([best]), with_stock=with_stock)
    found = region_of(ring, piece, section, with_stock=with_stock)
    if found is None:
        raise ShapeError("a piece is too thin to be measured")
    return section, found, best


def heaviest_angle(ring: Ring, piece: Piece, *, with_stock: bool) -> float:
    """The angle of the cut at which a piece has the most metal [rad].

    Raises
    ------
    ShapeError
        The piece is nowhere to be seen.
    """
    _, angles = _turn(ring, piece)
    best, largest = None, -1.0
    for section, columns, region in _regions(ring, piece, angles, with_stock):
        moments = np.broadcast_to(
            sum(section.moment(section.cells[i]) for i in region), section.angles.shape
        )[columns]
        # of places that are equally heavy the first, not the one that rounding makes heavier
        at = int(np.argmax(moments >= moments.max() * (1 - SAME_SHARE)))
        if float(moments[at]) > largest * (1 + SAME_SHARE):
            seen = columns[at] if section.turns else 0
            best, largest = float(section.angles[seen]), float(moments[at])
    if best is None:
        raise ShapeError("a piece is too short round the ring to be measured")
    if piece.sector is not None and not ring.turns:
        best = float(angles[0])
    return best


def _length(edge: Edge) -> float:
    if edge.curve is None:
        return abs(float(edge.end.r[0] - edge.start.r[0]))
    return edge.curve.length_mm(float(edge.start.z[0]), float(edge.end.z[0]))
