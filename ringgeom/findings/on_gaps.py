"""Rules on the signed gaps between parts."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil, sqrt

from ringgeom.findings.context import Asking
from ringgeom.findings.finding import Finding, Rules
from ringgeom.form.places import AnyPlace, Channel, Gap, Liner, MotifInlay, Segments, Stripe

RULES: Rules[Asking] = Rules()


@RULES.add
def gap_sizes(a: Asking) -> Iterator[Finding]:
    """A gap that is tighter than a press fit, or wider than solder fills."""
    limits = a.shop.limits
    for key, place in a.places():
        for face, made in _faces(place, a.band.half_mm).items():
            gap = getattr(place.gap, face) if made else 0.0
            if gap < -limits.press_stop_mm - 1e-12:
                yield Finding(
                    code="gap-negative",
                    level="stop",
                    part=place.name,
                    value=gap,
                    limit=-limits.press_stop_mm,
                    unit="mm",
                    text=f"a {face} gap of {gap:g} mm: no press fit is that tight",
                    fix=f"{-gap:g} if a gap is meant, {-limits.press_stop_mm:g} to 0 for a press "
                    "fit of turned parts",
                    key=(*key, "gap_mm"),
                )
            elif gap < 0:
                waves = isinstance(place, Channel | Stripe) and place.wave is not None
                yield Finding(
                    code="gap-negative",
                    level="warn" if waves else "note",
                    part=place.name,
                    value=gap,
                    limit=0.0,
                    unit="mm",
                    text=f"a {face} gap of {gap:g} mm is a press fit"
                    + (", and a waving wall cannot be pressed" if waves else ", for turned parts"),
                    fix="a positive gap if the parts are soldered",
                    key=(*key, "gap_mm"),
                )
            elif gap > limits.gap_warn_mm:
                yield Finding(
                    code="gap-wide",
                    level="warn",
                    part=place.name,
                    value=gap,
                    limit=limits.gap_warn_mm,
                    unit="mm",
                    text=f"a {face} gap of {gap:g} mm is more than solder or adhesive fills",
                    fix="0.025 to 0.125 mm for solder, 0.05 to 0.2 for adhesive",
                    key=(*key, "gap_mm"),
                )


@RULES.add
def gap_eats_part(a: Asking) -> Iterator[Finding]:
    """A gap that leaves nothing of the part it is taken from."""
    for key, place in a.places():
        sizes: list[tuple[str, float, float]] = []
        if isinstance(place, Channel):
            sizes = [
                ("width", place.width_mm, 2 * place.gap.side),
                ("depth", place.depth_mm, place.gap.floor),
            ]
        elif isinstance(place, Stripe):
            sizes = [("width", place.to_mm - place.from_mm, 2 * place.gap.side)]
        elif isinstance(place, Liner):
            sizes = [("thickness", place.thickness_mm, place.gap.floor)]
        for what, size, gap in sizes:
            left = size - gap
            if gap > 0 and left < a.shop.limits.wire_stop_mm / 2 - 1e-9:
                yield Finding(
                    code="gap-eats-part",
                    level="stop",
                    part=place.name,
                    value=left,
                    limit=a.shop.limits.wire_stop_mm / 2,
                    unit="mm",
                    text=f"gaps of {gap:g} mm leave {max(left, 0.0):.3g} mm of a {what} of "
                    f"{size:g} mm",
                    fix="a smaller gap_mm",
                    key=(*key, "gap_mm"),
                )


@RULES.add
def gap_on_both(a: Asking) -> Iterator[Finding]:
    """Two stripes that share a boundary and both give way there."""
    stripes = [(key, place) for key, place in a.places() if isinstance(place, Stripe)]
    for key, place in stripes:
        for _, other in stripes:
            shared = abs(place.to_mm - other.from_mm) < 1e-9
            if shared and place.gap.side > 0 and other.gap.side > 0:
                yield Finding(
                    code="gap-on-both",
                    level="stop",
                    part=place.name,
                    value=place.gap.side + other.gap.side,
                    limit=place.gap.side,
                    unit="mm",
                    text=f"{place.name} and {other.name} both have a gap taken off at "
                    f"{place.to_mm:g} mm",
                    fix="set gap_mm on one of the two",
                    key=(*key, "gap_mm"),
                )


@RULES.add
def gap_narrows(a: Asking) -> Iterator[Finding]:
    """A waving wall's gap is narrower square to the wall; where solder no longer flows in."""
    least_mm = a.shop.limits.gap_least_mm
    for key, place in a.places():
        if isinstance(place, Channel) and place.wave and place.gap.side > 0:
            wave = place.wave.wave()
            if wave is None:
                continue
            steep = sqrt(1 + (wave.steepest() / (a.band.mid_mm - place.depth_mm)) ** 2)
            narrow = place.gap.side / steep
            if narrow < least_mm - 1e-9 <= place.gap.side:
                yield Finding(
                    code="gap-narrows",
                    level="warn",
                    part=place.name,
                    value=narrow,
                    limit=least_mm,
                    unit="mm",
                    text=f"the side gap of {place.gap.side:g} mm along the axis narrows to "
                    f"{narrow:.3f} mm square to the wall where the wave is steepest",
                    fix=f"side = {ceil(least_mm * steep * 1000 - 1e-6) / 1000:.3f} or more, "
                    "or a flatter wave",
                    key=(*key, "gap_mm"),
                )


