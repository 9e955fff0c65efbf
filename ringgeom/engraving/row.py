"""A text set in a line: shapes in mm, the middle of its length and of its capitals at 0, 0.

y ^   .  .-.  .   .            height_mm, of a capital
  +--/-\\-|-|--|---|--> x       read towards larger x
    '   ''-'  '---'
  |<---- length_mm ---->|
"""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np

from ringgeom.engraving.alphabet import CAPITAL
from ringgeom.engraving.asked import Lettering
from ringgeom.engraving.graved import Line, graved
from ringgeom.engraving.shape import Loop, Shape
from ringgeom.engraving.single_line import lacking, set_lines
from ringgeom.engraving.typeface import Typeface, typeface
from ringgeom.engraving.united import turned, united
from ringgeom.errors import InputError, Problem
from ringgeom.fonts import SINGLE_LINE

JOINERS = "\u200c\u200d"

MOST_STROKES = 40_000
"""Of a whole text; the longest in a plain font has a quarter of it."""

NO_WIDTH = 1e-5
"""A letter whose strokes are thinner than this share of its height is drawn as single lines."""

MOST_SQUEEZE = 0.1
"""A text may be squeezed between its letters by this share of its height, no more."""


@dataclass(frozen=True, kw_only=True)
class Row:
    """A text as it is cut.

    Attributes
    ----------
    shapes : tuple of Shape
        Letters, or what is left of several that overlap, as one; they lie apart.
    natural_mm, length_mm : float
        Ink from the first to the last letter, as the font sets it and as it is spaced.
    flattened : int
        Shapes that overlapped and were united; within 0.1 micrometres of the font's.
    lines : tuple of Line
        Middles of the cuts, for letters of single lines.
    """

    shapes: tuple[Shape, ...]
    natural_mm: float
    length_mm: float
    flattened: int
    lines: tuple[Line, ...] = ()

    @cached_property
    def bounds_mm(self) -> tuple[float, float, float, float]:
        """Least and largest x, then y."""
        found = np.array([shape.bounds_mm for shape in self.shapes])
        low, high = found.min(axis=0), found.max(axis=0)
        return float(low[0]), float(high[1]), float(low[2]), float(high[3])


def row(asked: Lettering) -> Row:
    """A lettering set in its font.

    Raises
    ------
    InputError
        The font cannot be read or lacks letters, or the text cannot be set.
    """
    _plain(asked.text)
    if asked.single_lines:
        return _lined(asked.text, asked.height_mm, asked.fit_mm, asked.cut_mm)
    face = typeface(asked.font, asked.folder)
    return _set(face, asked.text, asked.height_mm, asked.fit_mm)


@lru_cache(maxsize=64)
def _set(face: Typeface, text: str, height_mm: float, fit_mm: float | None) -> Row:
    """A text set, kept for as long as its ring is being drawn to and fro."""
    set_glyphs = face.glyphs(text)
    outlines = {glyph: face.outline(glyph) for glyph, *_ in set_glyphs}
    _complete(text, face, set_glyphs, outlines)
    _few(sum(len(loop) for glyph, *_ in set_glyphs for loop in outlines[glyph]))
    scale = height_mm / _capital(face, list(outlines.values()))
    starts = [(glyph, cluster, x, y) for glyph, cluster, x, y, _ in set_glyphs]
    ink = [
        (x + float(stroke.points[:, 0].min()), x + float(stroke.points[:, 0].max()))
        for glyph, _, x, _ in starts
        for loop in outlines[glyph]
        for stroke in loop
    ]
    left, right = min(low for low, _ in ink), max(high for _, high in ink)
    natural = (right - left) * scale
    spread = 0.0
    if fit_mm is not None:
        spread = _spread(height_mm, fit_mm, natural, [cluster for _, cluster, *_ in starts])
    order = {cluster: n for n, cluster in enumerate(dict.fromkeys(c for _, c, *_ in starts))}
    length = natural + spread * (len(order) - 1)
    middle = height_mm / 2
    shapes = [
        turned(outlines[glyph])
        .scaled(scale)
        .moved(
            (x - left) * scale + spread * order[cluster] - length / 2,
            y * scale - middle,
        )
        for glyph, cluster, x, y in starts
        if outlines[glyph]
    ]
    if any(shape.area_mm2 < NO_WIDTH * shape.outline_mm * height_mm for shape in shapes):
        raise InputError(
            Problem(
                text=f"letters of the font {face.name[:60]} are lines without a width: what they "
                "take is not known",
                allowed=f'a font whose letters have an outline, or font = "{SINGLE_LINE}"',
            )
        )
    found = united(shapes)
    return Row(shapes=found.shapes, natural_mm=natural, length_mm=length, flattened=found.flattened)


