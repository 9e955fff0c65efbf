"""A motif repeated round the ring: whole copies, scaled, mirrored in turn, following a wave.

 .-.        .-.        start_deg: where the middle of the first lies
(   )      (   )       gap: along the ring, from the end of one to the start of the next
 '-'  '-.-' '-'        wave: every copy is moved across by it, and leans with it
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import atan, cos, pi, radians, sin
from typing import Literal

import numpy as np

from ringgeom.engraving.combined import shared, united
from ringgeom.engraving.flat import extent_mm, polygon_of
from ringgeom.engraving.shape import Shape, joined
from ringgeom.engraving.unrolled import Unrolled
from ringgeom.errors import ShapeError
from ringgeom.form.curve import Array
from ringgeom.form.repeated import MOST_COPIES
from ringgeom.form.wave import Wave

MOST_STROKES = 60_000
"""Strokes of all copies together."""

SEAM = 0.37
"""Where a closed row is cut open, from the first middle to the next: where no corner lies."""

APART_WITHIN_MM = 1e-3
"""How exactly the nearest distance between neighbours is told."""


Mirrored = Literal["no", "across", "round"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Repeat:
    """How a motif goes round.

    Attributes
    ----------
    height_mm, length_mm : float or None
        Its size across or round the ring; one of them, or none to keep it as drawn.
    mirrored : "no", "across" or "round"
        Every second copy is mirrored, across the width or along the way round.
    start_deg, centre_mm : float
        Where the middle of the first copy lies.
    leaning : bool
        Whether copies lean with the slope of the wave, or only move across.
    """

    count: int
    height_mm: float | None = None
    length_mm: float | None = None
    mirrored: Mirrored = "no"
    start_deg: float = 0.0
    centre_mm: float = 0.0
    wave: Wave | None = None
    leaning: bool = True


@dataclass(frozen=True, slots=True)
class Place:
    """Where a copy lies: a linear map of the motif, then a shift [mm]."""

    matrix: Array
    shift_mm: tuple[float, float]

    def put(self, shape: Shape) -> Shape:
        """A shape moved to this place."""
        return shape.mapped(self.matrix, self.shift_mm)


@dataclass(frozen=True, slots=True, kw_only=True)
class LaidOut:
    """Copies on a face.

    Attributes
    ----------
    shape : Shape
        All of them; a copy that lies across the seam stays whole and reaches past it. Where
        copies overlap all round, the shape is cut open at the seam and `wraps`.
    places : tuple of Place
        Of every copy, seen from the motif as it was drawn.
    length_mm, height_mm : float
        Size of one copy, not leaning.
    gap_mm : float
        Least gap along the ring between neighbours; below 0 they overlap by as much.
    apart_mm : float
        Least distance between neighbours in any direction; 0 where they touch or overlap.
    edges_mm : (float, float)
        From the lower and the upper edge of the face to the nearest point; below 0 is beyond it.
    """

    shape: Shape
    copies: tuple[Shape, ...]
    places: tuple[Place, ...]
    length_mm: float
    height_mm: float
    gap_mm: float
    apart_mm: float
    edges_mm: tuple[float, float]
    wraps: bool = False
    exact: bool = True
    notes: tuple[str, ...] = ()


def laid_out(motif: Shape, repeat: Repeat, face: Unrolled) -> LaidOut:
    """A motif laid out round a face.

    Raises
    ------
    ShapeError
        It has no size, is longer than the ring is round, copies are too many, or mirroring in turn
        does not close.
    """
    _sane(motif, repeat)
    x0, x1, y0, y1 = extent_mm(motif)
    scale = 1.0
    if repeat.height_mm is not None:
        scale = repeat.height_mm / (y1 - y0)
    elif repeat.length_mm is not None:
        scale = repeat.length_mm / (x1 - x0)
    if (x1 - x0) * scale > face.round_mm:
        high = (y1 - y0) * face.round_mm / (x1 - x0)
        raise ShapeError(
            f"the motif is {(x1 - x0) * scale:.2f} mm long and the face only "
            f"{face.round_mm:.2f} mm round; scale it to a height of {high:.2f} mm or less"
        )
    middle = np.array([0.5 * (x0 + x1), 0.5 * (y0 + y1)])
    flip = {"no": (1.0, 1.0), "round": (-1.0, 1.0), "across": (1.0, -1.0)}[repeat.mirrored]
    places = []
    for k in range(repeat.count):
        angle = radians(repeat.start_deg % 360.0) + 2 * pi * k / repeat.count
        turn, at = _placed(angle, repeat, face.round_mm)
        matrix = scale * turn @ (np.diag(flip) if k % 2 else np.eye(2))
        x, y = (at - matrix @ middle).tolist()
        places.append(Place(matrix, (x, y)))
    copies = [place.put(motif) for place in places]
    gap, apart = between_mm(copies, face.round_mm)
    whole, wraps, exact = joined(copies), False, True
    if apart == 0.0 and repeat.count > 1:
        whole, wraps, exact = _overlapping(copies, face)
    _, _, low, high = extent_mm(whole)
    notes = () if exact else ("copies touch or run along each other: drawn with straight pieces",)
    return LaidOut(
        shape=whole,
        copies=tuple(copies),
        places=tuple(places),
        length_mm=(x1 - x0) * scale,
        height_mm=(y1 - y0) * scale,
        gap_mm=gap,
        apart_mm=apart,
        edges_mm=(low - face.low_mm, face.high_mm - high),
        wraps=wraps,
        exact=exact,
        notes=notes,
    )


def _sane(motif: Shape, repeat: Repeat) -> None:
    if not motif.loops or motif.area_mm2 <= 0:
        raise ShapeError("the motif encloses nothing")
    if not 1 <= repeat.count <= MOST_COPIES:
        raise ShapeError(f"{repeat.count} copies of a motif; 1 to {MOST_COPIES} can be laid out")
    strokes = repeat.count * sum(len(loop) for loop in motif.loops)
    if strokes > MOST_STROKES:
        raise ShapeError(
            f"{repeat.count} copies of this motif have {strokes} strokes, at most {MOST_STROKES}; "
            "simplify its drawing or lay out fewer"
        )
    if repeat.height_mm is not None and repeat.length_mm is not None:
        raise ShapeError("a motif is scaled to a height or to a length, not to both")
    for size in (repeat.height_mm, repeat.length_mm):
        if size is not None and not 0.05 <= size <= 100:
            raise ShapeError(f"a motif of {size:g} mm; 0.05 to 100 mm can be laid out")
    if repeat.mirrored not in ("no", "across", "round"):
        raise ShapeError(f"mirrored is no, across or round; here {repeat.mirrored}")
    if repeat.mirrored != "no" and repeat.count % 2:
        raise ShapeError(
            f"{repeat.count} copies mirrored in turn do not close: two alike would meet; "
            f"give {repeat.count - 1} or {repeat.count + 1}"
        )


def _placed(angle: float, repeat: Repeat, round_mm: float) -> tuple[Array, Array]:
    """How a copy leans with the wave at an angle, and where its middle lies."""
    at = np.array([angle / (2 * pi) * round_mm, repeat.centre_mm])
    if repeat.wave is None:
        return np.eye(2), at
    wave = repeat.wave
    at[1] += float(wave.z(np.array([angle]))[0])
    if not repeat.leaning:
        return np.eye(2), at
    slope = wave.amplitude_mm * wave.count * cos(wave.count * angle + wave.phase)
    lean = atan(slope * 2 * pi / round_mm)
    return np.array([(cos(lean), -sin(lean)), (sin(lean), cos(lean))]), at


def between_mm(copies: Sequence[Shape], round_mm: float) -> tuple[float, float]:
    """Least gap along the ring and least distance between neighbours [mm]."""
    around = [*copies, copies[0].moved(round_mm)]
    extents = [extent_mm(copy) for copy in around]
    gap = min(after[0] - before[1] for before, after in pairwise(extents))
    polygons = [polygon_of(copy, APART_WITHIN_MM) for copy in around]
    return gap, min(float(one.distance(other)) for one, other in pairwise(polygons))


def _overlapping(copies: list[Shape], face: Unrolled) -> tuple[Shape, bool, bool]:
    """Copies that overlap, united; cut open at the seam where the row closes on itself."""
    turn = face.round_mm
    closes = polygon_of(copies[-1]).intersects(polygon_of(copies[0].moved(turn)))
    if not closes:
        found = united(copies)
        return found.shape, False, found.exact
    x0, x1, _, _ = extent_mm(copies[0])
    seam = 0.5 * (x0 + x1) + SEAM * turn / len(copies)
    row = [copy.moved(k * turn) for k in (-1, 0, 1) for copy in copies]
    near = [c for c in row if extent_mm(c)[1] > seam - 1 and extent_mm(c)[0] < seam + turn + 1]
    bounds = [extent_mm(copy) for copy in near]
    low, high = min(b[2] for b in bounds) - 1, max(b[3] for b in bounds) + 1
    whole = united(near)
    window = Unrolled(round_mm=turn, low_mm=low, high_mm=high).whole.moved(seam)
    found = shared([whole.shape, window])
    return found.shape, True, whole.exact and found.exact
