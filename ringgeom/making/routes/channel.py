"""Routes of an inlay in a channel: over the rail, round the floor, or into the open body."""

from __future__ import annotations

from collections.abc import Iterator
from math import pi, sqrt

from ringgeom.form.places import Channel
from ringgeom.making.routes.route import Inserted, Route, Size
from ringgeom.making.wave_path import WavePath, wave_path

US_SIZE_MM = 0.8128
"""One US size across [mm]: 0.032 inch."""


def channel_routes(one: Inserted) -> Iterator[Route]:
    """Every route of a channel's inlay, in the order in which a bench would think of them."""
    place = one.place
    if not isinstance(place, Channel) or one.floor_mm is None or one.inside_mm is None:
        return
    yield slide_route(one, place)
    yield _wrap(one, place)
    yield _split(one, place)
    yield _stretch(one)
    yield _hammer(one, place)


def slide_route(one: Inserted, place: Channel) -> Route:
    """The inlay as a closed ring, slid on over a rail, or from the open side."""
    inside, floor = one.inside_mm or 0.0, one.floor_mm or 0.0
    limit = one.over_mm if one.walled else floor
    works = inside >= limit - 1e-9 and not (one.undercut_mm and one.walled)
    press = inside < floor - 1e-9
    if one.walled and not works:
        words = f"its bore of {inside:.2f} mm does not pass the rail, {limit:.2f} mm across"
    elif press:
        words = f"pressed on: {floor - inside:.3f} mm of interference across"
    else:
        words = f"its bore of {inside:.2f} mm goes over {limit:.2f} mm"
    return Route(
        name="slide on",
        part=one.name,
        works=works or (press and not one.walled),
        value=inside,
        limit=limit,
        unit="mm",
        words=words,
        steps=(
            f"turn or cast {place.name} as a closed ring, {inside:.2f} mm bore",
            "slide it on from the open side and solder, or press it home",
        ),
    )


def _wrap(one: Inserted, place: Channel) -> Route:
    inside = one.inside_mm or 0.0
    thick = place.depth_mm + _above_mid_mm(one, place) - place.gap.floor
    path = _path(one, place, inside + thick)
    strip = path.length_mm - place.seam_mm
    strain = 100 * thick / (inside + thick)
    waving = sum(wave.amplitude_mm for wave in one.waves)
    sheet = path.around_mm - place.seam_mm, path.widest_mm + waving
    works = one.undercut_mm == 0
    if not works:
        words = f"undercut by {one.undercut_mm:.2f} mm: a strip as wide as the foot does not go in"
    elif waving:
        words = (
            f"a wave cut out of {sheet[0]:.2f} x {sheet[1]:.2f} mm of sheet bends round the "
            f"floor, {strain:.1f} % at its skin"
        )
    else:
        words = (
            f"an open strip {strip:.2f} mm long bends round the floor, {strain:.1f} % at its skin"
        )
    return Route(
        name="wrap and seam",
        part=one.name,
        works=works,
        value=one.undercut_mm,
        limit=0.0,
        unit="mm",
        words=words,
        sizes=(
            Size(name="strip length", value=strip, unit="mm"),
            Size(name="strip thickness", value=thick, unit="mm"),
            Size(name="strip width", value=path.widest_mm, unit="mm"),
            Size(name="bending strain", value=strain, unit="%"),
            *(_sheet(path, sheet) if waving else ()),
        ),
        steps=(
            "cut the wave out of flat sheet, anneal it and bend it round the floor"
            if waving
            else "anneal the strip and bend it round the floor",
            f"fit its ends to {place.seam_mm:g} mm, seam away from the body's own seam",
            "solder the seam and the floor in one heat, then file flush",
        ),
    )


def _above_mid_mm(one: Inserted, place: Channel) -> float:
    """How far the outside over an inlay rises above mid-width, from where its depth counts [mm]."""
    swing = max((wave.amplitude_mm for wave in one.waves), default=0.0)
    band, (left, right) = one.ring.form.band, place.walls_mm()
    low, high = max(-band.half_mm, left - swing), min(band.half_mm, right + swing)
    return max(0.0, one.ring.finished.outside.extremes_mm(low, high)[1] - band.mid_mm)


def _sheet(path: WavePath, sheet: tuple[float, float]) -> tuple[Size, ...]:
    """What a waving strip is cut from, and where its wave is hardest to cut."""
    blank = (
        Size(name="sheet length", value=sheet[0], unit="mm"),
        Size(name="sheet width", value=sheet[1], unit="mm"),
    )
    if path.longer_percent == 0:
        return blank  # one edge waves, the other is the band's own
    return (
        *blank,
        Size(name="narrowest across the wave", value=path.narrowest_mm, unit="mm"),
        Size(name="steepest slope of the wave", value=path.steepest_deg, unit="deg"),
    )


def _path(one: Inserted, place: Channel, across_mm: float) -> WavePath:
    """The inlay's way round on a cylinder so far across; a wave bends it where both walls wave."""
    walls = one.ring.claims[one.index].fills.walls
    # where the thickness tapers, what lies over the bore is nearer to it by as much
    form = one.ring.form
    across_mm -= (across_mm - form.inside_diameter_mm) * (1 - form.mean_share)
    both = one.waves[:1] if len(one.waves) == 2 else ()
    return wave_path(
        amplitude_mm=both[0].amplitude_mm if both else 0.0,
        count=both[0].count if both else 1,
        radius_mm=across_mm / 2,
        band_width_mm=place.width_mm - sum(wall.inset_mm for wall in walls),
    )


