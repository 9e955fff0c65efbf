"""The ring unrolled, outside and bore: every wall, wave and joint as a line to wrap round it.

z |   ~~~~~~~~~~~~~   wall          s = radius x angle, from angle 0 once round
  |---/--------/----- joint         z from mid-width
  +------------------> s
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import acos, ceil, pi
from typing import Literal

import numpy as np

from ringgeom.form.claim import Wall
from ringgeom.form.places import AnyPlace
from ringgeom.form.ring import Ring, sector_ends
from ringgeom.form.wave import Wave

CHORD_MM = 0.01
"""How far a drawn line may be from the true wave: the width of a fine scriber's line is more."""

Point = tuple[float, float]
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
    """A side of the ring, unrolled at its diameter at mid-width.

    `around_mm` is the length of the template, `half_mm` from mid-width to an edge; a joint
    goes on beyond an end where it crosses the seam.
    """

    side: Side
    diameter_mm: float
    around_mm: float
    half_mm: float
    lines: tuple[Line, ...]


def unrolled(ring: Ring, places: Sequence[AnyPlace]) -> tuple[Unrolled, ...]:
    """Templates of the outside and of the bore of the finished ring.

    Every boundary is drawn as it was asked for, also where a later part lies over it.

    Parameters
    ----------
    places : sequence of places
        For each claim of the ring, the place that made it.
    """
    band = ring.form.band
    sides: tuple[tuple[Side, float], ...] = (("outside", band.crest_mm), ("bore", band.bore_mm))
    return tuple(
        Unrolled(
            side=side,
            diameter_mm=2 * radius,
            around_mm=2 * pi * radius,
            half_mm=band.half_mm,
            lines=tuple(_lines(ring, places, side, radius)),
        )
        for side, radius in sides
    )


def _lines(ring: Ring, places: Sequence[AnyPlace], side: Side, radius: float) -> Iterator[Line]:
    for claim, place in zip(ring.claims, places, strict=True):
        # what has a floor does not come to the bore, what has a ceiling not to the outside
        stops = claim.takes.ceiling_mm if side == "outside" else claim.takes.floor_mm
        lined = side == "bore" and any(c.takes.ceiling_mm is not None for c in ring.claims)
        if stops is not None or (lined and claim.takes.ceiling_mm is None):
            continue
        for number, wall in ((1, claim.takes.left), (2, claim.takes.right)):
            if wall is not None and not ring.form.band.on_edge(wall.at_mm):
                points = tuple(wall_line(wall, radius))
                yield Line(of=place.name, kind="wall", number=number, points=points)
        if claim.sectors is None:
            continue
        lean, half = radius * claim.sectors.twist, ring.form.band.half_mm
        for number in range(claim.sectors.count):
            at = radius * sector_ends(claim, number)[1]
            ends = ((at - lean * half, -half), (at + lean * half, half))
            kind: Literal["joint", "seam"] = "seam" if claim.sectors.count == 1 else "joint"
            yield Line(of=place.name, kind=kind, number=number + 1, points=ends)


def wall_line(wall: Wall, radius: float) -> Iterator[Point]:
    """A wall at the outside once round; crests and crossings of its wave are among the points."""
    if wall.wave is None:
        yield from ((0.0, wall.at_mm), (2 * pi * radius, wall.at_mm))
        return
    angles = _wave_angles(wall.wave, radius)
    heights = wall.at_mm + wall.wave.z(angles)
    for angle, z in zip(angles.tolist(), heights.tolist(), strict=True):
        yield radius * angle, z


def _wave_angles(wave: Wave, radius: float) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """Angles so dense that the chords keep within `CHORD_MM` of the wave."""
    # a chord over an angle a of a sine is off by no more than amplitude (1 - cos(a / 2))
    amplitude = abs(wave.amplitude_mm)
    step = pi / 2 if amplitude <= CHORD_MM else 2 * acos(1 - CHORD_MM / amplitude)
    parts = ceil(pi / 2 / min(step, pi / 4))
    first = ceil(wave.phase / (pi / 2) * parts)
    turns = (np.arange(first, first + 4 * parts * wave.count + 1) * pi / 2 / parts) - wave.phase
    inside = turns / wave.count
    inside = inside[(inside > 1e-12) & (inside < 2 * pi - 1e-12)]
    return np.concatenate([[0.0], inside, [2 * pi]])
