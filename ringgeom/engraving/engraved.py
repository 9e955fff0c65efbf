"""Everything engraved on a ring in its place: letters unrolled on their face, metal they take."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import tau

import numpy as np

from ringgeom.engraving.asked import AnyEngraving, Lettering, MarkBox
from ringgeom.engraving.face import Face, face
from ringgeom.engraving.figures import Figures
from ringgeom.engraving.graved import Line
from ringgeom.engraving.on_face import CutIn
from ringgeom.engraving.relief import Relief, beds, removed_mm3
from ringgeom.engraving.row import Row
from ringgeom.engraving.shape import Loop, Shape
from ringgeom.engraving.stroke import line
from ringgeom.form.pieces import Piece
from ringgeom.form.ring import Ring

Set = Row | Figures
"""A text as it is set, or a figure as it is drawn."""

Box = tuple[float, float, float, float]
"""Least and largest x, then least and largest z [mm]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Carved:
    """Shapes of one depth."""

    relief: Relief
    shapes: tuple[Shape, ...]


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
    figures: Figures | None
    removed: tuple[tuple[Piece, float], ...]
    cast_removed: tuple[tuple[Piece, float], ...]

    @property
    def words(self) -> str:
        """What it is called in a sentence."""
        return self.asked.words

    @property
    def cast_in(self) -> bool:
        """Whether the castings and waxes have it too."""
        return not isinstance(self.asked, MarkBox) and self.asked.cast_in

    @property
    def raised(self) -> bool:
        """Whether it stands on the face."""
        return isinstance(self.asked, Lettering) and self.asked.raised

    @property
    def deepest_mm(self) -> float:
        """Largest depth asked for; 0 for what cuts nothing or stands above its face."""
        return max((c.relief.depth_mm for c in self.carved if not c.relief.raised), default=0.0)

    @property
    def tallest_mm(self) -> float:
        """Height of what stands above its face."""
        return max((c.relief.depth_mm for c in self.carved if c.relief.raised), default=0.0)

    @cached_property
    def copies(self) -> tuple[tuple[Shape, ...], ...]:
        """The letters of every repetition, the shapes of a figure one by one, unrolled on the
        face; the box of a mark."""
        if isinstance(self.asked, MarkBox):
            return ((_box(self.asked, self.face),),)
        if isinstance(self.asked, Lettering):
            assert self.row is not None
            return placed(self.asked, self.row, self.face)
        assert self.figures is not None
        return tuple((cut.shape,) for cut in self.figures.cuts)

    @cached_property
    def carved(self) -> tuple[Carved, ...]:
        """The same by their depth; nothing for a mark."""
        if isinstance(self.asked, MarkBox):
            return ()
        if isinstance(self.asked, Lettering):
            return (_written(self.asked, self.copies),)
        assert self.figures is not None
        return _drawn(self.asked, self.figures)

    @cached_property
    def lines(self) -> tuple[Line, ...]:
        """Middles of the cuts of what is cut in single lines, on the unrolled face."""
        if self.figures is not None:
            return self.figures.lines
        if self.row is None:
            return ()
        assert isinstance(self.asked, Lettering)
        flip = np.diag([float(reading_way(self.asked, self.face)), 1.0])
        shifts = [(self.face.radius_mm * a, self.asked.centre_mm) for a in turns(self.asked)]
        return tuple(
            tuple(s.moved(flip, shift) for s in one) for shift in shifts for one in self.row.lines
        )

    @cached_property
    def boxes_mm(self) -> tuple[Box, ...]:
        """Of every copy, on the unrolled face."""
        if self.row is None:
            return tuple(copy[0].bounds_mm for copy in self.copies)
        return tuple(self._laid([self.row.bounds_mm]))

    @cached_property
    def letters_mm(self) -> tuple[Box, ...]:
        """Of every letter or figure of every copy, on the unrolled face."""
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
        if not self.raised or self.asked.on != "outside":
            return 0.0
        deep = self.carved[0].relief
        if (flat := deep.flat_mm(self.face)) is not None:
            return flat
        *_, low, high = self.boxes_mm[0]
        return float(self.face.r(np.linspace(low, high, 129)).max()) + deep.depth_mm

    @cached_property
    def stretches(self) -> tuple[tuple[Relief, float, float], ...]:
        """Depths with the z between which each is cut, alike ones once."""
        if self.figures is None:
            *_, low, high = self.boxes_mm[0]
            return tuple((one.relief, low, high) for one in self.carved)
        found = {
            (one.relief, round(bounds[2], 9), round(bounds[3], 9)): None
            for one in self.carved
            for bounds in (shape.bounds_mm for shape in one.shapes)
        }
        return tuple(found)

    @property
    def removed_mm3(self) -> float:
        """Metal that it takes in all [mm^3]; less than nothing where it stands on the face."""
        return sum(volume for _, volume in self.removed)


