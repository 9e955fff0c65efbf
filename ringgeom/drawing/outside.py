"""The outside of a ring unrolled as areas of metal, seen from without; angle 0 at both ends.

z |####~~~~~~~~~~~####  body
  |~~~~  inlay  ~~~~~~
  +------------------> s = outside radius x angle
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from math import floor

from ringgeom.engraving.shape import Shape
from ringgeom.form.claim import Claim, Wall
from ringgeom.form.ring import sector_ends
from ringgeom.making.part import Finished
from ringgeom.making.roll import Point, Roll
from ringgeom.sketch import Sketch

LETTER_CHORD_MM = 0.02
"""How far a drawn letter may be from its outline: less than a dot of the screen."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Patch:
    """One part on the outside: areas [mm]; a later patch lies over the ones before it."""

    part: Finished
    areas: tuple[tuple[Point, ...], ...]


def outside_patches(sketch: Sketch) -> tuple[Patch, ...]:
    """What is seen of each part from without, to be laid one over the other in this order."""
    ring = sketch.ring
    if ring is None:
        return ()
    roll = Roll(form=ring.form, level=True)
    whole = (*_side(None, roll, -1), *reversed(_side(None, roll, 1)))
    bodies = [part for part in sketch.parts if part.place is None]
    found = [Patch(part=part, areas=(whole,)) for part in bodies[:1]]
    # parts take their place in the order written: what is written first is laid on last
    for place, claim in reversed(tuple(enumerate(ring.claims))):
        if claim.drawn or claim.takes.ceiling_mm is not None:
            continue
        mine = [part for part in sketch.parts if part.place == place]
        if claim.sectors is not None and claim.sectors.count > 1:
            found += [
                Patch(part=part, areas=tuple(_segment(roll, claim, part.piece.sector or 0)))
                for part in mine
            ]
        else:
            strip = tuple(_strip(claim, roll))
            found += [Patch(part=part, areas=(strip,)) for part in mine[:1]]
    by_piece = {part.piece: part for part in sketch.parts}
    for one in sketch.insets:
        shapes = [shape for copy in one.cut.pieces for shape in copy]
        areas = tuple(_once_round(shapes, one.face.around_mm))
        found.append(Patch(part=by_piece[one.piece], areas=areas))
    return tuple(found)


def outside_letters(sketch: Sketch) -> tuple[tuple[Point, ...], ...]:
    """Outlines of what is engraved on the outside or stands on it, once round [mm].

    A letter that crosses angle 0 is there twice, at both ends.
    """
    found: list[tuple[Point, ...]] = []
    for one in sketch.engraved:
        if one.asked.on != "outside" or (one.row is None and one.figures is None):
            continue
        shapes = [shape for copy in one.copies for shape in copy]
        found += _once_round(shapes, one.face.around_mm)
    return tuple(found)


def pockets_once_round(sketch: Sketch) -> Iterator[tuple[Point, ...]]:
    """Outlines of the pockets of all motif inlays, once round [mm]."""
    for one in sketch.insets:
        yield from _once_round(one.cut.pockets, one.face.around_mm)


def _once_round(shapes: Iterable[Shape], around: float) -> Iterator[tuple[Point, ...]]:
    """Outlines of shapes; one that crosses angle 0 is there twice, at both ends."""
    for shape in shapes:
        low, high, *_ = shape.bounds_mm
        first = -floor(low / around)
        turns = [first] if high + first * around <= around else [first, first - 1]
        for loop in shape.polylines(LETTER_CHORD_MM):
            for turn in turns:
                yield tuple((x + turn * around, y) for x, y in loop.tolist())


def _strip(claim: Claim, roll: Roll) -> Iterator[Point]:
    """Between the two walls of a place, once round."""
    yield from _side(claim.takes.left, roll, -1)
    yield from reversed(_side(claim.takes.right, roll, 1))


def _side(wall: Wall | None, roll: Roll, out: int) -> list[Point]:
    """A wall within the band, or the band's edge."""
    if wall is None:
        return [(s, out * half) for s, half in roll.edge()]
    found = []
    for s, z in roll.wall(wall):
        half = roll.half(s / roll.radius_mm)
        found.append((s, max(-half, min(half, z))))
    return found


def _segment(roll: Roll, claim: Claim, number: int) -> Iterator[tuple[Point, ...]]:
    """A segment, and the same one turn before and after, where it lies across angle 0."""
    assert claim.sectors is not None
    first, last = sector_ends(claim, number)
    lean = roll.radius_mm * claim.sectors.twist * roll.form.band.half_mm
    around = roll.around_mm
    a, b = roll.s(first), roll.s(last)
    upper = [(a, roll.half(first)), *(p for p in roll.edge() if a < p[0] < b), (b, roll.half(last))]
    for turn in (-around, 0.0, around):
        if b + turn + abs(lean) > 0 and a + turn - abs(lean) < around:
            low = [(s + turn - lean, -half) for s, half in upper]
            yield (*low, *((s + turn + lean, half) for s, half in reversed(upper)))
