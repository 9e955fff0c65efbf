"""The ring unrolled, outside and bore: every wall, wave and joint as a line to wrap round it.

z |   ~~~~~~~~~~~~~   wall          s = radius x angle, from angle 0 once round
  |---/--------/----- joint         z from mid-width
  +------------------> s
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import pi
from typing import Literal

from ringgeom.form.places import AnyPlace
from ringgeom.form.ring import Ring, sector_ends
from ringgeom.making.roll import Point, Roll

Side = Literal["outside", "bore"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line of a template.

    Attributes
    ----------
    of : str
        The part whose boundary it is.
    kind : str
        ``wall`` across the width, ``joint`` between two segments, ``seam`` of an open strip.
    number : int
        Of the joint, after the segment of that number; of the wall, 1 left and 2 right.
    points : tuple of (float, float)
        Along the turn from angle 0, and from mid-width [mm].
    """

    of: str
    kind: Literal["wall", "joint", "seam"]
    number: int
    points: tuple[Point, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Unrolled:
    """A side of the ring, unrolled: the bore, or the outside at its highest.

    `around_mm` is the length of the template, `half_mm` from mid-width to an edge where the
    band is widest, `edge` its upper edge once round; a joint goes on beyond an end where it
    crosses the seam. Where the thickness tapers, `diameter_mm` is that of a circle as long.
    """

    side: Side
    diameter_mm: float
    around_mm: float
    half_mm: float
    edge: tuple[Point, ...]
    lines: tuple[Line, ...]


def unrolled(ring: Ring, places: Sequence[AnyPlace]) -> tuple[Unrolled, ...]:
    """Templates of the outside and of the bore of the finished ring.

    Every boundary is drawn as it was asked for, also where a later part lies over it.

    Parameters
    ----------
    places : sequence of places
        For each claim of the ring, the place that made it.
    """
    sides: tuple[Side, Side] = ("outside", "bore")
    rolls = [Roll(form=ring.form, outside=side == "outside") for side in sides]
    return tuple(
        Unrolled(
            side=side,
            diameter_mm=roll.around_mm / pi,
            around_mm=roll.around_mm,
            half_mm=ring.form.band.half_mm,
            edge=tuple(roll.edge()),
            lines=tuple(_lines(ring, places, side, roll)),
        )
        for side, roll in zip(sides, rolls, strict=True)
    )


def _lines(ring: Ring, places: Sequence[AnyPlace], side: Side, roll: Roll) -> Iterator[Line]:
    for claim, place in zip(ring.claims, places, strict=True):
        # what has a floor does not come to the bore, what has a ceiling not to the outside
        stops = claim.takes.ceiling_mm if side == "outside" else claim.takes.floor_mm
        lined = side == "bore" and any(c.takes.ceiling_mm is not None for c in ring.claims)
        if stops is not None or (lined and claim.takes.ceiling_mm is None):
            continue
        for number, wall in ((1, claim.takes.left), (2, claim.takes.right)):
            if wall is not None and not ring.form.band.on_edge(wall.at_mm):
                points = tuple(roll.wall(wall))
                yield Line(of=place.name, kind="wall", number=number, points=points)
        if claim.sectors is None:
            continue
        lean = roll.radius_mm * claim.sectors.twist
        for number in range(claim.sectors.count):
            angle = sector_ends(claim, number)[1]
            at, half = roll.s(angle), roll.half(angle)
            ends = ((at - lean * half, -half), (at + lean * half, half))
            kind: Literal["joint", "seam"] = "seam" if claim.sectors.count == 1 else "joint"
            yield Line(of=place.name, kind=kind, number=number + 1, points=ends)
