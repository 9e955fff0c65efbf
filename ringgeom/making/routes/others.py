"""Routes of what is no channel's inlay: liners, rings side by side, segments; and casting on."""

from __future__ import annotations

from collections.abc import Iterator

from ringgeom.form.places import Liner, Segments
from ringgeom.making.allowed import MisfitError
from ringgeom.making.cut_list import Billet
from ringgeom.making.cutting import laminate, place_cuts, why_no_billet
from ringgeom.making.part import Part
from ringgeom.making.routes.route import Inserted, Route, Size
from ringgeom.metal import Alloy
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
    """Pieces set round a floor, one by one, cut from a strip of each alloy."""
    place = one.place
    if not isinstance(place, Segments):
        return
    settings = one.shop.fabricating
    try:
        cuts = place_cuts(one.ring, one.index, place, settings)
    except MisfitError as error:
        yield Route(
            name="segments",
            part=one.name,
            works=False,
            value=error.value_mm,
            limit=error.limit_mm,
            unit="mm",
            words=str(error),
        )
        return
    yield Route(
        name="segments",
        part=one.name,
        works=True,
        value=cuts.closing_worst_mm,
        limit=None,
        unit="mm",
        words=f"{place.count} pieces set one by one; together they may be "
        f"{cuts.closing_worst_mm:.2f} mm out, {cuts.closing_likely_mm:.2f} as chance has it: the "
        "last one is fitted to what is left",
        sizes=(
            Size(name="arc inside", value=cuts.inner_arc_mm, unit="mm"),
            Size(name="arc outside, with stock", value=cuts.outer_arc_mm, unit="mm"),
            Size(name="angle of a piece", value=cuts.wedge_deg, unit="deg"),
            Size(name="to cut for a piece", value=cuts.piece_mm, unit="mm"),
            Size(name="saw cuts together", value=cuts.kerf_mm, unit="mm"),
            Size(name="left over all joints at worst", value=cuts.closing_worst_mm, unit="mm"),
            Size(
                name="left over all joints, likely",
                value=cuts.closing_likely_mm,
                unit="mm",
            ),
        ),
        steps=(
            f"bend the strip round first, number the pieces, saw each {cuts.piece_mm:.2f} mm long "
            f"outside along the radius, clean their ends to {cuts.outer_arc_mm:.2f} mm outside and "
            f"{cuts.inner_arc_mm:.2f} inside",
            "set them round the floor dry, fit the last one, then solder or rivet",
        ),
    )


def laminate_route(one: Inserted) -> Iterator[Route]:
    """All stripes laminated flat, cut as one strip and bent round, for one ring or several."""
    if one.place.place not in ("stripe", "edges"):
        return
    why = why_no_billet(one.ring, one.all_places, one.all_parts)
    if why is not None:
        yield Route(
            name="laminate",
            part=one.name,
            works=False,
            value=why.value,
            limit=why.limit,
            unit=why.unit,
            words=why.words,
        )
        return
    limit = one.shop.joining.laminate_percent
    found = laminate(one.ring, one.all_parts, one.shop.fabricating, one.shop.joining, rings=1)
    yield Route(
        name="laminate",
        part=one.name,
        works=not found.warned,
        value=found.strain_percent,
        limit=limit,
        unit="%",
        words=f"one strip of {len(found.sheets)} stripes bends round, {found.strain_percent:.1f} % "
        f"at its skin; above {limit:g} % its joints may open (common practice)",
        sizes=_billet_sizes(one, found),
        steps=(
            "flatten and clean the sheets, stack and laminate them, true the stack",
            "roll or draw it down, cut a strip for each ring, anneal and bend it round",
            "close all stripes in one seam",
        ),
    )


def _billet_sizes(one: Inserted, found: Billet) -> tuple[Size, ...]:
    settings = one.shop.fabricating
    several = laminate(
        one.ring, one.all_parts, settings, one.shop.joining, rings=settings.billet_rings
    )
    more = f" for {settings.billet_rings} rings"
    return (
        *(Size(name=f"sheet of {s.name}", value=s.sheet_mm, unit="mm") for s in found.sheets),
        Size(name="stack, across the stripes", value=found.stack_mm, unit="mm"),
        Size(name="billet depth", value=found.depth_mm, unit="mm"),
        Size(name="strip length", value=found.strip_mm, unit="mm"),
        Size(name="billet length", value=found.length_mm, unit="mm"),
        Size(name="billet", value=found.grams, unit="g"),
        Size(name=f"billet length{more}", value=several.length_mm, unit="mm"),
        Size(name=f"billet{more}", value=several.grams, unit="g"),
    )


def cast_on_route(one: Inserted) -> Route:
    """The lower melting metal cast against the other, which must stay solid."""
    others = [part for part in one.hosts if part.alloy != one.parts[0].alloy]
    host = max(others, key=lambda part: part.volume_mm3)
    ways = [way for way in (_window(host, one.parts[0]), _window(one.parts[0], host)) if way]
    if not ways:
        two = (host.alloy, one.parts[0].alloy)
        unknown = dict.fromkeys(alloy.name for alloy in two if _pour_c(alloy) is None)
        return Route(
            name="cast on",
            part=one.name,
            works=None,
            value=None,
            limit=0.0,
            unit="C",
            words=f"no pouring temperature is known of {' and '.join(unknown)}: ask before casting "
            "on",
        )
    window, solid, poured, hot, spread = max(ways, key=lambda way: way[0] - way[4])
    works = window > spread
    return Route(
        name="cast on",
        part=one.name,
        works=works,
        value=window,
        limit=spread,
        unit="C",
        words=f"{solid.alloy.name} is solid to {solid.alloy.solidus_c:.0f} C, "
        f"{poured.alloy.name} is poured at about {hot:.0f} C: {window:+.0f} C between them, "
        f"more than the {spread:.0f} by which a pour may be hotter are needed",
        sizes=(
            Size(name="to pour, the insert's volume taken off", value=poured.as_cast_g, unit="g"),
            Size(name="insert", value=solid.as_cast_g, unit="g"),
        ),
        steps=(
            f"finish {solid.name}, clean it, set it in the wax without a gap: the wax of "
            f"{poured.name} is {100 * (poured.scale.scale - 1):.2f} % larger for its shrink, so "
            "build it up on the insert, or leave its play to the metal",
            f"cast {poured.name} round it: the poured metal is {poured.as_cast_g:.2f} g and its "
            f"sprue, never the whole wax",
        ),
    )


def _window(solid: Part, poured: Part) -> tuple[float, Part, Part, float, float] | None:
    """Solidus of one less the pouring temperature of the other, and how far that may go up [C]."""
    pour = _pour_c(poured.alloy)
    if solid.alloy.solidus_c is None or pour is None:
        return None
    return solid.alloy.solidus_c - pour[0], solid, poured, *pour


def _pour_c(alloy: Alloy) -> tuple[float, float] | None:
    """At what to pour, and how much hotter it may come [C]."""
    pour = pour_c(alloy)
    if pour is None or pour.aim_c is None or pour.high_c is None:
        return None
    return pour.aim_c, pour.high_c - pour.aim_c