@lru_cache(maxsize=64)
def _lined(text: str, height_mm: float, fit_mm: float | None, line_mm: float) -> Row:
    """A text in single lines; its capitals are `height_mm` high with the width of the cut."""
    if missing := lacking(text):
        raise InputError(_lacks("alphabet of single lines", missing))
    letters = set_lines(text)
    scale = (height_mm - line_mm) / CAPITAL
    ends = [
        letter.x + float(stroke.points[:, 0].min() if low else stroke.points[:, 0].max())
        for low in (True, False)
        for letter in (letters[0], letters[-1])
        for one in letter.glyph.lines
        for stroke in one
    ]
    left, natural = min(ends), (max(ends) - min(ends)) * scale + line_mm
    spread = 0.0
    if fit_mm is not None:
        spread = _spread(height_mm, fit_mm, natural, [letter.cluster for letter in letters])
    length = natural + spread * (len(letters) - 1)
    drawn = []
    for number, letter in enumerate(letters):
        x = (letter.x - left) * scale + spread * number - (length - line_mm) / 2
        shift = x, -scale * CAPITAL / 2
        drawn.append(
            [tuple(s.moved(scale * np.eye(2), shift) for s in one) for one in letter.glyph.lines]
        )
    shapes = []
    strokes = 0
    for lines in drawn:
        shapes.append(graved(lines, line_mm))
        strokes += sum(len(loop) for loop in shapes[-1].loops)
        _few(strokes)
    found = united(shapes)
    return Row(
        shapes=found.shapes,
        natural_mm=natural,
        length_mm=length,
        flattened=found.flattened,
        lines=tuple(one for lines in drawn for one in lines),
    )


def _plain(text: str) -> None:
    """Refuse what is no line of letters."""
    odd = [c for c in text if unicodedata.category(c) in ("Cc", "Cs", "Co", "Zl", "Zp")]
    odd += [c for c in text if unicodedata.category(c) == "Cf" and c not in JOINERS]
    if odd:
        raise InputError(
            Problem(
                text="the text holds signs that cannot be cut: "
                + ", ".join(f"U+{ord(c):04X}" for c in dict.fromkeys(odd)),
                allowed="one line of letters, digits and signs",
            )
        )
    if not text.strip():
        raise InputError(Problem(text="the text is empty", allowed="one letter at least"))
    ways = {unicodedata.bidirectional(c) for c in text}
    if ways & {"R", "AL"} and ways & {"L", "EN", "AN"}:
        raise InputError(
            Problem(
                text="letters that run to the left stand beside letters or digits that run to the "
                "right",
                allowed="each in a lettering of its own",
            )
        )


def _few(strokes: int) -> None:
    """Refuse what takes too long."""
    if strokes > MOST_STROKES:
        raise InputError(
            Problem(
                text=f"the text is drawn with {strokes:,} strokes",
                allowed=f"{MOST_STROKES:,} at most: a shorter text, or a plainer font",
            )
        )


def _complete(
    text: str,
    face: Typeface,
    glyphs: list[tuple[int, int, float, float, float]],
    outlines: dict[int, tuple[Loop, ...]],
) -> None:
    """Refuse letters that the font does not have, or has no outline of."""
    drawn = {cluster for glyph, cluster, *_ in glyphs if glyph and outlines[glyph]}
    missing = []
    for glyph, cluster, *_ in glyphs:
        letter = text[cluster]
        seen = not letter.isspace() and unicodedata.category(letter) not in ("Cf", "Mn")
        if glyph == 0 or (seen and cluster not in drawn):
            missing.append(letter)
    if missing:
        raise InputError(_lacks(f"font {face.name[:60]}", missing))


def _lacks(what: str, letters: list[str]) -> Problem:
    names = ", ".join(
        f"{c} (" + ", ".join(f"U+{ord(s):04X} {unicodedata.name(s, '')}".strip() for s in c) + ")"
        for c in dict.fromkeys(letters)
    )
    return Problem(text=f"the {what} lacks {names}", allowed="another font or text")


def _capital(face: Typeface, drawn: list[tuple[Loop, ...]]) -> float:
    """Height of a capital in font units; of the tallest letter where a script has no capitals."""
    if face.capital > 0:
        return face.capital
    tops = [float(s.points[:, 1].max()) for loops in drawn for loop in loops for s in loop]
    top = max(tops, default=0.0)
    if top <= 0:
        raise InputError(Problem(text=f"the letters of {face.name[:60]} have no height"))
    return top


def _spread(height_mm: float, fit_mm: float, natural_mm: float, clusters: list[int]) -> float:
    """What is added between letters to fit a length [mm]."""
    spaces = len(set(clusters)) - 1
    if spaces < 1:
        raise InputError(
            Problem(text="one letter alone cannot be spaced to a length", allowed="no fit_mm")
        )
    spread = (fit_mm - natural_mm) / spaces
    if spread < -MOST_SQUEEZE * height_mm:
        smaller = height_mm * fit_mm / natural_mm
        raise InputError(
            Problem(
                text=f"the text is {natural_mm:.2f} mm long and does not go into {fit_mm:g} mm",
                allowed=f"height_mm = {smaller:.2f} or less, or fit_mm = {natural_mm:.2f} or more",
            )
        )
    return spread
