"""Dimension lines of the outside unrolled: waves and pieces, each with the key it stands for.

  |<- length ->|   |<- piece ->|gap
 .-'''-.     .-''  /           //
/       \\   /  |height
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from math import cos, pi, radians, tan

from ringgeom.design import Design
from ringgeom.form.places import Band, Segments
from ringgeom.page.grips_round import seen_between
from ringgeom.page.measures import Measure
from ringgeom.page.swing import crests, together, wave_of, waving_walls

SHARE = 0.47
"""Where round the turn a length is measured, between the places of the grips."""

APART = 3
"""With more pieces than these a gap is measured at another joint than the piece's own."""


def measures_round(design: Design, band: Band) -> tuple[Measure, ...]:
    """Every dimension line of the outside; where there is no room the page leaves one out."""
    found: list[Measure] = []
    for number, part in enumerate(design.parts):
        if isinstance(part, Segments):
            found += _pieces(design, number, part, band)
        elif min(together(design, number, band)) == number:
            found += _wave(design, number, band)
    return tuple(found)


def _wave(design: Design, number: int, band: Band) -> Iterator[Measure]:
    part = design.parts[number]
    wave, walls = wave_of(part), waving_walls(part, band)
    if wave is None or not walls or not wave.amplitude_mm:
        return
    middle = walls[-1].at_mm
    key = ("part", number, "wave", "amplitude_mm")
    yield Measure(
        side="right",
        row=0,
        from_mm=middle,
        to_mm=middle + wave.amplitude_mm,
        value=wave.amplitude_mm,
        says=f"wave height of {part.name}, middle to crest",
        key=key,
        at_mm=max((one.angle for one in crests(wave) if one.sign > 0), default=0) * band.crest_mm,
    )
    tops = [band.crest_mm * one.angle for one in crests(wave) if one.sign > 0]
    pairs = sorted(pairwise(tops), key=lambda two: abs(sum(two) / 2 - _at(band)))
    for a, b in pairs[:1]:
        yield Measure(
            side="above",
            row=0,
            from_mm=a,
            to_mm=b,
            value=2 * pi * band.crest_mm / wave.count,
            says=f"length of one wave of {part.name}",
            at_mm=middle + wave.amplitude_mm,
        )


def _pieces(design: Design, number: int, part: Segments, band: Band) -> Iterator[Measure]:
    _, high = seen_between(design, number, band)
    lean = high * tan(radians(part.slant_deg))
    # along the outside a gap is as wide as its joint is slanted
    gap = part.gap.side / cos(radians(part.slant_deg))
    pitch = 2 * pi * band.crest_mm / part.count
    start = pitch * round((_at(band) - lean) / pitch) + lean
    yield Measure(
        side="above",
        row=0,
        from_mm=start,
        to_mm=start + pitch - gap,
        value=pitch - gap,
        says=f"length of a piece of {part.name}",
        at_mm=high,
    )
    if part.gap.side:
        key = ("part", number, "gap_mm", "side")
        joint = start + (2 * pitch if part.count > APART else 0)
        yield Measure(
            side="above",
            row=1,
            from_mm=joint - gap,
            to_mm=joint,
            value=part.gap.side,
            says=f"gap at the joints of {part.name}",
            key=key,
            at_mm=high,
        )


def _at(band: Band) -> float:
    return 2 * pi * band.crest_mm * SHARE
