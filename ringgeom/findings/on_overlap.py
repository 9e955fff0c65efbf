"""Rules on two places that want the same metal.

Parts take their place in the order written, so a later part gets what is left. That is
meant where a channel is let in first and stripes lie under it; elsewhere it is a slip.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import radians, tan

import numpy as np

from ringgeom.findings.context import Asking
from ringgeom.findings.finding import Finding, Keys, Rules
from ringgeom.form.claim import Reach, Wall
from ringgeom.form.curve import Array
from ringgeom.form.places import AnyPlace, Channel, Edges, Liner, Segments, Stripe

RULES: Rules[Asking] = Rules()

LEAST_MM = 1e-6

FOLD = 0.9
"""Slope of the wave times the joint's twist; at one the joint runs along the wave."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """What one claim wants: z from and to at every angle, radius from and to [mm]."""

    key: Keys
    place: AnyPlace
    name: str
    low: Array
    high: Array
    floor_mm: float
    ceiling_mm: float

    def over(self, other: Room) -> float:
        """Deepest overlap with another room, along the axis [mm]; 0 when apart in radius."""
        if min(self.ceiling_mm, other.ceiling_mm) - max(self.floor_mm, other.floor_mm) < LEAST_MM:
            return 0.0
        along = np.minimum(self.high, other.high) - np.maximum(self.low, other.low)
        return float(along.max())

    def holds(self, other: Room) -> bool:
        """Whether the other lies inside all round."""
        return bool(
            (self.low <= other.low + LEAST_MM).all() and (self.high >= other.high - LEAST_MM).all()
        )


def rooms(a: Asking) -> list[Room]:
    """What every claim wants, in the order written."""
    counts = [wave.count for _, p in a.places() if (wave := getattr(p, "wave", None)) is not None]
    angles = np.linspace(0, 2 * np.pi, 64 * max(counts, default=1), endpoint=False)
    half = a.band.half_mm
    found = []
    for key, place in a.places():
        for placed in place.placed(a.band):
            takes = placed.claim.takes
            if placed.claim.drawn:
                continue
            found.append(
                Room(
                    key=key,
                    place=place,
                    name=placed.names[0] if len(placed.names) == 1 else place.name,
                    low=_side(takes, takes.left, angles, -half),
                    high=_side(takes, takes.right, angles, half),
                    floor_mm=a.band.bore_mm if takes.floor_mm is None else takes.floor_mm,
                    ceiling_mm=a.band.crest_mm if takes.ceiling_mm is None else takes.ceiling_mm,
                )
            )
    return found


def _side(reach: Reach, wall: Wall | None, angles: Array, edge: float) -> Array:
    if wall is None:
        return np.full(angles.size, edge)
    foot = wall.out * wall.undercut_mm
    return np.broadcast_to(wall.z(angles, 0.0) + foot, (angles.size,))


@RULES.add
def parts_overlap(a: Asking) -> Iterator[Finding]:
    """Two places that want the same metal."""
    found = rooms(a)
    for number, later in enumerate(found):
        for earlier in found[:number]:
            over = earlier.over(later)
            if over <= LEAST_MM:
                continue
            fix = _slip(a, earlier, later)
            if fix is None:
                continue
            undercut = _undercut(earlier, later, over)
            yield Finding(
                code="undercuts-meet" if undercut else "parts-overlap",
                level="stop",
                part=later.name,
                value=over,
                limit=0.0,
                unit="mm",
                text=f"{later.name} wants {over:.2f} mm of the width that {earlier.name} has "
                "taken" + (", under the surface" if undercut else ""),
                fix=fix,
                key=later.key,
            )


def _undercut(earlier: Room, later: Room, over: float) -> bool:
    lean = sum(getattr(room.place, "undercut_mm", 0.0) for room in (earlier, later))
    return 0 < over <= lean + LEAST_MM