def _faces(place: AnyPlace, half_mm: float) -> dict[str, bool]:
    """The faces that a place makes with its neighbours, by the name of their gap."""
    if isinstance(place, Liner):
        return {"floor": True, "side": False}
    if isinstance(place, Channel):
        walls = any(abs(abs(z) - half_mm) > 1e-9 for z in place.walls_mm())
        return {"floor": True, "side": walls}
    if isinstance(place, MotifInlay):
        return {"floor": True, "side": True}
    if isinstance(place, Segments):
        return {"floor": place.depth_mm is not None, "side": True}
    return {"floor": False, "side": True}


WITHOUT_GAP = ("cast on", "hammer in", "laminate", "press in")
"""Routes in which metal comes against metal without a gap."""


@RULES.add
def gap_none(a: Asking) -> Iterator[Finding]:
    """Faces cast to touch: they neither go together nor take solder."""
    least = a.shop.limits.gap_least_mm
    shared = _shared_with_a_gap(a)
    for key, place in a.places():
        if isinstance(place, Stripe) and place.name in shared:
            continue
        tight = place.route in WITHOUT_GAP
        for face, made in _faces(place, a.band.half_mm).items():
            gap = getattr(place.gap, face)
            if made and not tight and 0 <= gap < least - 1e-12:
                yield Finding(
                    code="gap-none",
                    level="warn",
                    part=place.name,
                    value=gap,
                    limit=least,
                    unit="mm",
                    text=f"{place.name} has {gap:g} mm {face} gap: cast to touch, the parts "
                    "neither go together nor take solder",
                    fix=f"gap_mm = {{ {face} = 0.05 }} for solder; leave it for a laminate",
                    key=key,
                )
            if not made and gap != 0 and isinstance(place.gap_mm, Gap):
                yield Finding(
                    code="gap-unused",
                    level="warn",
                    part=place.name,
                    value=gap,
                    limit=0.0,
                    unit="mm",
                    text=f"{place.name} has no face for a {face} gap: it does nothing here",
                    fix=f"write it as {'side' if face == 'floor' else 'floor'}",
                    key=(*key, "gap_mm"),
                )


def _shared_with_a_gap(a: Asking) -> set[str]:
    """Stripes all of whose boundaries have the gap on the other side, or are the band's edge."""
    stripes = [place for _, place in a.places() if isinstance(place, Stripe)]
    gapped = [p for p in stripes if p.gap.side >= a.shop.limits.gap_least_mm]
    found = set()
    for one in stripes:
        free = [
            a.band.on_edge(z) or any(abs(z - other) < 1e-9 for other in ends)
            for z, ends in (
                (one.from_mm, [p.to_mm for p in gapped]),
                (one.to_mm, [p.from_mm for p in gapped]),
            )
        ]
        if all(free):
            found.add(one.name)
    return found
