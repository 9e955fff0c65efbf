"""Motifs and patterns drawn on their face: shapes in their place, each with its depth.

What is drawn depends on the face's length and width, the keys, the file and the wave it follows:
as long as these stay, it is kept.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from math import degrees
from pathlib import Path

import numpy as np

from ringgeom.engraving.asked import Figure, Motif
from ringgeom.engraving.combined import united
from ringgeom.engraving.flat import extent_mm
from ringgeom.engraving.graved import Line, graved
from ringgeom.engraving.laid_out import Repeat, laid_out
from ringgeom.engraving.patterns.pattern import Asking, Cut
from ringgeom.engraving.shape import Shape
from ringgeom.engraving.svg import Drawn, read_drawing
from ringgeom.engraving.unrolled import Unrolled
from ringgeom.errors import InputError, Problem, ShapeError
from ringgeom.form.curve import Array
from ringgeom.form.repeated import Repeated
from ringgeom.form.wave import Wave

KINDS = (".svg",)


@dataclass(frozen=True, kw_only=True, eq=False)
class Figures:
    """A motif or a pattern as it is cut.

    Attributes
    ----------
    cuts : tuple of Cut
        Shapes unrolled on the face, seen from without, in their place; they lie apart.
    single : Shape or None
        One copy of a motif, of which all thin places are told.
    count : int
        Repeats round the ring.
    length_mm, height_mm : float
        Of one copy of a motif; of the stretch from repeat to repeat, and of all, for a pattern.
    wraps : bool
        Whether it runs all round, opened at a seam only to be drawn flat.
    filled : tuple of Shape
        What of a motif is cut away as it is filled; all of `cuts` where it has no single lines.
    lines : tuple of Line
        Middles of the cuts along its single lines.
    apart_mm : float or None
        Least distance between copies of a motif; 0 where they touch or overlap.
    notes : tuple of str
        What was made to close, what was joined, how a face is brushed.
    """

    cuts: tuple[Cut, ...]
    single: Shape | None
    count: int
    length_mm: float
    height_mm: float
    round_mm: float
    wraps: bool
    exact: bool
    filled: tuple[Shape, ...]
    lines: tuple[Line, ...] = ()
    apart_mm: float | None
    notes: tuple[str, ...]

    @cached_property
    def reach_mm(self) -> tuple[float, float]:
        """Least and largest z of what is cut; 0, 0 for nothing."""
        ends = [extent_mm(cut.shape)[2:] for cut in self.cuts if cut.shape.loops]
        if not ends:
            return 0.0, 0.0
        return min(low for low, _ in ends), max(high for _, high in ends)

    @cached_property
    def area_mm2(self) -> float:
        """All that is cut, laid flat [mm^2]."""
        return sum(cut.shape.area_mm2 for cut in self.cuts)


def figures(asked: Figure, face: Unrolled, *, out: int, wave: Wave | None = None) -> Figures:
    """A motif or a pattern on a face.

    Parameters
    ----------
    face : Unrolled
        Its length, and its width without the rounding of its edges.
    out : int
        +1 outside; -1 in the bore, where a motif is mirrored to read from within.
    wave : Wave, optional
        That a motif follows.

    Raises
    ------
    InputError
        Its file cannot be read, or it does not fit the face, told with what would.
    """
    try:
        if isinstance(asked, Motif):
            return _motif(asked, drawing_of(asked), face, out, wave)
        return _pattern(asked, face)
    except ShapeError as error:
        raise InputError(Problem(text=str(error), file=_file(asked))) from None


def _file(asked: Figure) -> str:
    return Path(asked.file).name[:60] if isinstance(asked, Motif) else ""


def drawing_of(asked: Repeated) -> Drawn:
    """The drawing of a motif, read once as long as its file stays as it is.

    Raises
    ------
    InputError
        It cannot be read.
    """
    path = Path(asked.file)
    if path.suffix.lower() not in KINDS:
        raise InputError(
            Problem(text=f'"{asked.file[:60]}" is not a drawing', allowed="the path of an SVG file")
        )
    if asked.folder is None:
        raise InputError(
            Problem(
                text=f'the drawing "{asked.file[:60]}" is a file: from elsewhere than beside the '
                "design it is read by the commands only",
                allowed="a file beside the saved design, by its plain name",
            )
        )
    path = asked.folder / path
    try:
        if not path.is_file():
            raise InputError(
                Problem(text=f"there is no drawing {path}", allowed="a file beside the design")
            )
        changed = path.stat().st_mtime_ns
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise InputError(
            Problem(text=f"the drawing {asked.file[:60]} cannot be read: {reason}")
        ) from None
    return _read(path, changed)


@lru_cache(maxsize=16)
def _read(path: Path, changed: int) -> Drawn:
    return read_drawing(path)


def repeat_of(asked: Repeated, wave: Wave | None, *, centre_mm: float, angle: float) -> Repeat:
    """How a motif goes round, the middle of its first copy at an angle [rad]."""
    return Repeat(
        count=asked.count,
        height_mm=asked.height_mm,
        length_mm=asked.length_mm,
        mirrored=asked.mirrored,
        start_deg=degrees(angle),
        centre_mm=centre_mm,
        wave=wave,
    )


@lru_cache(maxsize=32)
def _motif(asked: Motif, drawing: Drawn, face: Unrolled, out: int, wave: Wave | None) -> Figures:
    flip = np.diag([float(out), 1.0])
    filled, lines = drawing.shape.mapped(flip), _mapped(drawing.lines, flip, (0.0, 0.0))
    notes = list(drawing.notes)
    if asked.line_mm is None:
        if lines and filled.loops:
            notes.append(
                "single lines of the drawing are left out: with line_mm, the width of their cut, "
                "they are cut too"
            )
        lines = ()
    if not filled.loops and not lines:
        raise ShapeError(
            "it holds no filled shape to cut; for its single lines give line_mm, the width of the "
            "cut"
        )
    exact = drawing.exact
    motif, height, length = filled, asked.height_mm, asked.length_mm
    if lines:
        # the width of a cut stays when the drawing is made larger
        assert asked.line_mm is not None
        scale = _scale(asked, Shape((*filled.loops, *lines))) * np.eye(2)
        filled, lines = filled.mapped(scale), _mapped(lines, scale, (0.0, 0.0))
        whole = united([filled, graved(lines, asked.line_mm)])
        motif, exact = whole.shape, exact and whole.exact
        height = length = None
    repeat = repeat_of(asked, wave, centre_mm=asked.centre_mm, angle=asked.angle)
    repeat = replace(repeat, height_mm=height, length_mm=length)
    found = laid_out(motif, repeat, face)
    meet = found.apart_mm == 0 and asked.count > 1
    parts = (found.shape,) if meet else found.copies
    away: tuple[Shape, ...] = parts
    if lines:
        away = tuple(place.put(filled) for place in found.places if filled.loops)
        away = (united(away).shape,) if meet and away else away
    return Figures(
        cuts=tuple(Cut(shape=shape, depth_mm=asked.depth_mm) for shape in parts),
        single=found.copies[0],
        count=asked.count,
        length_mm=found.length_mm,
        height_mm=found.height_mm,
        round_mm=face.round_mm,
        wraps=found.wraps,
        exact=found.exact and exact,
        filled=away,
        lines=tuple(
            one for place in found.places for one in _mapped(lines, place.matrix, place.shift_mm)
        ),
        apart_mm=found.apart_mm if asked.count > 1 else None,
        notes=(*notes, *found.notes),
    )


def _mapped(lines: tuple[Line, ...], matrix: Array, shift: tuple[float, float]) -> tuple[Line, ...]:
    return tuple(tuple(stroke.moved(matrix, shift) for stroke in one) for one in lines)


def _scale(asked: Motif, drawn: Shape) -> float:
    """By how much a drawing is made larger; of single lines their middles are measured."""
    x0, x1, y0, y1 = extent_mm(drawn)
    for size, have in ((asked.height_mm, y1 - y0), (asked.length_mm, x1 - x0)):
        if size is not None:
            if have <= 0:
                raise ShapeError("its lines have no extent that way; give the other size")
            return size / have
    return 1.0


@lru_cache(maxsize=32)
def _pattern(asked: Asking, face: Unrolled) -> Figures:
    half = min(face.high_mm - asked.centre_mm, asked.centre_mm - face.low_mm)
    if asked.width_mm is not None:
        if asked.width_mm > 2 * half + 1e-9:
            raise ShapeError(
                f"{asked.width_mm:g} mm round {asked.centre_mm:g} mm run off the face; "
                f"{max(2 * half, 0.0):.2f} mm are there"
            )
        half = asked.width_mm / 2
    if half <= 0:
        raise ShapeError(
            f"{asked.centre_mm:g} mm from mid-width is off the face, "
            f"which ends at {face.high_mm:.2f} mm"
        )
    stretch = Unrolled(
        round_mm=face.round_mm, low_mm=asked.centre_mm - half, high_mm=asked.centre_mm + half
    )
    found = asked.drawn(stretch)
    start = face.round_mm * (degrees(asked.angle) % 360) / 360
    cuts = tuple(
        Cut(shape=cut.shape.moved(start), depth_mm=cut.depth_mm)
        for cut in found.cuts
        if cut.shape.loops
    )
    ends = [extent_mm(cut.shape) for cut in cuts]
    height = max(end[3] for end in ends) - min(end[2] for end in ends) if ends else 2 * half
    return Figures(
        cuts=cuts,
        single=None,
        count=found.count,
        length_mm=face.round_mm / found.count,
        height_mm=height,
        round_mm=face.round_mm,
        wraps=found.wraps,
        exact=found.exact,
        filled=tuple(cut.shape for cut in cuts),
        apart_mm=None,
        notes=found.notes,
    )
