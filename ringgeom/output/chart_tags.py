"""Marks in a colour map and the tag of each: beside it, or a short leader away when it is close.

No tag lies on another tag, on a mark or on a word of the map, nor runs out of the frame.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from ringgeom.output.chart_sheet import INK, PAPER, STYLES, Row, Spot, line, words

LETTER_MM, HEIGHT_OF_TAG_MM, MARK_MM = 1.75, 2.3, 3.0
"""Width of a letter and height of a tag of 7 points, and the side of a mark."""

REACHES_MM = (3.0, 4.2, 5.6, 7.2, 9.0, 11.0, 13.5, 16.5, 20.0, 24.0)
"""How far from its mark a tag may stand."""

BESIDE_MM = 3.5
"""Nearer than this a tag needs no leader."""

TURNS = 24
"""Directions in which a place is sought."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """A rectangle of the sheet that is taken: its middle and its sides [mm]."""

    middle_mm: Spot
    width_mm: float
    height_mm: float

    def meets(self, other: Box) -> bool:
        """Whether the two overlap."""
        return (
            abs(self.middle_mm[0] - other.middle_mm[0]) < (self.width_mm + other.width_mm) / 2
            and abs(self.middle_mm[1] - other.middle_mm[1]) < (self.height_mm + other.height_mm) / 2
        )

    def inside(self, frame: Box) -> bool:
        """Whether no part of it is outside the frame."""
        return (
            abs(self.middle_mm[0] - frame.middle_mm[0]) <= (frame.width_mm - self.width_mm) / 2
            and abs(self.middle_mm[1] - frame.middle_mm[1])
            <= (frame.height_mm - self.height_mm) / 2
        )


def tag_places(rows: Sequence[Row], frame: Box, taken: Sequence[Box] = ()) -> tuple[Box, ...]:
    """Where the tags go, one box for each row.

    Parameters
    ----------
    rows : sequence of Row
        Their marks may lie on one another.
    frame : Box
        No tag leaves it.
    taken : sequence of Box
        Words that are there already.
    """
    marks = [Box(middle_mm=row.spot_mm, width_mm=MARK_MM, height_mm=MARK_MM) for row in rows]
    placed: list[Box] = []
    leaders: list[tuple[Spot, Spot]] = []
    for row in rows:
        best, least = None, np.inf
        for box in _candidates(row):
            if not box.inside(frame) or any(box.meets(b) for b in (*marks, *taken, *placed)):
                continue
            leader = (row.spot_mm, box.middle_mm)
            crossed = sum(_cross(leader, other) for other in leaders)
            ran_over = sum(_near(leader, m.middle_mm) for m in (*marks, *placed))
            away = np.subtract(box.middle_mm, row.spot_mm)
            # beside is where lines of one fineness run
            cost = np.hypot(*away) + 0.2 * abs(away[0]) + 8.0 * crossed + 6.0 * ran_over
            if cost < least - 1e-9:
                best, least = box, cost
        if best is None:
            # every reach is full, which takes more marks in one spot than a sheet holds
            best = next(iter(_candidates(row)))
        placed.append(best)
        leaders.append((row.spot_mm, best.middle_mm))
    return tuple(placed)


def tags(figure: Any, rows: Sequence[Row], frame: Box, taken: Sequence[Box] = ()) -> None:
    """Draw every mark with its tag, and a leader where the tag stands off."""
    from matplotlib.patheffects import withStroke

    halo = [withStroke(linewidth=2.0, foreground=PAPER)]
    for row, box in zip(rows, tag_places(rows, frame, taken), strict=True):
        off = np.subtract(box.middle_mm, row.spot_mm)
        far = float(np.hypot(*off))
        if far > BESIDE_MM:
            end = np.add(row.spot_mm, off * (1 - 1.5 / far))
            line(figure, [row.spot_mm, (end[0], end[1])], color=INK, lw=0.7, zorder=5)
        # the known ones are larger and lie under an alloy in the same place
        order = 6 if row.mark == "known" else 7
        line(figure, [row.spot_mm], ls="none", zorder=order, **STYLES[row.mark])
        how = {"ha": "center", "va": "center_baseline", "weight": "bold", "zorder": 8}
        words(figure, box.middle_mm, row.tag, size=7, path_effects=halo, **how)


def _candidates(row: Row) -> list[Box]:
    """Places for a tag, nearest first; above and below before the sides."""
    width = LETTER_MM * len(row.tag) + 0.5
    found = []
    for reach in REACHES_MM:
        for turn in range(TURNS):
            angle = np.pi / 2 + (-1) ** turn * ((turn + 1) // 2) * 2 * np.pi / TURNS
            x = row.spot_mm[0] + reach * float(np.cos(angle))
            y = row.spot_mm[1] + reach * float(np.sin(angle))
            found.append(Box(middle_mm=(x, y), width_mm=width, height_mm=HEIGHT_OF_TAG_MM))
    return found


def _cross(first: tuple[Spot, Spot], second: tuple[Spot, Spot]) -> bool:
    def side(line_: tuple[Spot, Spot], spot: Spot) -> float:
        (x0, y0), (x1, y1) = line_
        return (x1 - x0) * (spot[1] - y0) - (y1 - y0) * (spot[0] - x0)

    return (
        side(first, second[0]) * side(first, second[1]) < 0
        and side(second, first[0]) * side(second, first[1]) < 0
    )


def _near(leader: tuple[Spot, Spot], spot: Spot) -> bool:
    """Whether a leader runs over a mark or a tag that is not its own."""
    start, end = np.asarray(leader[0]), np.asarray(leader[1])
    off, along = np.asarray(spot) - start, end - start
    if np.hypot(*off) < 0.3:
        return False
    part = np.clip(off @ along / (along @ along), 0.0, 1.0)
    return bool(np.hypot(*(off - part * along)) < 1.4)
