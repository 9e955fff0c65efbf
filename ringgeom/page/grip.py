"""A place to grab on a drawing: where it lies, which keys it moves, and by which law."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from ringgeom.page.edits import Keys

Unit = Literal["mm", "deg", "count"]
Law = Literal["even", "inverse", "slant"]

SNAP_MM = 0.05


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """A key that a grip moves: its value now, and by how much f(value) grows per mm of the hand.

    f is the grip's law: ``even`` the value itself, ``inverse`` 1/value (what is shared out
    round the ring), ``slant`` the tangent of the value in degrees (a joint pulled at its end).
    """

    key: Keys
    value: float
    per: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Grip:
    """One place to grab; `moves` begins with the measure that is shown and typed.

    Attributes
    ----------
    axis : str
        ``x`` along the drawing, ``y`` up it.
    at_mm : (float, float)
        Where it lies: (z, r) on the cut section, (s, z) on the outside unrolled.
    alone : tuple of Move
        What moves when one side is to move by itself.
    snap, least, most : float
        The step of the value, and how far it goes; None for no end.
    turn : float, optional
        The value counts but for whole turns of this size.
    """

    name: str
    says: str
    axis: Literal["x", "y"]
    at_mm: tuple[float, float]
    moves: tuple[Move, ...]
    alone: tuple[Move, ...] = ()
    unit: Unit = "mm"
    law: Law = "even"
    snap: float = SNAP_MM
    least: float | None = SNAP_MM
    most: float | None = None
    turn: float | None = None
