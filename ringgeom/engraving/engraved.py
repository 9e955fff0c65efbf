"""Everything engraved on a ring in its place: letters unrolled on their face, metal they take."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import cos, sin, tau

import numpy as np

from ringgeom.engraving.asked import AnyEngraving, Lettering, MarkBox
from ringgeom.engraving.face import Face, face
from ringgeom.engraving.relief import Relief, beds, removed_mm3
from ringgeom.engraving.row import Row
from ringgeom.engraving.shape import Loop, Shape
from ringgeom.engraving.stroke import line
from ringgeom.form.pieces import Piece
from ringgeom.form.ring import Ring

Box = tuple[float, float, float, float]
"""Least and largest x, then least and largest z [mm]."""


@dataclass(frozen=True, kw_only=True)
class Engraved:
    """One engraving of a design on its ring.

    Attributes
    ----------
    number : int
        Its place in the design's list.
    removed : tuple of (Piece, float)
        What it takes from each piece of the finished ring [mm3]; less than 0 is added.
    cast_removed : tuple of (Piece, float)
        The same of the pieces with their stock, if it is cast in.
    """

    number: int
    asked: AnyEngraving
    face: Face
    row: Row | None
    removed: tuple[tuple[Piece, float], ...]
    cast_removed: tuple[tuple[Piece, float], ...]

    @property
    def relief(self) -> Relief | None:
        """How deep it goes; None for what cuts nothing."""
        return relief(self.asked) if isinstance(self.asked, Lettering) else None

    @cached_property
    def copies(self) -> tuple[tuple[Shape, ...], ...]:
        """The letters of every repetition, unrolled on the face; the box of a mark."""
        if isinstance(self.asked, MarkBox):
            return ((_box(self.asked, self.face),),)
        assert self.row is not None
        return placed(self.asked, self.row, self.face)

    @cached_property
    def boxes_mm(self) -> tuple[Box, ...]:
        """Of every copy, on the unrolled face."""
        if self.row is None:
            return (self.copies[0][0].bounds_mm,)
        return tuple(self._laid([self.row.bounds_mm]))

    @cached_property
    def letters_mm(self) -> tuple[Box, ...]:
        """Of every letter of every copy, on the unrolled face."""
        if self.row is None:
            return self.boxes_mm
        return tuple(self._laid([shape.bounds_mm for shape in self.row.shapes]))

    def _laid(self, boxes: Sequence[Box]) -> Iterator[Box]:
        """Boxes of the row, in every place where it stands."""
        assert isinstance(self.asked, Lettering)
        across, way = self.asked.centre_mm, reading_way(self.asked, self.face)
        for angle in turns(self.asked):
            middle = self.face.radius_mm * angle
            for x0, x1, y0, y1 in boxes:
                low, high = sorted((middle + way * x0, middle + way * x1))
                yield low, high, y0 + across, y1 + across

    @property
    def top_mm(self) -> float:
        """Largest radius of letters that stand on the outside [mm]; 0 without."""
        deep = self.relief
        if deep is None or not deep.raised or self.asked.on != "outside":
            return 0.0
        if (flat := deep.flat_mm(self.face)) is not None:
            return flat
        *_, low, high = self.boxes_mm[0]
        return float(self.face.r(np.linspace(low, high, 129)).max()) + deep.depth_mm

    @property
    def removed_mm3(self) -> float:
        return sum(volume for _, volume in self.removed)


def taken_mm3(found: Sequence[Engraved], *, cast: bool = False) -> dict[Piece, float]:
    """What all engravings take off each piece; with `cast`, what is left out of the castings."""
    taken: dict[Piece, float] = {}
    for one in found:
        for piece, volume in one.cast_removed if cast else one.removed:
            taken[piece] = taken.get(piece, 0.0) + volume
    return taken


def relief(asked: Lettering) -> Relief:
    """How deep a lettering goes."""
    return Relief(
        depth_mm=asked.depth_mm,
        raised=asked.raised,
        floor=asked.floor,
        middle_mm=asked.centre_mm,
    )


def engraved(
    ring: Ring, asked: Sequence[AnyEngraving], rows: Sequence[Row | None]
) -> tuple[Engraved, ...]:
    """Every engraving of a design laid on its ring.

    Parameters
    ----------
    rows : sequence of Row or None
        The text of every lettering as it is set.
    """
    return tuple(
        _engraved(ring, number, one, row)
        for number, (one, row) in enumerate(zip(asked, rows, strict=True))
    )


def _engraved(ring: Ring, number: int, asked: AnyEngraving, row: Row | None) -> Engraved:
    side = face(ring, asked.on)
    removed: dict[Piece, float] = {}
    cast_removed: dict[Piece, float] = {}
    if isinstance(asked, Lettering):
        assert row is not None
        alike = not ring.knots()
        # on a face that is the same all round one copy tells of all
        copies = placed(asked, row, side, first_only=alike)
        shapes = [shape for copy in copies for shape in copy]
        times = asked.repeat if alike else 1
        deep = relief(asked)
        found = removed_mm3(side, list(beds(side, deep)), shapes)
        removed = {piece: times * volume for piece, volume in found.items()}
        if asked.cast_in:
            cast = face(ring, asked.on, with_stock=True)
            bedded = list(beds(side, deep, cast=cast))
            found = removed_mm3(cast, bedded, shapes, with_stock=True)
            cast_removed = {piece: times * volume for piece, volume in found.items()}
    return Engraved(
        number=number,
        asked=asked,
        face=side,
        row=row,
        removed=tuple(sorted(removed.items())),
        cast_removed=tuple(sorted(cast_removed.items())),
    )


def turns(asked: Lettering) -> tuple[float, ...]:
    """Angle of the middle of every repetition [rad]."""
    return tuple(asked.angle + tau * n / asked.repeat for n in range(asked.repeat))


def reading_way(asked: Lettering, side: Face) -> int:
    """+1 where a text reads to larger angles, seen from without; -1 where to smaller ones."""
    return side.out * (-1 if asked.mirrored else 1)


def placed(
    asked: Lettering, row: Row, side: Face, *, first_only: bool = False
) -> tuple[tuple[Shape, ...], ...]:
    """The letters of every repetition on the unrolled face, seen from without.

    On the outside a text reads to larger angles, with the right edge up; in the bore to
    smaller ones, so that it reads upright to who looks into the ring from its right edge.
    """
    flip = np.diag([float(reading_way(asked, side)), 1.0])
    return tuple(
        tuple(shape.mapped(flip, (side.radius_mm * angle, asked.centre_mm)) for shape in row.shapes)
        for angle in turns(asked)[: 1 if first_only else None]
    )


def _box(asked: MarkBox, side: Face) -> Shape:
    x, y = side.radius_mm * asked.angle, asked.centre_mm
    wide, high = asked.width_mm / 2, asked.height_mm / 2
    corners = [
        (x - wide, y - high),
        (x + wide, y - high),
        (x + wide, y + high),
        (x - wide, y + high),
    ]
    loop: Loop = tuple(line(a, b) for a, b in zip(corners, corners[1:] + corners[:1], strict=True))
    return Shape((loop,))


def on_ring(side: Face, x_mm: float, z_mm: float, r_mm: float) -> tuple[float, float, float]:
    """A point of the unrolled face in space [mm]."""
    angle = x_mm / side.radius_mm
    return r_mm * cos(angle), r_mm * sin(angle), z_mm
