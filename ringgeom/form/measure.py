"""What feeding and joining need of a part: its heaviest section, its surface, where it is thick.

Read from the same partition as the volumes, at the angle where the section is largest.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi

import numpy as np

from ringgeom.form.curve import Array, Curve
from ringgeom.form.outline import Edge, Outlines, Region, outlines
from ringgeom.form.quadrature import full_turn
from ringgeom.form.ring import Ring, sector_ends
from ringgeom.form.section import Section
from ringgeom.form.volume import Piece, pieces


@dataclass(frozen=True, slots=True, kw_only=True)
class Stand:
    """Where a sprue can stand: the widest thick run of a part's upper side.

    `radius_mm` at the run's middle, `depth_mm` of metal under it, `curve` its surface,
    `angle` round the ring.
    """

    z_mm: float
    width_mm: float
    radius_mm: float
    depth_mm: float
    curve: Curve
    angle: float


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
    """

    area_mm2: float
    perimeter_mm: float
    length_mm: float
    ends: int
    stand: Stand

    @property
    def modulus_mm(self) -> float:
        """Volume over surface [mm]; for a closed ring area over perimeter of its section."""
        surface = self.perimeter_mm * self.length_mm + self.ends * self.area_mm2
        return self.area_mm2 * self.length_mm / surface


def build(ring: Ring, piece: Piece, *, with_stock: bool) -> Build:
    """Measures of a piece at its heaviest section, and where it can be fed."""
    turn, angle = _turn(ring, piece)
    section, region = _heaviest(ring, piece, angle, with_stock)
    area = sum(section.area(section.cells[i]) for i in region)
    moment = sum(float(section.moment(section.cells[i])[0]) for i in region)
    edges = outlines(section)
    perimeter = sum(_length(edge) for loop in edges.loops(region, section.seen) for edge, _ in loop)
    return Build(
        area_mm2=area,
        perimeter_mm=perimeter,
        length_mm=turn * moment / area,
        ends=0 if piece.sector is None else 2,
        stand=_stand(section, region, edges, float(section.angles[0]), ring.twist),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Extent:
    """What a calliper reads on a piece [mm]: smallest bore, largest outside, width."""

    bore_mm: float
    outside_mm: float
    width_mm: float

    def scaled(self, by: float) -> Extent:
        return Extent(
            bore_mm=self.bore_mm * by, outside_mm=self.outside_mm * by, width_mm=self.width_mm * by
        )


def extent(ring: Ring, piece: Piece, *, with_stock: bool) -> Extent:
    """Diameters and width of a piece, at their extremes round the ring."""
    low, high, left, right = np.inf, -np.inf, np.inf, -np.inf
    _, angles = _turn(ring, piece)
    for _, section in ring.sections(angles, with_stock=with_stock):
        found = pieces(section, piece.owner)
        if piece.number >= len(found):
            continue
        for cell in (section.cells[i] for i in found[piece.number]):
            start, end = section.cuts[cell.column], section.cuts[cell.column + 1]
            left, right = min(left, float(start.min())), max(right, float(end.max()))
            # a curve's extreme lies at the ends of its column or at mid-width, its crest
            for z in (start, end, np.clip(0.0, start, end)):
                low = min(low, float(section.curve(cell.low, cell.column).r(z).min()))
                high = max(high, float(section.curve(cell.high, cell.column).r(z).max()))
    return Extent(bore_mm=2 * low, outside_mm=2 * high, width_mm=right - left)


def _turn(ring: Ring, piece: Piece) -> tuple[float, Array]:
    """The angle that a piece spans, and angles to look for its heaviest section at."""
    if piece.sector is None:
        return 2 * pi, full_turn(ring, np.empty(0))[0]
    start, end = sector_ends(ring.claims[piece.owner.claim], piece.sector)
    return end - start, start + (end - start) * np.array([0.5] if not ring.waves else SPREAD)


SPREAD = np.linspace(0.1, 0.9, 17)


def _heaviest(ring: Ring, piece: Piece, angles: Array, with_stock: bool) -> tuple[Section, Region]:
    best, largest = float(angles[0]), -1.0
    for which, section in ring.sections(angles, with_stock=with_stock):
        found = pieces(section, piece.owner)
        if piece.number < len(found):
            moments = sum(section.moment(section.cells[i]) for i in found[piece.number])
            at = int(np.argmax(moments))
            if float(np.max(moments)) > largest * (1 + 1e-9):
                best, largest = float(angles[which[at]]), float(np.max(moments))
    section = ring.sections(np.array([best]), with_stock=with_stock)[0][1]
    return section, pieces(section, piece.owner)[piece.number]


def _length(edge: Edge) -> float:
    if edge.curve is None:
        return abs(float(edge.end.r[0] - edge.start.r[0]))
    return edge.curve.length_mm(float(edge.start.z[0]), float(edge.end.z[0]))


def _stand(section: Section, region: Region, edges: Outlines, angle: float, twist: float) -> Stand:
    """The upper edge over the most metal; of equals the widest."""
    best: tuple[float, float] = (-1.0, -1.0)
    stand = None
    for edge in edges.edges:
        if edge.curve is None or not any(cell in region for cell in edge.left):
            continue
        if any(cell in region for cell in edge.right):
            continue
        start, end = float(edge.start.z[0]), float(edge.end.z[0])
        middle = np.array([0.5 * (start + end)])
        top = float(edge.curve.r(middle)[0])
        depth = top - _under(section, region, float(middle[0]), top)
        rank = (round(depth, 3), end - start)
        if rank > best:
            best = rank
            stand = Stand(
                z_mm=float(middle[0]),
                width_mm=end - start,
                radius_mm=top,
                depth_mm=depth,
                curve=edge.curve,
                angle=angle + twist * float(middle[0]),
            )
    assert stand is not None
    return stand


def _under(section: Section, region: Region, z: float, top: float) -> float:
    """Radius down to which the region is solid below a point of its upper edge [mm]."""
    at = np.array([z])
    for i in region:
        cell = section.cells[i]
        low, high = (float(section.cuts[cell.column + side, 0]) for side in (0, 1))
        if low <= z <= high:
            ends = [float(section.curve(c, cell.column).r(at)[0]) for c in (cell.low, cell.high)]
            if abs(ends[1] - top) < 1e-6:
                return ends[0]
    return top
