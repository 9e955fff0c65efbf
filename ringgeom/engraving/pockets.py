"""Pockets and inserts of a motif inlay round the ring, unrolled: every copy in its place."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from math import sqrt
from pathlib import Path

import numpy as np

from ringgeom.engraving.figures import drawing_of, repeat_of
from ringgeom.engraving.flat import extent_mm
from ringgeom.engraving.inlay import Inlay, inlay
from ringgeom.engraving.laid_out import Place, Repeat, between_mm, laid_out
from ringgeom.engraving.shape import Shape
from ringgeom.engraving.svg import Drawn
from ringgeom.engraving.unrolled import Unrolled
from ringgeom.errors import InputError, Problem, ShapeError
from ringgeom.form.places import MotifInlay
from ringgeom.form.wave import Wave

LINES_LEFT = ("single lines of the drawing are left out: only filled shapes are let in",)

SAME = 1e-9
"""Two copies that are turned and scaled alike to this are alike."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Pockets:
    """A motif inlay on its face.

    Attributes
    ----------
    single : Inlay
        One copy at its size, as drawn: neither turned nor moved to its place.
    places : tuple of Place
        Of every copy of it.
    length_mm, height_mm : float
        Of one copy of the drawing.
    apart_mm : float or None
        Least metal between two neighbouring pockets; 0 where they touch, None for one alone.
    reach_mm : (float, float)
        Least and largest z of the pockets.
    notes : tuple of str
        What was made of the drawing.
    """

    single: Inlay
    places: tuple[Place, ...]
    length_mm: float
    height_mm: float
    round_mm: float
    apart_mm: float | None
    reach_mm: tuple[float, float]
    notes: tuple[str, ...]

    def pocket(self, copy: int) -> Shape:
        """Of a copy, in its place."""
        return self.places[copy].put(self.single.pocket)

    def inserted(self, copy: int) -> tuple[Shape, ...]:
        """The pieces of the insert of a copy, in their place."""
        return tuple(self.places[copy].put(one) for one in self.single.pieces)

    @cached_property
    def pockets(self) -> tuple[Shape, ...]:
        """Of every copy, in its place."""
        return tuple(self.pocket(copy) for copy in range(len(self.places)))

    @cached_property
    def pieces(self) -> tuple[tuple[Shape, ...], ...]:
        """Of every copy, the pieces of its insert in their place."""
        return tuple(self.inserted(copy) for copy in range(len(self.places)))

    def alike(self, *, level: bool) -> tuple[int, ...]:
        """For every copy, the first one that is turned alike and, unless level, as far across."""
        return _alike(self.places, level=level)


def _alike(places: Sequence[Place], *, level: bool) -> tuple[int, ...]:
    found: list[int] = []
    for k, one in enumerate(places):
        known = dict.fromkeys(found)
        found.append(next((n for n in known if _same(places[n], one, level)), k))
    return tuple(found)


def _same(one: Place, other: Place, level: bool) -> bool:
    if np.abs(one.matrix - other.matrix).max() > SAME:
        return False
    return level or abs(one.shift_mm[1] - other.shift_mm[1]) <= SAME


def pockets(asked: MotifInlay, face: Unrolled, wave: Wave | None) -> Pockets:
    """Pockets and inserts of a motif inlay on the outside.

    Parameters
    ----------
    face : Unrolled
        Its length, and its width without the rounding of its edges.
    wave : Wave, optional
        That the copies follow.

    Raises
    ------
    InputError
        Its file cannot be read, or it does not fit the face, told with what would.
    """
    drawing = drawing_of(asked)
    repeat = repeat_of(asked, wave, centre_mm=asked.centre_mm, angle=asked.angle)
    try:
        if not drawing.shape.loops:
            raise ShapeError("it holds no filled shape to let in; single lines are no inlay")
        return _pockets(
            drawing,
            repeat,
            face,
            asked.gap.side,
            asked.cutter_mm / 2,
            asked.corners == "relieved",
        )
    except ShapeError as error:
        raise InputError(Problem(text=str(error), file=Path(asked.file).name[:60])) from None


@lru_cache(maxsize=32)
def _pockets(
    drawing: Drawn,
    repeat: Repeat,
    face: Unrolled,
    gap_mm: float,
    cutter_mm: float,
    relieved: bool,
) -> Pockets:
    laid = laid_out(drawing.shape, repeat, face)
    scale = sqrt(abs(float(np.linalg.det(laid.places[0].matrix))))
    # gap and cutter keep their size, whatever the drawing is scaled by
    single = inlay(
        drawing.shape.scaled(scale), gap_mm=gap_mm, cutter_mm=cutter_mm, relieved=relieved
    )
    places = tuple(Place(one.matrix / scale, one.shift_mm) for one in laid.places)
    apart = laid.apart_mm if repeat.count > 1 else None
    if apart is not None and relieved and cutter_mm:
        # the cutter has run past the drawing
        apart = between_mm([place.put(single.pocket) for place in places], face.round_mm)[1]
    firsts = dict.fromkeys(_alike(places, level=False))
    ends = [extent_mm(places[k].put(single.pocket))[2:] for k in firsts]
    return Pockets(
        single=single,
        places=places,
        length_mm=laid.length_mm,
        height_mm=laid.height_mm,
        round_mm=face.round_mm,
        apart_mm=apart,
        reach_mm=(min(low for low, _ in ends), max(high for _, high in ends)),
        notes=(*drawing.notes, *LINES_LEFT[: bool(drawing.lines)]),
    )
