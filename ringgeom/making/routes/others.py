"""Routes of what is no channel's inlay: liners, rings side by side, segments; and casting on."""

from __future__ import annotations

from collections.abc import Iterator
from math import pi

from ringgeom.form.places import Liner, Segments
from ringgeom.making.part import Part
from ringgeom.making.routes.route import Inserted, Route, Size
from ringgeom.metal.melting import pour_c


def liner_routes(one: Inserted) -> Iterator[Route]:
    """A liner slides in from either side, or is pressed in."""
    if not isinstance(one.place, Liner):
        return
    claim = one.ring.claims[one.index]
    outside, bore = 2 * (claim.fills.ceiling_mm or 0.0), 2 * (claim.takes.ceiling_mm or 0.0)
    play = bore - outside
    yield Route(
        name="slide on",
        part=one.name,
        works=True,
        value=outside,
        limit=bore,
        unit="mm",
        words=f"a tube {outside:.2f} mm across in a bore of {bore:.2f} mm: "
        + (f"{play:.3f} mm of play across" if play >= 0 else f"pressed in by {-play:.3f} mm"),
        sizes=(
            Size(name="liner over its outside", value=outside, unit="mm"),
            Size(name="body's bore", value=bore, unit="mm"),
        ),
        steps=(
            f"turn the body's bore to {bore:.2f} mm and the liner to {outside:.2f} mm",
            "slide the liner in, solder or press, then turn the bore and dome it",
        ),
    )


def stripe_routes(one: Inserted) -> Iterator[Route]:
    """Rings that stand beside each other are joined face to face."""
    if one.place.place not in ("stripe", "edges"):
        return
    faces = [joint for joint in one.joints if joint.kind == "wall"]
    area = sum(joint.area_mm2 for joint in faces)
    caught = one.walled and not one.waves and any(joint.kind != "wall" for joint in one.joints)
    yield Route(
        name="side by side",
        part=one.name,
        works=not caught,
        value=area,
        limit=None,
        unit="mm2",
        words=f"rings joined face to face on {area:.0f} mm2"
        if not caught
        else "metal of one piece stands on both sides of it",
        steps=(
            "make each ring closed, true its faces, waves matching",
            "stack them on a mandrel and solder all faces, seams staggered",
        ),
    )


def segment_routes(one: Inserted) -> Iterator[Route]:
    """Pieces set round a floor, one by one."""
    place = one.place
    if not isinstance(place, Segments):
        return
    claim = one.ring.claims[one.index]
    band = one.ring.form.band
    inner = claim.fills.floor_mm or band.bore_mm
    outer = band.crest_mm
    if claim.sectors is None:
        return
    wedge = 2 * pi / place.count - claim.sectors.gap
    off = one.shop.joining.tolerance_mm
    yield Route(
        name="segments",
        part=one.name,
        works=True,
        value=float(place.count),
        limit=None,
        unit="pieces",
        words=f"{place.count} pieces set one by one, the last one fitted to what is left",
        sizes=(
            Size(name="arc inside", value=inner * wedge, unit="mm"),
            Size(name="arc outside", value=outer * wedge, unit="mm"),
            Size(name="angle of a piece", value=wedge * 180 / pi, unit="deg"),
            Size(
                name=f"left over all joints, if each piece is {off:g} mm off",
                value=off * place.count,
                unit="mm",
            ),
        ),
        steps=(
            "number the pieces and cut them with their cleaning allowance",
            "set them round the floor dry, fit the last one, then solder or rivet",
        ),
    )


def cast_on_route(one: Inserted) -> Route:
    """The lower melting metal cast against the other, which must stay solid."""
    host = max(one.hosts, key=lambda part: part.volume_mm3)
    ways = [way for way in (_window(host, one.parts[0]), _window(one.parts[0], host)) if way]
    if not ways:
        return Route(
            name="cast on",
            part=one.name,
            works=None,
            value=None,
            limit=0.0,
            unit="C",
            words="no melting range is known of one of the two: ask before casting on",
        )
    window, solid, poured, hot = max(ways, key=lambda way: way[0])
    works = window > 0
    return Route(
        name="cast on",
        part=one.name,
        works=works,
        value=window,
        limit=0.0,
        unit="C",
        words=f"{solid.alloy.name} is solid to {solid.alloy.solidus_c:.0f} C, "
        f"{poured.alloy.name} is poured at about {hot:.0f} C: {window:+.0f} C between them",
        sizes=(
            Size(name="to pour, the insert's volume taken off", value=poured.as_cast_g, unit="g"),
            Size(name="insert", value=solid.as_cast_g, unit="g"),
        ),
        steps=(
            f"finish {solid.name}, clean it, set it in the wax with gap_mm = 0",
            f"cast {poured.name} round it: the poured metal is {poured.as_cast_g:.2f} g and its "
            f"sprue, never the whole wax",
        ),
    )


def _window(solid: Part, poured: Part) -> tuple[float, Part, Part, float] | None:
    """Solidus of one less the pouring temperature of the other [C]."""
    pour = pour_c(poured.alloy)
    if solid.alloy.solidus_c is None or pour is None or pour.aim_c is None:
        return None
    return solid.alloy.solidus_c - pour.aim_c, solid, poured, pour.aim_c
