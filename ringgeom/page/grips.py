"""What can be grabbed on the cut section: where it lies, which keys it moves and how far.

    centre
left |  right        a wall moves the width, both sides alike; alone with the Alt key
|____o____|          floor moves the depth, centre the whole inlay
     floor
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from ringgeom.design import Design
from ringgeom.form.claim import Wall
from ringgeom.form.places import AnyPlace, Band, Channel, Edges, Liner, Segments, Stripe
from ringgeom.form.profiles import Form
from ringgeom.form.ring_form import RingForm
from ringgeom.page.edits import Keys
from ringgeom.page.grip import Grip, Move
from ringgeom.page.pulled import Pulled, centred, pulled


def grips(design: Design, band: Band, angle: float, twist: float) -> tuple[Grip, ...]:
    """Every grip of a design, seen where the ring is cut (angle and twist of that cut [rad])."""
    return (*_band_grips(design, band), *_part_grips(design, band, angle, twist))


def _band_grips(design: Design, band: Band) -> Iterator[Grip]:
    ring = design.ring
    yield Grip(
        name="thickness",
        says="thickness",
        axis="y",
        at_mm=(ring.outside.crest_z_mm(band.half_mm), band.crest_mm),
        moves=(Move(key=("ring", "thickness_mm"), value=ring.thickness_mm, per=1.0),),
    )
    low, high = edge_mm(design, band)
    follow = [
        Move(key=("part", n, key), value=at, per=float(np.sign(at)))
        for n, part in enumerate(design.parts)
        if isinstance(part, Stripe)
        for key, at in (("from_mm", part.from_mm), ("to_mm", part.to_mm))
        if band.on_edge(at)
    ]
    yield Grip(
        name="width",
        says="width of the band",
        axis="x",
        at_mm=(band.half_mm, (low + high) / 2),
        moves=(Move(key=("ring", "width_mm"), value=ring.width_mm, per=2.0), *follow),
    )
    sides: tuple[tuple[str, str, Form, float, int], ...] = (
        ("outside", "outside", ring.outside, high, 1),
        ("inside", "bore", ring.inside, low, -1),
    )
    for side, words, form, edge, way in sides:
        if form.height is None:
            continue
        key, per = form.height
        yield Grip(
            name=side,
            says=f"{key.removesuffix('_mm').replace('_', ' ')} of the {words}",
            axis="y",
            at_mm=(0.0, band.mid_mm) if key == "dip_mm" else (-band.half_mm, edge),
            moves=(Move(key=("ring", side, key), value=getattr(form, key, 0.0), per=way * per),),
            least=0.0,
        )


def edge_mm(design: Design, band: Band) -> tuple[float, float]:
    """Radius of bore and outside at the band's edges, also of forms that do not fit [mm]."""
    ring = design.ring
    form = RingForm(
        inside_diameter_mm=2 * band.bore_mm,
        width_mm=ring.width_mm,
        thickness_mm=ring.thickness_mm,
        outside=ring.outside,
        inside=ring.inside,
    )
    outer, inner = form.falls_mm
    return band.bore_mm + inner, band.crest_mm - outer


def _part_grips(design: Design, band: Band, angle: float, twist: float) -> Iterator[Grip]:
    for number, part in enumerate(design.parts):
        key: Keys = ("part", number)
        walls = walls_at(part, band, angle, twist)
        if isinstance(part, Channel):
            yield from _channel(design, number, part, band, walls)
        elif isinstance(part, Liner):
            yield Grip(
                name=f"{number} thickness",
                says=f"thickness of {part.name}",
                axis="y",
                at_mm=(-0.3 * band.half_mm, band.bore_mm + part.thickness_mm),
                moves=(Move(key=(*key, "thickness_mm"), value=part.thickness_mm, per=1.0),),
            )
        elif isinstance(part, Stripe):
            middle = (band.bore_mm + band.crest_mm) / 2
            yield from _walls(design, number, band, walls, middle)
        elif isinstance(part, Edges):
            high = band.crest_mm - 0.4 * (band.crest_mm - band.bore_mm)
            yield from _walls(design, number, band, walls, high)
        elif isinstance(part, Segments) and part.depth_mm is not None:
            yield Grip(
                name=f"{number} depth",
                says=f"depth of {part.name}",
                axis="y",
                at_mm=(0.0, band.mid_mm - part.depth_mm),
                moves=(Move(key=(*key, "depth_mm"), value=part.depth_mm, per=-1.0),),
            )


def _channel(
    design: Design, number: int, part: Channel, band: Band, walls: list[tuple[int, float]]
) -> Iterator[Grip]:
    key: Keys = ("part", number)
    floor = band.mid_mm - part.depth_mm
    half_way = floor + 0.5 * part.depth_mm
    yield from _walls(design, number, band, walls, half_way)
    shift = walls[0][1] - part.walls_mm()[0 if walls[0][0] < 0 else 1] if walls else 0.0
    middle = part.centre_mm + shift
    yield Grip(
        name=f"{number} depth",
        says=f"depth of {part.name}",
        axis="y",
        at_mm=(middle, floor),
        moves=(Move(key=(*key, "depth_mm"), value=part.depth_mm, per=-1.0),),
    )
    if len(walls) == 2:
        yield _grip(centred(part, key), (middle, half_way))


def _walls(
    design: Design, number: int, band: Band, walls: list[tuple[int, float]], height: float
) -> Iterator[Grip]:
    for out, z in walls:
        found = pulled(design, number, band, out)
        if found is not None:
            yield _grip(found, (z, height))


def _grip(found: Pulled, at_mm: tuple[float, float]) -> Grip:
    return Grip(
        name=found.name,
        says=found.says,
        axis="x",
        at_mm=at_mm,
        moves=found.moves,
        alone=found.alone,
        least=found.least,
    )


def walls_at(part: AnyPlace, band: Band, angle: float, twist: float) -> list[tuple[int, float]]:
    """Which way each wall of a place faces, and its z where the ring is cut."""
    found: list[tuple[int, float]] = []
    for placed in part.placed(band):
        reach = placed.claim.takes
        for wall in (reach.left, reach.right):
            if wall is not None and not band.on_edge(wall.at_mm):
                found.append((wall.out, wall_at(wall, angle, twist)))
    return found


def wall_at(wall: Wall, angle: float, twist: float) -> float:
    """z at which a wall meets the outside, where the ring is cut [mm]."""
    return float(wall.mouth(np.array([angle]), twist)[0])
