"""What moves when a wall of a place is pulled across the width, on whichever drawing.

left |  right        a channel's wall moves its width, both sides alike; alone with the Alt key,
     |               and in a step, which has one; a stripe's edge takes its neighbour's with it
"""

from __future__ import annotations

from dataclasses import dataclass

from ringgeom.design import Design
from ringgeom.form.places import Band, Channel, Edges, Stripe
from ringgeom.page.edits import Keys
from ringgeom.page.grip import SNAP_MM, Move


@dataclass(frozen=True, slots=True, kw_only=True)
class Pulled:
    """A wall's name, its words, what it moves as mm for each mm of the hand along z."""

    name: str
    says: str
    moves: tuple[Move, ...]
    alone: tuple[Move, ...] = ()
    least: float | None = SNAP_MM


def pulled(design: Design, number: int, band: Band, out: int) -> Pulled | None:
    """What the wall of a part that faces `out` moves; None if an earlier part moves it."""
    part, key = design.parts[number], ("part", number)
    if isinstance(part, Channel):
        return _channel(part, key, band, out)
    if isinstance(part, Stripe):
        return _stripe(design, number, part, out)
    assert isinstance(part, Edges)
    moved = Move(key=(*key, "width_mm"), value=part.width_mm, per=float(out))
    which = 1 if out > 0 else 2
    return Pulled(name=f"{number} width {which}", says=f"width of {part.name}", moves=(moved,))


def centred(part: Channel, key: Keys) -> Pulled:
    """A channel moved as a whole."""
    moved = Move(key=(*key, "centre_mm"), value=part.centre_mm, per=1.0)
    return Pulled(
        name=f"{key[1]} centre",
        says=f"place of {part.name} from mid-width",
        moves=(moved,),
        least=None,
    )


def _channel(part: Channel, key: Keys, band: Band, out: int) -> Pulled:
    width, centre = (*key, "width_mm"), (*key, "centre_mm")
    alone = (
        Move(key=width, value=part.width_mm, per=1.0 * out),
        Move(key=centre, value=part.centre_mm, per=0.5),
    )
    other = part.walls_mm()[0 if out > 0 else 1]
    both = (Move(key=width, value=part.width_mm, per=2.0 * out),)
    return Pulled(
        name=f"{key[1]} {'left' if out < 0 else 'right'}",
        says=f"width of {part.name}",
        moves=alone if band.on_edge(other) else both,
        alone=alone,
    )


def _stripe(design: Design, number: int, part: Stripe, out: int) -> Pulled | None:
    own, other = ("from_mm", "to_mm") if out < 0 else ("to_mm", "from_mm")
    at = getattr(part, own)
    meets = [
        n
        for n, one in enumerate(design.parts)
        if isinstance(one, Stripe) and abs(getattr(one, other) - at) < 1e-9
    ]
    if meets and meets[0] < number:
        return None  # the boundary is moved by the stripe written first
    moved = Move(key=("part", number, own), value=at, per=1.0)
    follow = [Move(key=("part", n, other), value=at, per=1.0) for n in meets]
    return Pulled(
        name=f"{number} {own}",
        says=f"edge of {part.name} from mid-width",
        moves=(moved, *follow),
        least=None,
    )
