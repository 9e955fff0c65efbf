"""A font opened for engraving: its outlines, and how its letters are set beside each other.

HarfBuzz reads the font: kerning, ligatures, accents and letters that run right to left are
the font's own. Only the outline is used, in the font's own units.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from ringgeom.engraving.shape import Loop
from ringgeom.engraving.stroke import Stroke, line
from ringgeom.errors import InputError, Problem
from ringgeom.fonts import LETTERING, LETTERING_WORDS, font_path

if TYPE_CHECKING:
    import uharfbuzz as hb

LARGEST_FONT_BYTES = 20_000_000
"""A font of one script is below a megabyte; the largest of all scripts is about this."""

MOST_STROKES = 20_000
"""Of one letter: a drawing with more is no letter."""

KINDS = (".ttf", ".otf")


@dataclass(frozen=True, slots=True, eq=False)
class Typeface:
    """An opened font.

    Attributes
    ----------
    name : str
        As the design has it.
    capital : float
        Height of a capital in font units; 0 where the font does not say.
    """

    name: str
    font: hb.Font
    capital: float

    def glyphs(self, text: str) -> list[tuple[int, int, float, float, float]]:
        """A text set: glyph, letter it comes from, its x and y, advance, in font units."""
        import uharfbuzz as hb

        buffer = hb.Buffer()
        buffer.add_str(text)
        buffer.guess_segment_properties()
        hb.shape(self.font, buffer, {})
        found, pen = [], 0.0
        for info, place in zip(buffer.glyph_infos, buffer.glyph_positions, strict=True):
            at = pen + place.x_offset, float(place.y_offset)
            found.append((info.codepoint, info.cluster, *at, float(place.x_advance)))
            pen += place.x_advance
        return found

    def outline(self, glyph: int) -> tuple[Loop, ...]:
        """Loops of a glyph as the font draws them, in font units.

        Raises
        ------
        InputError
            It has more strokes than any letter.
        """
        pen = _Pen()
        self.font.draw_glyph_with_pen(glyph, pen)
        if pen.count > MOST_STROKES:
            raise InputError(
                Problem(
                    text=f"a letter of {self.name[:60]} has more than {MOST_STROKES:,} strokes",
                    allowed="a plainer font",
                )
            )
        return tuple(pen.loops)


def typeface(word: str, folder: Path | None) -> Typeface:
    """The font of a word, or of a file.

    Parameters
    ----------
    folder : Path, optional
        Folder of the design file; without it only the fonts here can be asked for.

    Raises
    ------
    InputError
        There is no such font, or the file is none.
    """
    if word in LETTERING:
        return _shipped(word)
    words = ", ".join(LETTERING_WORDS)
    path = Path(word)
    if path.suffix.lower() not in KINDS:
        raise InputError(
            Problem(
                text=f'there is no font "{word[:60]}" here',
                allowed=f"{words}, or the path of a TTF or OTF file",
            )
        )
    if folder is None:
        raise InputError(
            Problem(
                text=f'the font "{word[:60]}" is a file: files are read by the commands only, with '
                "the design saved beside them",
                allowed=words,
            )
        )
    path = folder / path
    try:
        if not path.is_file():
            raise InputError(Problem(text=f"there is no font file {path}", allowed=words))
        state = path.stat()
        if state.st_size > LARGEST_FONT_BYTES:
            raise InputError(
                Problem(
                    text=f"{path.name} is too large for a font: {state.st_size:,} bytes",
                    allowed=f"up to {LARGEST_FONT_BYTES:,} bytes",
                )
            )
        return _own(str(path), state.st_mtime_ns, word)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise InputError(Problem(text=f"the font {word[:60]} cannot be read: {reason}")) from None


@lru_cache(maxsize=8)
def _shipped(word: str) -> Typeface:
    return _opened(font_path(LETTERING[word]).read_bytes(), word)


@lru_cache(maxsize=8)
def _own(path: str, changed: int, word: str) -> Typeface:
    with open(path, "rb") as file:
        return _opened(file.read(LARGEST_FONT_BYTES + 1), word)


def _opened(data: bytes, word: str) -> Typeface:
    import uharfbuzz as hb

    face = hb.Face(hb.Blob(data))
    # an unreadable file is an empty face
    if face.glyph_count < 1 or not face.unicodes or not 16 <= face.upem <= 16384:
        raise InputError(
            Problem(text=f"{word[:60]} is not a font that can be read", allowed="a TTF or OTF file")
        )
    font = hb.Font(face)
    found = Typeface(name=word, font=font, capital=0.0)
    capital = font.get_nominal_glyph(ord("H"))
    if capital:
        heights = [float(stroke.points[:, 1].max()) for o in found.outline(capital) for stroke in o]
        return Typeface(name=word, font=font, capital=max(heights, default=0.0))
    told = font.get_metric_position(hb.OTMetricsTag.CAP_HEIGHT)
    return Typeface(name=word, font=font, capital=float(told or 0.0))


class _Pen:
    """Gathers what a font draws; strokes of no length, and past too many, are left out."""

    def __init__(self) -> None:
        self.loops: list[Loop] = []
        self.count = 0
        self._loop: list[Stroke] = []
        self._at = self._first = (0.0, 0.0)

    def moveTo(self, to: Any) -> None:
        self._at = self._first = to

    def lineTo(self, to: Any) -> None:
        if to != self._at:
            self._add(line(self._at, to), to)

    def qCurveTo(self, *points: Any) -> None:
        self._add(Stroke(np.array([self._at, *points], dtype=float)), points[-1])

    def curveTo(self, *points: Any) -> None:
        self._add(Stroke(np.array([self._at, *points], dtype=float)), points[-1])

    def closePath(self) -> None:
        self.lineTo(self._first)
        if self._loop:
            self.loops.append(tuple(self._loop))
        self._loop = []

    def endPath(self) -> None:
        self.closePath()

    def _add(self, stroke: Stroke, to: Any) -> None:
        # what is raised in here would not come out: the font's reader calls it
        self.count += 1
        if self.count <= MOST_STROKES and np.any(stroke.points != stroke.points[0]):
            self._loop.append(stroke)
        self._at = to
