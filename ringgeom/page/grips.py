"""What can be grabbed on the cut section: where it lies, which keys it moves and how far.

    centre
left |  right        a wall moves the width, both sides alike; alone with the Alt key
|____o____|          floor moves the depth, centre the whole inlay
     floor
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

import numpy as np

from ringgeom.design import Design
from ringgeom.form.claim import Wall
from ringgeom.form.places import AnyPlace, Band, Channel, Edges, Liner, Segments, Stripe
from ringgeom.form.profiles import Form
from ringgeom.form.ring import RingForm
from ringgeom.page.edits import Keys


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """A key that a grip moves: its value now [mm], and how much for each mm of the hand."""

    key: Keys
    value: float
    per: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Grip:
    """One place to grab; `moves` begins with the measure that is shown and typed.

    `at_mm` is (z, r); `alone` is what moves when one side is to move by itself.
    """

    name: str
    says: str
    axis: Literal["z", "r"]
    at_mm: tuple[float, float]
    moves: tuple[Move, ...]
    alone: tuple[Move, ...] = ()


def grips(design: Design, band: Band, angle: float, twist: float) -> tuple[Grip, ...]:
    """Every grip of a design, seen where the ring is cut (angle and twist of that cut [rad])."""
    return (*_band_grips(design, band), *_part_grips(design, band, angle, twist))


def _band_grips(design: Design, band: Band) -> Iterator[Grip]:
    ring = design.ring
    yield Grip(
        name="thickness",
        says="thickness",
        axis="r",
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
        axis="z",
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
            axis="r",
            at_mm=(0.0, band.mid_mm) if key == "dip_mm" else (-band.half_mm, edge),
            moves=(Move(key=("ring", side, key), value=getattr(form, key, 0.0), per=way * per),),
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
            yield from _channel(part, key, band, walls)
        elif isinstance(part, Liner):
            yield Grip(
                name=f"{number} thickness",
                says=f"thickness of {part.name}",
                axis="r",
                at_mm=(-0.3 * band.half_mm, band.bore_mm + part.thickness_mm),
                moves=(Move(key=(*key, "thickness_mm"), value=part.thickness_mm, per=1.0),),
            )
        elif isinstance(part, Stripe):
            yield from _stripe(design, number, part, band, walls)
        elif isinstance(part, Edges):
            for which, (out, z) in enumerate(walls):
                yield Grip(
                    name=f"{number} width {which + 1}",
                    says=f"width of {part.name}",
                    axis="z",
                    at_mm=(z, band.crest_mm - 0.4 * (band.crest_mm - band.bore_mm)),
                    moves=(Move(key=(*key, "width_mm"), value=part.width_mm, per=float(out)),),
                )
        elif isinstance(part, Segments) and part.depth_mm is not None:
            yield Grip(
                name=f"{number} depth",
                says=f"depth of {part.name}",
                axis="r",
                at_mm=(0.0, band.mid_mm - part.depth_mm),
                moves=(Move(key=(*key, "depth_mm"), value=part.depth_mm, per=-1.0),),
            )


def _channel(
    part: Channel, key: Keys, band: Band, walls: list[tuple[int, float]]
) -> Iterator[Grip]:
    number, floor = key[1], band.mid_mm - part.depth_mm
    width, centre = (*key, "width_mm"), (*key, "centre_mm")
    for out, z in walls:
        yield Grip(
            name=f"{number} {'left' if out < 0 else 'right'}",
            says=f"width of {part.name}",
            axis="z",
            at_mm=(z, floor + 0.5 * part.depth_mm),
            moves=(Move(key=width, value=part.width_mm, per=2.0 * out),),
            alone=(
                Move(key=width, value=part.width_mm, per=1.0 * out),
                Move(key=centre, value=part.centre_mm, per=0.5),
            ),
        )
    shift = walls[0][1] - part.walls_mm()[0 if walls[0][0] < 0 else 1] if walls else 0.0
    middle = part.centre_mm + shift
    yield Grip(
        name=f"{number} depth",
        says=f"depth of {part.name}",
        axis="r",
        at_mm=(middle, floor),
        moves=(Move(key=(*key, "depth_mm"), value=part.depth_mm, per=-1.0),),
    )
    if len(walls) == 2:
        yield Grip(
            name=f"{number} centre",
            says=f"place of {part.name} from mid-width",
            axis="z",
            at_mm=(middle, floor + 0.5 * part.depth_mm),
            moves=(Move(key=centre, value=part.centre_mm, per=1.0),),
        )


def _stripe(
    design: Design, number: int, part: Stripe, band: Band, walls: list[tuple[int, float]]
) -> Iterator[Grip]:
    for out, z in walls:
        own, other = ("from_mm", "to_mm") if out < 0 else ("to_mm", "from_mm")
        at = getattr(part, own)
        meets = [
            n
            for n, one in enumerate(design.parts)
            if isinstance(one, Stripe) and abs(getattr(one, other) - at) < 1e-9
        ]
        if meets and meets[0] < number:
            continue  # the boundary is moved by the stripe written first
        moved = Move(key=("part", number, own), value=at, per=1.0)
        follow = [Move(key=("part", n, other), value=at, per=1.0) for n in meets]
        yield Grip(
            name=f"{number} {own}",
            says=f"edge of {part.name} from mid-width",
            axis="z",
            at_mm=(z, (band.bore_mm + band.crest_mm) / 2),
            moves=(moved, *follow),
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
