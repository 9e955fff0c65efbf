"""Rules on parts that meet: can the inlay enter, and which metals touch."""

from __future__ import annotations

from collections.abc import Iterator

from ringgeom.findings.context import Laid
from ringgeom.findings.finding import Finding, Rules
from ringgeom.form.places import AnyPlace, Channel
from ringgeom.form.section import BODY, Owner

RULES: Rules[Laid] = Rules()


@RULES.add
def closed_inlay_cannot_enter(laid: Laid) -> Iterator[Finding]:
    """A closed ring in a channel walled on both sides, and no route chosen for it."""
    places = {place.name: index for index, place in _placed(laid)}
    for route in laid.routes:
        place = laid.place_of(places[route.part])
        if route.name != "slide on" or not isinstance(place, Channel) or route.works:
            continue
        if place.route is not None:
            continue
        ways = [one for one in laid.routes if one.part == route.part and one.works]
        yield Finding(
            code="closed-inlay-cannot-enter",
            level="warn",
            part=place.name,
            value=route.value,
            limit=route.limit,
            unit="mm",
            text=f"{place.name} is written as a closed ring: {route.words}",
            fix="; or ".join(f'route = "{one.name}": {one.words}' for one in ways)
            or "no other route works either: change the channel",
            key=laid.key_of(places[route.part]),
        )


@RULES.add
def chosen_route_fails(laid: Laid) -> Iterator[Finding]:
    """A route that the design asks for and that does not work."""
    for index, place in _placed(laid):
        if place.route is None:
            continue
        mine = [one for one in laid.routes if one.part == place.name]
        chosen = next((one for one in mine if one.name == place.route), None)
        if chosen is not None and chosen.works is not False:
            continue
        if not mine and any(one.name == place.route and one.works for one in laid.routes):
            continue  # it is made together with its neighbour, by whom the route is told
        ways = [one.name for one in mine if one.works]
        yield Finding(
            code="route-fails",
            level="warn",
            part=place.name,
            value=chosen.value if chosen else None,
            limit=chosen.limit if chosen else None,
            unit=chosen.unit if chosen else "",
            text=f'{place.name} cannot be put in by "{place.route}": '
            + (chosen.words if chosen else "it is not a route for such a part"),
            fix=f"routes that work: {', '.join(ways) or 'none'}",
            key=(*laid.key_of(index), "route"),
        )


BY_HAND = {
    "stretch": "the body is cast or turned undersize: its wax, its blank and its turning table are "
    "those of the finished size",
    "hammer in": "it is hammered in from wire: its wax and its blank are those of a closed ring, "
    "and it needs neither",
    "laminate": "it comes from a laminated strip: it needs no wax, no sprue and no button",
}
"""Routes whose parts are not the ones that the waxes are made of, and what that means."""


@RULES.add
def made_otherwise(laid: Laid) -> Iterator[Finding]:
    """A chosen route that makes a part otherwise than its wax says."""
    told = set()
    for index, place in _placed(laid):
        ways = [one for one in laid.routes if one.name == place.route and one.works]
        mine = next((one for one in ways if one.part == place.name), None)
        if place.route not in BY_HAND or not ways or place.route in told:
            continue
        if place.route == "laminate":
            told.add(place.route)
        sizes = ", ".join(
            f"{one.name} {one.value:.2f} {one.unit}" for one in (mine or ways[0]).sizes
        )
        yield Finding(
            code="made-otherwise",
            level="warn",
            part=place.name,
            text=f"{place.name}, {place.route}: {BY_HAND[place.route]}",
            fix=f"work to these: {sizes}",
            key=(*laid.key_of(index), "route"),
        )


def _placed(laid: Laid) -> Iterator[tuple[int, AnyPlace]]:
    """Every claim's number with its place, the first claim of a place alone."""
    seen = set()
    for index in range(len(laid.ring.claims)):
        place = laid.place_of(index)
        if place.name not in seen:
            seen.add(place.name)
            yield index, place


@RULES.add
def silver_beside_gold(laid: Laid) -> Iterator[Finding]:
    """Silver soldered to gold, which it draws into itself."""
    metals: dict[Owner, set[str]] = {}
    for part in laid.parts:
        owner = BODY if part.place is None else Owner("part", part.place)
        metals.setdefault(owner, set()).add(part.alloy.recipe.precious)
    told = set()
    for met in laid.contacts:
        a, b = met.inserted, met.host
        pair = (metals.get(a, set()), metals.get(b, set()))
        meets = ("silver" in pair[0] and "gold" in pair[1]) or (
            "gold" in pair[0] and "silver" in pair[1]
        )
        if meets and (a, b) not in told:
            told.add((a, b))
            names = [laid.name_of(owner) for owner in (a, b)]
            yield Finding(
                code="silver-beside-gold",
                level="warn",
                part=names[0],
                text=f"{names[0]} and {names[1]} put silver beside gold: overheated at the "
                "joint, the gold alloys away into the silver",
                fix="prefer a mechanical joint, or solder low and fast",
                key=laid.key_of(None if a == BODY else a.claim),
            )


@RULES.add
def nickel_on_skin(laid: Laid) -> Iterator[Finding]:
    """Nickel in a part that lies against the finger, where its release counts."""
    told: set[str] = set()
    for _, section in laid.groups:
        for cell in section.cells:
            for part in laid.parts:
                owner = BODY if part.place is None else Owner("part", part.place)
                nickel = part.alloy.recipe.percent("Ni")
                if cell.low == 0 and owner in cell.owners and nickel > 0:
                    name = laid.name_of(owner)
                    if name not in told:
                        told.add(name)
                        yield Finding(
                            code="nickel-on-skin",
                            level="warn",
                            part=name,
                            value=nickel,
                            limit=0.0,
                            unit="% by mass",
                            text=f"{name} lies against the finger and holds {nickel:g} % nickel: "
                            "nickel release is limited by law (0.5 microgram/cm2/week in the EU)",
                            fix="have it tested to EN 1811, or line the ring with another metal",
                            key=laid.key_of(part.place),
                        )
