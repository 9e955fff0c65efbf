"""A wave as the hand finds it on the outside unrolled: its crests, its crossings, who swings along.

     crest            middle of the wall = where it would run without its wave
   .-'''-.     .-''
  /       \\   /       crossing
-'         '-'
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil, pi, radians

from ringgeom.design import Design
from ringgeom.form.claim import Wall
from ringgeom.form.places import AnyPlace, Band, Channel, Edges, Stripe
from ringgeom.form.places.place import WaveAsked

LEAST_TURN = 0.04
"""Nearer to angle 0 a crest is no handle for the count: it would hardly move."""

DRAWN_MM = 1.0
"""A wave asked for but without height is given one, to see which walls it would move."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Crest:
    """An outermost place of a wave: its angle [rad], and 1 for a crest, -1 for a trough."""

    angle: float
    sign: int


def wave_of(part: AnyPlace) -> WaveAsked | None:
    """The wave that a place asks for, also one of no height."""
    return part.wave if isinstance(part, Channel | Edges | Stripe) else None


def waving_walls(part: AnyPlace, band: Band) -> tuple[Wall, ...]:
    """Walls that a place's wave moves, or would if it had any height; the lowest z first."""
    wave = wave_of(part)
    if wave is None:
        return ()
    drawn = wave.model_copy(update={"amplitude_mm": max(wave.amplitude_mm, DRAWN_MM)})
    walls = (
        wall
        for placed in part.model_copy(update={"wave": drawn}).placed(band)
        for wall in placed.claim.takes.walls
        if wall.wave is not None and not band.on_edge(wall.at_mm)
    )
    return tuple(sorted(walls, key=lambda wall: wall.at_mm))


def crests(wave: WaveAsked) -> Iterator[Crest]:
    """Every crest and trough from angle 0 to a whole turn."""
    phase = radians(wave.phase_deg)
    first = ceil((phase - pi / 2) / pi - 1e-9)
    for n in range(first, first + 2 * wave.count + 1):
        angle = (pi / 2 + n * pi - phase) / wave.count
        if angle < 2 * pi + 1e-9:
            yield Crest(angle=max(0.0, angle), sign=-1 if n % 2 else 1)


def crossing(wave: WaveAsked, share: float) -> float:
    """The angle nearest to a share of the turn where the wave crosses its middle [rad]."""
    phase = radians(wave.phase_deg)
    n = round((wave.count * 2 * pi * share + phase) / pi)
    return (n * pi - phase) / wave.count


def counted(wave: WaveAsked, share: float) -> Crest:
    """The crest or trough by which the count is pulled, nearest to a share of the turn."""
    far = [one for one in crests(wave) if one.angle > 2 * pi * LEAST_TURN]
    return min(far, key=lambda one: abs(one.angle - 2 * pi * share))


def raised(wave: WaveAsked, share: float, but: Crest | None) -> Crest:
    """The crest or trough near a share of the turn by which the height is pulled, not one taken."""
    free = [one for one in crests(wave) if but is None or abs(one.angle - but.angle) > 1e-9]
    return min(free, key=lambda one: abs(one.angle - 2 * pi * share))


def together(design: Design, number: int, band: Band) -> tuple[int, ...]:
    """Parts whose waves are one: stripes that share waving boundaries, this one first."""
    found = [number]
    for n in found:
        one = design.parts[n]
        if isinstance(one, Stripe):
            found += [
                m
                for m, other in enumerate(design.parts)
                if m not in found and isinstance(other, Stripe) and _swing_as_one(one, other, band)
            ]
    return tuple(found)


def _swing_as_one(one: Stripe, other: Stripe, band: Band) -> bool:
    if one.wave is None or other.wave is None:
        return False
    a, b = (wave.model_dump(exclude={"on"}) for wave in (one.wave, other.wave))
    moved = [{wall.at_mm for wall in waving_walls(part, band)} for part in (one, other)]
    return a == b and any(abs(p - q) < 1e-9 for p in moved[0] for q in moved[1])