def _slip(a: Asking, earlier: Room, later: Room) -> str | None:
    """The way out of an overlap, or None when it is meant."""
    first, second = earlier.place, later.place
    if isinstance(first, Channel):
        if isinstance(second, Channel):
            if later.holds(earlier):
                return None
            return "move or narrow one of the two channels"
        if isinstance(second, Liner):
            return (
                f"write the liner first; deepest channel over it: {_over_liner(a, second):.2f} mm"
            )
        return None
    if isinstance(first, Liner):
        if isinstance(second, Liner):
            return "one liner is enough: the second needs a greater thickness_mm to be a layer"
        deep = getattr(second, "depth_mm", None)
        if deep is None:
            return None
        return f"depth_mm up to {_over_liner(a, first):.2f}, above the liner"
    if isinstance(second, Channel):
        return f"write the channel {second.name} before {first.name}: it is let in first"
    if isinstance(second, Liner):
        return f"write the liner {second.name} before {first.name}"
    if isinstance(second, Segments) and isinstance(first, Stripe | Edges):
        return None
    if isinstance(first, Segments) and first.depth_mm is not None:
        return None
    if isinstance(first, Segments):
        return f"{first.name} takes all that is left: write it last, or give it a depth_mm"
    return "let one end where the other begins, with the same wave on a shared boundary"


def _over_liner(a: Asking, liner: Liner) -> float:
    return a.form.mid_mm - liner.thickness_mm


@RULES.add
def undercut_past_edge(a: Asking) -> Iterator[Finding]:
    """An undercut that reaches past the edge of the band."""
    half = a.band.half_mm
    for room in rooms(a):
        undercut = getattr(room.place, "undercut_mm", 0.0)
        if not undercut:
            continue
        ends = zip(_walls(room), (-room.low.min(), room.high.max()), strict=False)
        # where the wall is the band's own edge there is none to lean
        reach = max((float(end) for z, end in ends if not a.band.on_edge(z)), default=0.0)
        if reach > half - LEAST_MM:
            yield Finding(
                code="undercuts-meet",
                level="stop",
                part=room.name,
                value=reach,
                limit=half,
                unit="mm",
                text=f"the undercut reaches {reach:.2f} mm from mid-width, "
                f"out of the band's edge at {half:g} mm",
                fix="a smaller undercut_mm, or the channel further in",
                key=(*room.key, "undercut_mm"),
            )


def _walls(room: Room) -> tuple[float, ...]:
    return room.place.walls_mm() if isinstance(room.place, Channel) else ()


@RULES.add
def crosses_itself(a: Asking) -> Iterator[Finding]:
    """A stripe one of whose boundaries waves through the other."""
    least = a.shop.limits.wire_stop_mm
    for room in rooms(a):
        width = float((room.high - room.low).min())
        if isinstance(room.place, Stripe) and room.place.wave is not None and width < least:
            yield Finding(
                code="crosses-itself" if width <= 0 else "thin-rail",
                level="stop",
                part=room.name,
                value=width,
                limit=least,
                unit="mm",
                text=f"the boundaries of {room.name} come within {width:.2f} mm of each other",
                fix="a smaller amplitude, or the wave on both boundaries",
                key=(*room.key, "wave"),
            )


@RULES.add
def wave_folds(a: Asking) -> Iterator[Finding]:
    """A wave so steep that a slanted joint would cross it more than once."""
    slant = max((abs(p.slant_deg) for _, p in a.places() if isinstance(p, Segments)), default=0.0)
    twist = tan(radians(slant)) / a.band.crest_mm
    for key, place in a.places():
        asked = getattr(place, "wave", None)
        wave = asked.wave() if asked is not None else None
        if wave is not None and wave.steepest() * twist > FOLD:
            yield Finding(
                code="wave-folds",
                level="stop",
                part=place.name,
                value=wave.steepest() * twist,
                limit=FOLD,
                unit="",
                text=f"the wave of {place.name} is steeper than joints slanted by {slant:g} "
                "degrees can follow",
                fix=f"amplitude_mm below {FOLD / twist / wave.count:.2f}, or a smaller slant_deg",
                key=(*key, "wave"),
            )


@RULES.add
def stripes_do_not_sum(a: Asking) -> Iterator[Finding]:
    """Stripes that nearly fill the width, and leave a sliver nobody meant."""
    width, least = a.form.width_mm, a.shop.limits.wire_stop_mm
    stripes = [p for _, p in a.places() if isinstance(p, Stripe)]
    covered = sum(p.to_mm - p.from_mm for p in stripes)
    covered += sum(2 * p.width_mm for _, p in a.places() if isinstance(p, Edges))
    short = width - covered
    if stripes and LEAST_MM < short < least:
        yield Finding(
            code="stripes-do-not-sum",
            level="stop",
            part=stripes[-1].name,
            value=covered,
            limit=width,
            unit="mm",
            text=f"the stripes add up to {covered:g} mm of a band {width:g} mm wide: "
            f"{short:.2f} mm is left for the body",
            fix=f"let them add up to {width:g} mm, or leave the body {least:g} mm or more",
            key=("part",),
        )
