"""A motif inlay: the pocket that is cut, the insert that fills it, and the gap between them.

      pocket |    |  insert  |    |      gap_mm along the normal, on the unrolled face
        _____|    |__________|    |____
             |____________________|      floor_gap_mm under the insert

A round cutter of radius r leaves the pocket's corners round: the pocket is rounded with it and
the insert follows, or the cutter runs past each corner (relief) and the insert stays sharp. A
laser needs neither.

Volumes are integrals of r^2 / 2 between floor and face over the unrolled shapes.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import acos, pi, sqrt
from typing import Any

import numpy as np

from ringgeom.engraving.arcs import disc
from ringgeom.engraving.combined import united
from ringgeom.engraving.flat import polygon_of, shape_of
from ringgeom.engraving.laid_out import Place
from ringgeom.engraving.shape import Loop, Shape, joined
from ringgeom.engraving.volume import volume_mm3
from ringgeom.errors import ShapeError
from ringgeom.form.curve import Array
from ringgeom.form.frame import Chain

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


@dataclass(frozen=True, slots=True, kw_only=True)
class Inlay:
    """Pocket and insert, unrolled, with their volumes.

    `unreached_mm2` is what the cutter cannot reach of the drawing.
    """

    pocket: Shape
    insert: Shape
    pocket_mm3: float
    insert_mm3: float
    gap_mm3: float
    unreached_mm2: float = 0.0
    exact_pocket: bool = True
    notes: tuple[str, ...] = ()


def inlay(
    drawing: Shape,
    *,
    outside: Chain,
    floor: Chain,
    round_mm: float,
    gap_mm: float,
    floor_gap_mm: float = 0.0,
    cutter_mm: float = 0.0,
    relieved: bool = False,
    places: Sequence[Place] = (),
) -> Inlay:
    """Pocket and insert of a drawing on the outside, or of all its copies.

    Parameters
    ----------
    outside, floor : Chain
        The face and the pocket's floor as radii over z, which is the drawing's y.
    round_mm : float
        Length that the face is unrolled to, 2 pi times the radius it is unrolled at.
    gap_mm, floor_gap_mm : float
        Beside and under the insert; taken from the insert.
    cutter_mm : float
        Radius of a round cutter; 0 for a laser.
    relieved : bool
        Whether the cutter runs past the corners; else they are round.
    places : sequence of Place
        Where the drawing is laid out to, told by `laid_out`; none for the drawing where it stands.
        Gaps and cutter keep their size, whatever the drawing is scaled by.

    Raises
    ------
    ShapeError
        A gap below 0, or nothing left of pocket or insert.
    """
    if gap_mm < 0 or floor_gap_mm < 0:
        raise ShapeError(
            f"the gap of a motif inlay must not be below 0; here {min(gap_mm, floor_gap_mm):g} mm"
        )
    scale = sqrt(abs(float(np.linalg.det(places[0].matrix)))) if places else 1.0
    drawing = drawing.scaled(scale)
    drawn = polygon_of(drawing, CHORD_MM)
    pocket, exact, notes, unreached = drawing, True, [], 0.0
    if cutter_mm > 0:
        reached = _opened(drawn, cutter_mm)
        unreached = float(drawn.area - reached.area)
        if reached.is_empty:
            raise ShapeError(
                f"a cutter of radius {cutter_mm:g} mm does not go into this motif anywhere; "
                "take a smaller cutter or draw it larger"
            )
        if relieved:
            found = united([drawing, *_reliefs(drawing, cutter_mm)])
            pocket, exact = found.shape, found.exact
            unreached = float(
                drawn.difference(_opened(polygon_of(pocket, CHORD_MM), cutter_mm)).area
            )
        else:
            pocket, exact, drawn = shape_of(reached), False, reached
        if unreached > LEAST_LOSS_MM2:
            notes.append(f"the cutter does not reach {unreached:.4f} mm2 of the drawing")
    if gap_mm >= LEAST_GAP_MM:
        insert = shape_of(drawn.buffer(-gap_mm, quad_segs=QUARTER))
    else:
        insert = shape_of(drawn) if cutter_mm > 0 else drawing
    if not insert.loops:
        raise ShapeError(
            f"a gap of {gap_mm:g} mm leaves nothing of this insert; draw it larger or close the gap"
        )
    if len(_islands(insert)) != len(_islands(shape_of(drawn))):
        notes.append("the gap parts the insert, or takes some of its islands away")
    if places:
        unreached *= len(places)
        back = [Place(one.matrix / scale, one.shift_mm) for one in places]
        pocket, insert = (joined(one.put(shape) for one in back) for shape in (pocket, insert))
    return _weighed(
        pocket, insert, outside, floor, round_mm, floor_gap_mm, unreached, exact, tuple(notes)
    )


def _weighed(
    pocket: Shape,
    insert: Shape,
    outside: Chain,
    floor: Chain,
    round_mm: float,
    floor_gap_mm: float,
    unreached_mm2: float,
    exact: bool,
    notes: tuple[str, ...],
) -> Inlay:
    raised = floor.raised(floor_gap_mm)
    around = Shape((*pocket.loops, *_turned(insert)))
    gap = volume_mm3(around, outside, floor, round_mm)
    if floor_gap_mm:
        gap += volume_mm3(insert, raised, floor, round_mm)
    return Inlay(
        pocket=pocket,
        insert=insert,
        pocket_mm3=volume_mm3(pocket, outside, floor, round_mm),
        insert_mm3=volume_mm3(insert, outside, raised, round_mm),
        gap_mm3=gap,
        unreached_mm2=unreached_mm2,
        exact_pocket=exact,
        notes=notes,
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


def _turned(shape: Shape) -> tuple[Loop, ...]:
    return tuple(tuple(s.reversed() for s in reversed(loop)) for loop in shape.loops)


def _islands(shape: Shape) -> list[Loop]:
    return [loop for loop in shape.loops if Shape((loop,)).area_mm2 > 0]
