"""How the pieces can go together: every route of every inserted part, with what decides it."""

from __future__ import annotations

from collections.abc import Sequence

from ringgeom.form.contacts import Contact
from ringgeom.form.enclosed import rail_mm, walled_in
from ringgeom.form.places import AnyPlace, Channel, Segments
from ringgeom.form.ring import Ring
from ringgeom.form.section import Owner, Section
from ringgeom.making.part import Part
from ringgeom.making.routes.channel import channel_routes
from ringgeom.making.routes.motif import motif_routes
from ringgeom.making.routes.others import (
    cast_on_route,
    laminate_route,
    liner_routes,
    segment_routes,
    stripe_routes,
)
from ringgeom.making.routes.route import Inserted, Route, Size
from ringgeom.shop import Shop

__all__ = ["Inserted", "Route", "Size", "inserted_parts", "routes", "routes_of"]

JUDGES = (
    channel_routes,
    liner_routes,
    stripe_routes,
    laminate_route,
    segment_routes,
    motif_routes,
)


def routes(
    ring: Ring,
    places: Sequence[AnyPlace],
    parts: Sequence[Part],
    joints: Sequence[Contact],
    sections: Sequence[Section],
    shop: Shop,
    *,
    not_split: str,
) -> tuple[Route, ...]:
    """Every route of every part that is fitted into another.

    Parameters
    ----------
    places : sequence of places
        For each claim of the ring, the place that made it.
    joints : sequence of Contact
        All joints of the ring.
    sections : sequence of Section
        The partition round the turn.
    not_split : str
        Why the body cannot be made in two; empty when it can.
    """
    inserted = inserted_parts(ring, places, parts, joints, sections, shop, not_split=not_split)
    return tuple(route for one in inserted for route in routes_of(one))


def inserted_parts(
    ring: Ring,
    places: Sequence[AnyPlace],
    parts: Sequence[Part],
    joints: Sequence[Contact],
    sections: Sequence[Section],
    shop: Shop,
    *,
    not_split: str,
) -> tuple[Inserted, ...]:
    """Every part that is fitted into another, with what decides on its routes; as `routes`."""
    found: list[Inserted] = []
    by_owner: dict[Owner, list[Part]] = {}
    for part in parts:
        owner = Owner("body", -1) if part.place is None else Owner("part", part.place)
        by_owner.setdefault(owner, []).append(part)
    for index, place in enumerate(places):
        me = Owner("part", index)
        mine = [joint for joint in joints if joint.inserted == me]
        hosts = [part for joint in mine for part in by_owner.get(joint.host, [])[:1]]
        if not mine and isinstance(place, Segments):
            # pieces that fill what others left are set in, whoever had the gap taken off
            mine = [joint for joint in joints if joint.host == me]
            hosts = [part for joint in mine for part in by_owner.get(joint.inserted, [])[:1]]
        if me not in by_owner or not hosts:
            continue
        over = 2 * rail_mm(ring, place.walls_mm()) if isinstance(place, Channel) else 0.0
        found.append(
            Inserted(
                ring=ring,
                index=index,
                place=place,
                parts=tuple(by_owner[me]),
                hosts=tuple(dict.fromkeys(hosts)),
                all_parts=tuple(parts),
                all_places=tuple(places),
                joints=tuple(mine),
                walled=_walled(place, sections, index, over, not_split),
                over_mm=over,
                not_split=not_split,
                shop=shop,
            )
        )
    return tuple(found)


def routes_of(one: Inserted) -> tuple[Route, ...]:
    """Every route of one part, with what decides it."""
    found = [route for judge in JUDGES for route in judge(one)]
    if any(host.alloy != one.parts[0].alloy for host in one.hosts):
        found.append(cast_on_route(one))
    return tuple(found)


def _walled(
    place: AnyPlace, sections: Sequence[Section], index: int, over_mm: float, not_split: str
) -> bool:
    """Whether metal of one piece stands on both sides of a part."""
    if isinstance(place, Channel):
        if over_mm <= 0:
            return False  # as wide as the band: there is no rail
        # where the body is made in two, it is judged as the one piece that it was
        if place.route == "split body" and not not_split:
            return True
    return walled_in(sections, index)