def taken_mm3(found: Sequence[Engraved], *, cast: bool = False) -> dict[Piece, float]:
    """What all engravings take off each piece; with `cast`, what is left out of the castings."""
    taken: dict[Piece, float] = {}
    for one in found:
        for piece, volume in one.cast_removed if cast else one.removed:
            taken[piece] = taken.get(piece, 0.0) + volume
    return taken


def engraved(
    ring: Ring, asked: Sequence[AnyEngraving], rows: Sequence[Set | None]
) -> tuple[Engraved, ...]:
    """Every engraving of a design laid on its ring.

    Parameters
    ----------
    rows : sequence of Row, Figures or None
        The text of every lettering as it is set, every figure as it is drawn.
    """
    return tuple(
        _engraved(ring, number, one, row)
        for number, (one, row) in enumerate(zip(asked, rows, strict=True))
    )


def _engraved(ring: Ring, number: int, asked: AnyEngraving, row: Set | None) -> Engraved:
    side = face(ring, asked.on)
    carved: tuple[Carved, ...] = ()
    times = 1
    if isinstance(asked, Lettering):
        assert isinstance(row, Row)
        # on a face that is the same all round one copy tells of all
        alike = not ring.knots()
        carved = (_written(asked, placed(asked, row, side, first_only=alike)),)
        times = asked.repeat if alike else 1
    elif not isinstance(asked, MarkBox):
        assert isinstance(row, Figures)
        carved = _drawn(asked, row)
    removed: dict[Piece, float] = {}
    cast_removed: dict[Piece, float] = {}
    for one in carved:
        _add(removed, removed_mm3(side, list(beds(side, one.relief)), one.shapes), times)
        if not isinstance(asked, MarkBox) and asked.cast_in:
            cast = face(ring, asked.on, with_stock=True)
            bedded = list(beds(side, one.relief, cast=cast))
            _add(cast_removed, removed_mm3(cast, bedded, one.shapes, with_stock=True), times)
    return Engraved(
        number=number,
        asked=asked,
        face=side,
        row=row if isinstance(row, Row) else None,
        figures=row if isinstance(row, Figures) else None,
        removed=tuple(sorted(removed.items())),
        cast_removed=tuple(sorted(cast_removed.items())),
    )


def _carved(
    asked: Lettering | CutIn, depth_mm: float, shapes: tuple[Shape, ...], *, raised: bool = False
) -> Carved:
    deep = Relief(depth_mm=depth_mm, raised=raised, floor=asked.floor, middle_mm=asked.centre_mm)
    return Carved(relief=deep, shapes=shapes)


def _add(sums: dict[Piece, float], found: dict[Piece, float], times: int) -> None:
    for piece, volume in found.items():
        sums[piece] = sums.get(piece, 0.0) + times * volume


def _written(asked: Lettering, copies: tuple[tuple[Shape, ...], ...]) -> Carved:
    shapes = tuple(shape for copy in copies for shape in copy)
    return _carved(asked, asked.depth_mm, shapes, raised=asked.raised)


def _drawn(asked: CutIn, figures: Figures) -> tuple[Carved, ...]:
    depths = dict.fromkeys(cut.depth_mm for cut in figures.cuts)
    return tuple(
        _carved(asked, d, tuple(cut.shape for cut in figures.cuts if cut.depth_mm == d))
        for d in depths
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