def _split(one: Inserted, place: Channel) -> Route:
    lined = [c.takes.ceiling_mm for c in one.ring.claims if c.takes.ceiling_mm is not None]
    wall = (one.floor_mm or 0.0) / 2 - max(lined, default=one.ring.form.inside_diameter_mm / 2)
    limit = one.shop.limits.floor_stop_mm
    half = one.ring.form.band.half_mm
    works = one.walled and not one.not_split and wall >= limit - 1e-9
    if not one.walled:
        words = "the channel is open to a side: nothing to split"
    elif one.not_split:
        words = one.not_split
    elif not works:
        words = f"the floor is {wall:.2f} mm: too thin for a seam under the inlay"
    else:
        words = f"the floor's {wall:.2f} mm carry a seam round the ring under the inlay"
    return Route(
        name="split body",
        part=one.name,
        works=works,
        value=wall,
        limit=limit,
        unit="mm",
        words=words,
        sizes=(
            Size(name="first half, width", value=half + place.centre_mm, unit="mm"),
            Size(name="second half, width", value=half - place.centre_mm, unit="mm"),
            Size(name="seam, thickness", value=wall, unit="mm"),
        ),
        steps=(
            f'cast or turn the body in two, parted under {place.name}: route = "split body"',
            f"make {place.name} as a closed ring, {one.inside_mm or 0.0:.2f} mm bore",
            "set the inlay on one half, close with the other, solder the seam and the floor",
        ),
    )


def _stretch(one: Inserted) -> Route:
    inside, floor = one.inside_mm or 0.0, one.floor_mm or 0.0
    over = max(one.over_mm, floor)
    at_floor = 100 * (over / floor - 1)
    limit = min(_stretch_limit(one, part.alloy.recipe.percent("Ni")) for part in one.hosts)
    move = over - inside
    bore = one.ring.form.inside_diameter_mm
    # the same move stretches the bore more than the floor
    at_bore = 100 * move / (bore - move) if 0 < move < bore else 0.0
    strain = at_floor if at_floor > limit else max(at_floor, at_bore)
    works = one.walled and one.undercut_mm == 0 and not one.waves and strain <= limit + 1e-9
    reason = (
        f"the body would stretch by {at_floor:.1f} % at the floor, {at_bore:.1f} % in the bore, "
        f"{move / US_SIZE_MM:.1f} US sizes"
    )
    if not one.walled:
        reason = "open to a side: no need to stretch"
    elif one.undercut_mm:
        reason = "the undercut foot does not pass, however far the body is stretched"
    elif one.waves:
        reason = "a waving inlay does not pass a waving rail axially"
    return Route(
        name="stretch",
        part=one.name,
        works=works,
        value=strain,
        limit=limit,
        unit="%",
        words=f"{reason} (usual advice, common practice)" if one.walled else reason,
        sizes=(
            Size(name="body's bore to begin with", value=bore - move, unit="mm"),
            Size(name="finished bore", value=bore, unit="mm"),
            Size(name="section lost to stretching", value=100 * (1 - floor / over), unit="%"),
        ),
        steps=(
            f"make the body {move:.2f} mm undersize across, the inlay closed",
            "slip the inlay over the rail and stretch the body up into it, annealing on the way",
        ),
    )


def _stretch_limit(one: Inserted, nickel_percent: float) -> float:
    joining = one.shop.joining
    return joining.stretch_nickel_percent if nickel_percent > 0 else joining.stretch_percent


def _hammer(one: Inserted, place: Channel) -> Route:
    depth, least = place.depth_mm, one.shop.joining.hammer_depth_mm
    works = one.undercut_mm > 0 and depth >= least - 1e-9
    area = depth * (place.width_mm + one.undercut_mm)
    wire = area * one.shop.joining.overfill
    length = _path(one, place, (one.floor_mm or 0.0) + depth).length_mm
    if one.undercut_mm <= 0:
        value, limit, words = one.undercut_mm, 0.0, "no undercut holds a hammered wire"
    else:
        value, limit = depth, least
        words = f"a groove {depth:.2f} mm deep, undercut by {one.undercut_mm:.2f} mm each side"
    return Route(
        name="hammer in",
        part=one.name,
        works=works,
        value=value,
        limit=limit,
        unit="mm",
        words=words,
        sizes=(
            Size(name="groove section", value=area, unit="mm2"),
            Size(name="wire section", value=wire, unit="mm2"),
            Size(name="square wire, side", value=sqrt(wire), unit="mm"),
            Size(name="round wire, across", value=sqrt(4 * wire / pi), unit="mm"),
            Size(
                name="flat wire, thickness at the mouth's width",
                value=wire / place.width_mm,
                unit="mm",
            ),
            Size(name="wire length at half depth", value=length, unit="mm"),
            Size(name="overfill", value=100 * (one.shop.joining.overfill - 1), unit="%"),
        ),
        steps=(
            "anneal the wire; it must be softer than the body",
            "bend it into the groove, ends meeting, and hammer it down all round",
            "file flush; the overfill spreads into the undercut",
        ),
    )
