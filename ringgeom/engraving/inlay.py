"""A motif inlay, unrolled: the pocket that is cut, and the insert that lies in it with a gap.

      pocket |    |  insert  |    |      gap_mm along the normal, on the unrolled face
        _____|    |__________|    |____
             |____________________|

A round cutter leaves the pocket's corners round: the pocket is rounded with it and the insert
follows, or the cutter runs past each corner (relief) and the insert stays sharp. A laser needs
neither.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import acos, pi
from typing import Any

import numpy as np

from ringgeom.engraving.arcs import disc
from ringgeom.engraving.combined import united
from ringgeom.engraving.flat import islands, polygon_of, shape_of
from ringgeom.engraving.shape import Shape
from ringgeom.errors import ShapeError
from ringgeom.form.curve import Array

CHORD_MM = 5e-4
"""Offset outlines are drawn with straight pieces within this: half a micrometre."""

QUARTER = 24
"""Straight pieces to a quarter turn where the offset goes round a corner of the drawing."""

SHARP = 20.0 * pi / 180
"""An outline that turns by more than this at once has a corner."""

PAST_MM = 0.002
"""A relief runs past its corner by this, so that none of the corner is left."""

LEAST_GAP_MM = 1e-6
LEAST_LOSS_MM2 = 1e-4


@dataclass(frozen=True, kw_only=True, eq=False)
class Inlay:
    """Pocket and insert of one copy, unrolled.

    Attributes
    ----------
    pieces : tuple of Shape
        The insert's islands one by one: each is a piece of metal of its own.
    unreached_mm2 : float
        What the cutter cannot reach of the drawing.
    corners : int
        Inner corners of the drawing that a round cutter leaves round, or runs past.
    parted : bool
        Whether the gap parts the insert, or takes some of its islands away.
    exact_pocket : bool
        Whether the pocket keeps the drawing's own curves.
    """

    pocket: Shape
    insert: Shape
    pieces: tuple[Shape, ...]
    unreached_mm2: float = 0.0
    corners: int = 0
    parted: bool = False
    exact_pocket: bool = True


def inlay(
    drawing: Shape, *, gap_mm: float, cutter_mm: float = 0.0, relieved: bool = False
) -> Inlay:
    """Pocket and insert of a drawing, where it stands.

    Parameters
    ----------
    gap_mm : float
        Beside the insert; taken from it.
    cutter_mm : float
        Radius of a round cutter; 0 for a laser.
    relieved : bool
        Whether the cutter runs past the corners; else they are round.

    Raises
    ------
    ShapeError
        A gap below 0, or nothing left of pocket or insert.
    """
    if gap_mm < 0:
        raise ShapeError(f"the gap of a motif inlay must not be below 0; here {gap_mm:g} mm")
    drawn = polygon_of(drawing, CHORD_MM)
    pocket, exact, unreached, corners = drawing, True, 0.0, 0
    if cutter_mm > 0:
        reached = _opened(drawn, cutter_mm)
        unreached = float(drawn.area - reached.area)
        if reached.is_empty:
            raise ShapeError(
                f"a cutter {2 * cutter_mm:g} mm across does not go into this motif anywhere; "
                "take a smaller cutter or draw it larger"
            )
        reliefs = _reliefs(drawing, cutter_mm)
        corners = len(reliefs)
        if relieved:
            found = united([drawing, *reliefs])
            pocket, exact = found.shape, found.exact
            unreached = float(
                drawn.difference(_opened(polygon_of(pocket, CHORD_MM), cutter_mm)).area
            )
        else:
            pocket, exact, drawn = shape_of(reached), False, reached
    if gap_mm >= LEAST_GAP_MM:
        insert = shape_of(drawn.buffer(-gap_mm, quad_segs=QUARTER))
    else:
        insert = shape_of(drawn) if cutter_mm > 0 else drawing
    if not insert.loops:
        raise ShapeError(
            f"a gap of {gap_mm:g} mm leaves nothing of this insert; draw it larger or close the gap"
        )
    pieces = islands(insert)
    return Inlay(
        pocket=pocket,
        insert=insert,
        pieces=pieces,
        unreached_mm2=unreached if unreached > LEAST_LOSS_MM2 else 0.0,
        corners=corners,
        parted=len(pieces) != len(islands(drawing)),
        exact_pocket=exact,
    )


def _opened(polygon: Any, radius_mm: float) -> Any:
    """What a disc reaches that stays inside."""
    inner = polygon.buffer(-radius_mm, quad_segs=4 * QUARTER)
    return inner.buffer(radius_mm, quad_segs=4 * QUARTER)


def _reliefs(drawing: Shape, radius_mm: float) -> list[Shape]:
    """Round reliefs at every corner of the pocket that a round cutter cannot reach."""
    found = []
    for loop in drawing.loops:
        for before, after in zip((loop[-1], *loop[:-1]), loop, strict=True):
            corner = _corner(before.points, after.points, radius_mm)
            if corner is not None:
                found.append(disc(corner, radius_mm))
    return found


def _corner(before: Array, after: Array, radius_mm: float) -> tuple[float, float] | None:
    """Middle of the relief where two strokes meet; None where the pocket has no inner corner."""
    at = after[0]
    back = next((p - at for p in before[::-1] if np.hypot(*(p - at)) > 1e-9), None)
    ahead = next((p - at for p in after if np.hypot(*(p - at)) > 1e-9), None)
    if back is None or ahead is None:
        return None
    back, ahead = back / np.hypot(*back), ahead / np.hypot(*ahead)
    # the pocket lies to the left: an inner corner of it turns to the left
    if -(back[0] * ahead[1] - back[1] * ahead[0]) <= 0:
        return None
    inside = acos(float(np.clip(back @ ahead, -1, 1)))
    if pi - inside <= SHARP:
        return None
    middle = back + ahead
    middle = middle / np.hypot(*middle)
    x, y = (at + middle * (radius_mm - min(PAST_MM, 0.1 * radius_mm))).tolist()
    return x, y
