"""What a band that tapers measures round the ring, hour by hour, to file it by."""

from __future__ import annotations

from dataclasses import dataclass
from math import tau

from ringgeom.form.clock import clock_words
from ringgeom.form.ring_form import RingForm

HOURS = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class Station:
    """The band at a place round the ring.

    `clock` is its hour, `angle` the same from 12 o'clock [rad]; width and thickness are finished,
    the thickness from the bore at mid-width to the highest of the outside [mm].
    """

    clock: str
    angle: float
    width_mm: float
    thickness_mm: float


def tapering(form: RingForm) -> tuple[Station, ...]:
    """Every hour and every station between them; empty where the band does not taper."""
    if form.taper is None:
        return ()
    hours = [tau * hour / HOURS for hour in range(HOURS)]
    between = [
        angle
        for angle in form.taper.angles
        if all(clock_words(angle) != clock_words(hour) for hour in hours)
    ]
    return tuple(_station(form, angle) for angle in sorted((*hours, *between)))


def _station(form: RingForm, angle: float) -> Station:
    there = form.at(angle)
    return Station(
        clock=clock_words(angle),
        angle=angle,
        width_mm=there.width_mm,
        thickness_mm=there.thickness_mm,
    )


def tapers_to(form: RingForm) -> str:
    """What the band tapers to, in words; empty where it does not taper."""
    if form.taper is None:
        return ""
    said = [
        f"{one.width_mm:g} x {one.thickness_mm:g} mm at {one.clock}"
        for one in (_station(form, angle) for angle in form.taper.angles if angle)
    ]
    return "tapers to " + ", ".join(said)
