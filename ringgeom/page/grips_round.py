"""What can be grabbed on the outside unrolled: walls, waves and joints, left to right.

z |  ~o~~~~o~~~~~~o~~~~   o on a wall: its place across the width
  |   wall  count  height   on a wave: how many, where along the ring, how high
  |---/----o----------/-- o on a joint: how many, how slanted
  +----------------------> s = outside radius x angle, from 12 o'clock once round
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from math import degrees, pi, radians, tan

import numpy as np

from ringgeom.design import Design
from ringgeom.form.claim import Wall
from ringgeom.form.places import Band, Channel, Liner, Segments
from ringgeom.form.places.place import WaveAsked
from ringgeom.page.edits import Keys
from ringgeom.page.grip import Grip, Move
from ringgeom.page.pulled import Pulled, centred, pulled
from ringgeom.page.swing import Crest, counted, crossing, raised, together, wave_of, waving_walls

SHARES = {"left": 0.1, "count": 0.25, "centre": 0.4, "phase": 0.55, "height": 0.7, "right": 0.85}
"""Where round the turn each kind of grip lies, a wave's as near to it as the wave allows."""

ASIDE, ASIDE_TIMES = 0.05, 3
"""A further part's grips lie so much further round."""

MOST_WAVES, MOST_PIECES, MOST_SLANT_DEG, MOST_HEIGHT_MM = 200, 120, 79, 20


def grips_round(design: Design, band: Band) -> tuple[Grip, ...]:
    """Every grip of a design on its outside, in the order from 12 o'clock."""
    found: list[Grip] = []
    for number, part in enumerate(design.parts):
        if isinstance(part, Segments):
            found += _segments(design, number, part, band)
        elif not isinstance(part, Liner):
            found += _walls(design, number, band)
            found += _wave(design, number, band)
    named = (replace(grip, name=f"round {grip.name}") for grip in found)
    return tuple(sorted(named, key=lambda grip: grip.at_mm))


def _share(kind: str, number: int) -> float:
    return SHARES[kind] + ASIDE * (number % ASIDE_TIMES)


def _on(band: Band, angle: float, z: float) -> tuple[float, float]:
    """A place on the outside; a wave that runs off the band is seen at its edge."""
    return band.crest_mm * angle, max(-band.half_mm, min(band.half_mm, z))


def _walls(design: Design, number: int, band: Band) -> Iterator[Grip]:
    part = design.parts[number]
    walls = [
        wall
        for placed in part.placed(band)
        for wall in placed.claim.takes.walls
        if not band.on_edge(wall.at_mm)
    ]
    for wall, kind in zip(walls, ("left", "right"), strict=False):
        found = pulled(design, number, band, wall.out)
        if found is not None:
            angle = 2 * pi * _share(kind, number)
            yield _across(found, _on(band, angle, _z(wall, angle)))
    if isinstance(part, Channel) and len(walls) == 2:
        angle = 2 * pi * _share("centre", number)
        z = sum(_z(wall, angle) for wall in walls) / 2
        yield _across(centred(part, ("part", number)), _on(band, angle, z))


def _z(wall: Wall, angle: float) -> float:
    return float(wall.mouth(np.array([angle]), 0.0)[0])


def _across(found: Pulled, at_mm: tuple[float, float]) -> Grip:
    return Grip(
        name=found.name,
        says=found.says,
        axis="y",
        at_mm=at_mm,
        moves=found.moves,
        alone=found.alone,
        least=found.least,
    )


def _wave(design: Design, number: int, band: Band) -> Iterator[Grip]:
    part = design.parts[number]
    wave, walls = wave_of(part), waving_walls(part, band)
    numbers = together(design, number, band)
    if wave is None or not walls or min(numbers) < number:
        return  # waves that are one are moved by the stripe written first
    low, high = walls[0].at_mm, walls[-1].at_mm
    keys: list[Keys] = [("part", n, "wave") for n in numbers]
    by_count = counted(wave, _share("count", number))
    by_height = raised(wave, _share("height", number), by_count if low == high else None)
    yield Grip(
        name=f"{number} count",
        says=f"number of waves of {part.name}",
        axis="x",
        at_mm=_crest_at(band, wave, by_count, low),
        moves=_moves(keys, "count", wave.count, 1 / (band.crest_mm * wave.count * by_count.angle)),
        unit="count",
        law="inverse",
        snap=1,
        least=1,
        most=MOST_WAVES,
    )
    yield Grip(
        name=f"{number} phase",
        says=f"shift of {part.name} along the ring",
        axis="x",
        at_mm=_on(band, crossing(wave, _share("phase", number)), low),
        moves=_moves(keys, "phase_deg", wave.phase_deg, -degrees(wave.count / band.crest_mm)),
        unit="deg",
        snap=1,
        least=None,
        turn=360,
    )
    yield Grip(
        name=f"{number} height",
        says=f"wave height of {part.name}",
        axis="y",
        at_mm=_crest_at(band, wave, by_height, high),
        moves=_moves(keys, "amplitude_mm", wave.amplitude_mm, float(by_height.sign)),
        least=0,
        most=MOST_HEIGHT_MM,
    )


def _crest_at(band: Band, wave: WaveAsked, crest: Crest, middle: float) -> tuple[float, float]:
    return _on(band, crest.angle, middle + crest.sign * wave.amplitude_mm)


def _moves(keys: list[Keys], name: str, value: float, per: float) -> tuple[Move, ...]:
    return tuple(Move(key=(*key, name), value=value, per=per) for key in keys)


def _segments(design: Design, number: int, part: Segments, band: Band) -> Iterator[Grip]:
    low, high = seen_between(design, number, band)
    lean = tan(radians(part.slant_deg))
    pitch = 2 * pi / part.count
    joint = max(1, round(part.count * _share("count", number)))
    middle = (low + high) / 2
    yield Grip(
        name=f"{number} count",
        says=f"number of pieces of {part.name}",
        axis="x",
        at_mm=(band.crest_mm * joint * pitch + middle * lean, middle),
        moves=_moves([("part", number)], "count", part.count, 1 / (2 * pi * band.crest_mm * joint)),
        unit="count",
        law="inverse",
        snap=1,
        least=2,
        most=MOST_PIECES,
    )
    # joints of one ring slant alike
    alike = [
        n
        for n, one in enumerate(design.parts)
        if isinstance(one, Segments) and one.slant_deg == part.slant_deg
    ]
    if alike[0] < number:
        return
    joint = min(part.count - 1, max(1, round(part.count * _share("height", number))))
    end = max(high, low, key=abs)
    yield Grip(
        name=f"{number} slant",
        says=f"slant of the joints of {part.name}",
        axis="x",
        at_mm=(band.crest_mm * joint * pitch + end * lean, end),
        moves=_moves([("part", n) for n in alike], "slant_deg", part.slant_deg, 1 / end),
        unit="deg",
        law="slant",
        snap=1,
        least=-MOST_SLANT_DEG,
        most=MOST_SLANT_DEG,
    )


def seen_between(design: Design, number: int, band: Band) -> tuple[float, float]:
    """The z between which a part is seen, where parts written before it lie along the edges."""
    low, high = -band.half_mm, band.half_mm
    for part in design.parts[:number]:
        for placed in part.placed(band):
            reach = placed.claim.takes
            if reach.ceiling_mm is not None:
                continue
            if reach.left is None and reach.right is not None:
                low = max(low, reach.right.at_mm)
            elif reach.right is None and reach.left is not None:
                high = min(high, reach.left.at_mm)
    return (low, high) if low < high else (-band.half_mm, band.half_mm)
