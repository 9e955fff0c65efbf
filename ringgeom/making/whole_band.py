"""The whole band's measures: thickness, what is left under and beside, and how far each may go."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from ringgeom.finger import MadeSize
from ringgeom.form.places import AnyPlace, Channel, Liner, Segments
from ringgeom.form.ring import Ring
from ringgeom.form.section import BODY
from ringgeom.making.as_made import claim_names
from ringgeom.making.walls import Groups, floor_left_mm
from ringgeom.making.widths import narrowest
from ringgeom.shop import Fit, Limits, Shop

ROUND_MM = 1e-9
"""A limit met to this is met."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """How far one measure of a part may go [mm].

    `what` is ``depth`` of an inlay or ``thickness`` of a liner, `now_mm` as designed,
    `most_mm` the largest that leaves `left_mm` no smaller than `limit_mm`; None where that is
    not known without making it: under a dome, what has no wall comes nearer to the edge.
    """

    part: str
    what: str
    now_mm: float
    left_mm: float
    limit_mm: float
    most_mm: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Rail:
    """The narrowest place of a part along the axis, and the limit for a rail [mm]."""

    part: str
    width_mm: float
    limit_mm: float
    where: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WholeBand:
    """Measures of the whole band.

    Attributes
    ----------
    centre_mm, edge_mm : float
        Thickness at mid-width, and where the rounding of its edges begins.
    bent_percent : float
        Stretch of the skin if the whole thickness were bent round as one strip.
    rooms : tuple of Room
        Deepest safe inlays, thickest safe liners.
    rails : tuple of Rail
        Narrowest places, at a wave's crest where there are waves.
    advice : tuple of str
        On the finger: a wide band, a domed bore.
    """

    centre_mm: float
    edge_mm: float
    bent_percent: float
    rooms: tuple[Room, ...]
    rails: tuple[Rail, ...]
    advice: tuple[str, ...]


def whole_band(
    ring: Ring,
    places: Sequence[AnyPlace],
    groups: Groups,
    made: MadeSize,
    shop: Shop,
) -> WholeBand:
    """The whole band of a finished ring.

    Parameters
    ----------
    places : sequence of places
        For each claim of the ring, the place that made it.
    groups : Groups
        The partition round the turn.
    """
    form, limits, fit = ring.form, shop.limits, shop.fit
    edge = np.array([form.width_mm / 2 - form.edge_mm])
    at_edge = float((ring.finished.outside.r(edge) - ring.finished.bore.r(edge))[0])
    return WholeBand(
        centre_mm=form.mid_mm,
        edge_mm=at_edge,
        bent_percent=100 * form.thickness_mm / (form.inside_diameter_mm + form.thickness_mm),
        rooms=(*_inlays(ring, places, groups, limits), *_liners(ring, places, groups, limits)),
        rails=tuple(_rails(ring, places, groups, limits)),
        advice=tuple(_advice(ring, made, fit)),
    )


def _inlays(
    ring: Ring, places: Sequence[AnyPlace], groups: Groups, limits: Limits
) -> Iterator[Room]:
    """A floor grows thinner by what its inlay goes deeper: it is a cylinder."""
    for index, place in enumerate(places):
        if not isinstance(place, Channel | Segments) or place.depth_mm is None:
            continue
        left = floor_left_mm(ring, groups, index)
        if left is not None:
            limit = limits.floor_warn_mm
            form = ring.form
            # where the band is thinner, what goes deeper goes deeper by its share only
            more = (left - limit) * form.thickness_mm / ring.thinnest.form.thickness_mm
            domed = not (form.outside.plain and form.inside.plain) or form.edge_mm > 0
            open_to_a_side = len(ring.claims[index].takes.walls) < 2
            yield Room(
                part=place.name,
                what="depth",
                now_mm=place.depth_mm,
                left_mm=left,
                limit_mm=limit,
                most_mm=None if domed and open_to_a_side else place.depth_mm + more,
            )


def _liners(
    ring: Ring, places: Sequence[AnyPlace], groups: Groups, limits: Limits
) -> Iterator[Room]:
    """What is over a liner at its thinnest: under the inlays, or out at the edges."""
    thin = ring.thinnest
    end = thin.form.width_mm / 2 - thin.form.edge_mm
    inlays = [
        left
        for index, place in enumerate(places)
        if isinstance(place, Channel | Segments)
        and place.depth_mm is not None
        and (left := floor_left_mm(ring, groups, index)) is not None
    ]
    for index, place in enumerate(places):
        top = thin.claims[index].takes.ceiling_mm
        if not isinstance(place, Liner) or top is None:
            continue
        outer = thin.finished.body_top.extremes_mm(-end, end)[0] - top
        over = [(outer, limits.wall_warn_mm), *((left, limits.floor_warn_mm) for left in inlays)]
        left, limit = min(over, key=lambda one: one[0] - one[1])
        yield Room(
            part=place.name,
            what="thickness",
            now_mm=place.thickness_mm,
            left_mm=left,
            limit_mm=limit,
            most_mm=place.thickness_mm + left - limit,
        )


def _rails(
    ring: Ring, places: Sequence[AnyPlace], groups: Groups, limits: Limits
) -> Iterator[Rail]:
    names = claim_names(ring, places)
    channels = {index for index, place in enumerate(places) if isinstance(place, Channel)}
    for one in narrowest(ring, groups, channels):
        if not one.tip and one.width_mm < ring.form.width_mm - ROUND_MM:
            yield Rail(
                part="body" if one.owner == BODY else names[one.owner.claim],
                width_mm=one.width_mm,
                limit_mm=limits.rail_warn_mm,
                where=one.where + (", at a wave's crest" if ring.waves else ""),
            )


def _advice(ring: Ring, made: MadeSize, fit: Fit) -> Iterator[str]:
    """Common practice, no source; nothing is changed that was not asked for."""
    width, taken = ring.form.width_mm, {one.name for one in made.allowances}
    if width > fit.wide_band_from_mm + ROUND_MM:
        did = "is made" if "wide band" in taken else "is not made"
        yield (
            f"{width:g} mm wide: it fits tighter than a narrow ring; {fit.wide_band_add_us:g} US "
            f"size more is usual, and {did}"
        )
    if ring.form.inside.comfort:
        did = "is" if "comfort bore" in taken else "is not"
        yield (
            f"domed bore: the size is at mid-width, the edges stand {ring.form.falls_mm[1]:g} "
            f"mm off the finger; it feels looser, up to {fit.comfort_less_us:g} US size less is "
            f"usual, and {did} taken off"
        )
