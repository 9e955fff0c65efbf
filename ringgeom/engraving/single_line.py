"""A text in single lines: letters of `alphabet`, set as near to each other as they look even.

|   /\\        What lies open between two letters, looked at from top to foot and counted
|  /  \\       no deeper than `DEEP`, is the same everywhere: so A goes under T's arm, and
| /    \\      two straight letters stand furthest apart.
"""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass
from functools import cache
from itertools import pairwise

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view

from ringgeom.engraving.alphabet import ABOVE, BELOW, LETTERS, ROOM
from ringgeom.engraving.graved import Line
from ringgeom.engraving.svg.path_data import runs
from ringgeom.engraving.svg.tree import Node
from ringgeom.form.curve import Array

DOTLESS = {"i": "ı", "j": "ȷ"}
WORD_SPACE = 5.2
"""Between words."""

OPEN = 3.1
"""Mean distance between two letters."""

UNDERCUT = 0.65
"""Share of what is open between two letters that they are moved nearer by."""

DEEP = 3.6
"""A letter open to its side counts no further in than this past its nearest point."""

NEAREST = 2.0
"""No two letters are nearer."""

BESIDE = 6
"""Heights over and under its own at which a letter keeps its distance."""

HEIGHTS = np.arange(-3.4, 10.5, 0.4)
"""At which the sides of letters are looked at."""

WITHIN = 1e-5
CHORDS = 24


@dataclass(frozen=True, slots=True, eq=False)
class Glyph:
    """Lines of a letter, and how far it reaches to left and right at `HEIGHTS`; nan where not."""

    lines: tuple[Line, ...]
    left: Array
    right: Array


@dataclass(frozen=True, slots=True)
class Set:
    """A letter in its place: which of the text it is, its lines, its shift in its units."""

    cluster: int
    glyph: Glyph
    x: float


def lacking(text: str) -> list[str]:
    """Letters of a text that the alphabet does not have."""
    found = (letter for letter in _letters(text) if not letter.isspace())
    return list(dict.fromkeys(letter for letter in found if _glyph(letter) is None))


def set_lines(text: str) -> list[Set]:
    """A text's letters, each in its place; none may be lacking."""
    found: list[Set] = []
    x, before, gap = 0.0, None, False
    for cluster, letter in enumerate(_letters(text)):
        glyph = _glyph(letter)
        if glyph is None:
            gap = True
            continue
        if before is not None:
            x += WORD_SPACE + _reach(before) - _start(glyph) if gap else _step(before, glyph)
        found.append(Set(cluster, glyph, x))
        before, gap = glyph, False
    return found


def _letters(text: str) -> list[str]:
    """Letters, each with its accents."""
    found: list[str] = []
    for sign in unicodedata.normalize("NFC", text):
        if found and unicodedata.combining(sign):
            found[-1] += sign
        else:
            found.append(sign)
    return found


def _reach(glyph: Glyph) -> float:
    return float(np.nanmax(glyph.right))


def _start(glyph: Glyph) -> float:
    return float(np.nanmin(glyph.left))


def _step(one: Glyph, two: Glyph) -> float:
    """From one letter's origin to the next one's."""
    right, left = _reach(one), _start(two)
    inwards = np.nan_to_num(right - one.right, nan=DEEP), np.nan_to_num(two.left - left, nan=DEEP)
    both = np.minimum(inwards[0], DEEP) + np.minimum(inwards[1], DEEP)
    # what is above and below both letters is no space between them
    seen = (HEIGHTS >= 0) & (HEIGHTS <= 10)
    rows = seen & ~(np.isnan(one.right) & np.isnan(two.left))
    open_mm = float(np.minimum(both[rows], DEEP).mean()) if rows.any() else 0.0
    near = sliding_window_view(np.pad(inwards[0], BESIDE, constant_values=DEEP), 2 * BESIDE + 1)
    meeting = ~np.isnan(two.left)
    least = float((near.min(axis=1) + inwards[1])[meeting].min())
    return right - left + max(OPEN - UNDERCUT * open_mm, NEAREST - least)


@cache
def _glyph(letter: str) -> Glyph | None:
    """A letter, or a letter with its accents; None where there is none."""
    if letter in LETTERS:
        return _looked_at(_lines(LETTERS[letter]))
    whole = unicodedata.normalize("NFD", letter)
    base, marks = whole[0], whole[1:]
    if not marks or any(mark not in ABOVE and mark not in BELOW for mark in marks):
        return None
    if any(mark in ABOVE for mark in marks):
        base = DOTLESS.get(base, base)
    if base not in LETTERS:
        return None
    lines = _lines(LETTERS[base])
    points = np.vstack([_points(one) for one in lines])
    (x0, y0), (x1, top) = points.min(axis=0), points.max(axis=0)
    for mark in marks:
        shift = (0.5 * (x0 + x1), y0 if mark in BELOW else top + ROOM)
        drawn = _lines((ABOVE | BELOW)[mark])
        lines += tuple(tuple(s.moved(np.eye(2), shift) for s in one) for one in drawn)
    return _looked_at(lines)


def _looked_at(lines: tuple[Line, ...]) -> Glyph:
    left, right = (np.full(len(HEIGHTS), np.nan) for _ in range(2))
    half = 0.5 * float(HEIGHTS[1] - HEIGHTS[0])
    for one in lines:
        points = _points(one)
        for a, b in pairwise(points):
            low, high = sorted((float(a[1]), float(b[1])))
            near = (high + half >= HEIGHTS) & (low - half <= HEIGHTS)
            for k in np.flatnonzero(near):
                share = 0.5 if high == low else np.clip((HEIGHTS[k] - a[1]) / (b[1] - a[1]), 0, 1)
                ends = (a[0], b[0]) if high == low else [a[0] + share * (b[0] - a[0])]
                left[k] = np.nanmin([left[k], *ends])
                right[k] = np.nanmax([right[k], *ends])
    return Glyph(lines, left, right)


def _points(one: Line) -> Array:
    t = np.linspace(0.0, 1.0, CHORDS + 1)
    return np.vstack([s.points if s.degree == 1 else s.at(t) for s in one])


def _lines(path: str) -> tuple[Line, ...]:
    return tuple(run.strokes for run in runs(path, Node(tag="path", line=0, values={}), WITHIN))
