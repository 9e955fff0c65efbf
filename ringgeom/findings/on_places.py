"""Rules on each place by itself: whether it fits the band at all."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from math import pi

from ringgeom.findings.context import Asking
from ringgeom.findings.finding import Finding, Keys, Rules
from ringgeom.form.places import Channel, Edges, Liner, Segments, Stripe

RULES: Rules[Asking] = Rules()


@RULES.add
def runs_out(a: Asking) -> Iterator[Finding]:
    """Channels and boundaries that leave the band, also by their wave."""
    half = a.band.half_mm
    for key, place in a.places():
        if isinstance(place, Channel):
            if place.width_mm > 2 * half + 1e-9:
                yield Finding(
                    code="inlay-too-wide",
                    level="stop",
                    part=place.name,
                    value=place.width_mm,
                    limit=2 * half,
                    unit="mm",
                    text=f"the inlay is {place.width_mm:g} mm wide, the band {2 * half:g} mm",
                    fix=f"width_mm up to {2 * half:g}, which makes a sleeve",
                    key=(*key, "width_mm"),
                )
                continue
            swing = place.wave.amplitude_mm if place.wave else 0.0
            walls = [z for z in place.walls_mm() if not a.band.on_edge(z)]
            reach = max((abs(z) + swing for z in walls), default=0.0)
            if reach > half + 1e-9:
                yield _runs_out(a, key, place.name, reach, "the channel")
        elif isinstance(place, Stripe):
            for end in ("from_mm", "to_mm"):
                at = getattr(place, end)
                on = place.wave is not None and place.wave.on in ("both", end[:-3])
                swing = place.wave.amplitude_mm if place.wave and on else 0.0
                swing = 0.0 if a.band.on_edge(at) else swing
                if abs(at) + swing > half + 1e-9:
                    found = _runs_out(a, (*key, end), place.name, abs(at) + swing, "the stripe")
                    if place.from_mm >= 0 and place.to_mm <= 2 * half + 1e-9:
                        fix = (
                            "measured from the edge? then from_mm = "
                            f"{place.from_mm - half:g}, to_mm = {place.to_mm - half:g}"
                        )
                        found = replace(found, fix=fix)
                    yield found
        elif isinstance(place, Edges):
            swing = place.wave.amplitude_mm if place.wave else 0.0
            if place.width_mm + swing > half - 1e-9 or swing >= place.width_mm:
                yield Finding(
                    code="parts-overlap",
                    level="stop",
                    part=place.name,
                    value=2 * (place.width_mm + swing),
                    limit=2 * half,
                    unit="mm",
                    text=f"two edges of {place.width_mm:g} mm"
                    + (f" waving by {swing:g} mm" if swing else "")
                    + f" do not fit a band of {2 * half:g} mm",
                    fix=f"width_mm below {half - swing:.2f}",
                    key=(*key, "width_mm"),
                )


def _runs_out(a: Asking, key: Keys, name: str, reach: float, what: str) -> Finding:
    half = a.band.half_mm
    return Finding(
        code="runs-out",
        level="stop",
        part=name,
        value=reach,
        limit=half,
        unit="mm",
        text=f"{what} reaches {reach:g} mm from mid-width; the band ends at {half:g} mm "
        f"(a {2 * half:g} mm band runs from {-half:g} to {half:g})",
        fix=f"keep position and wave together within {half:g} mm of mid-width",
        key=key,
    )


@RULES.add
def liner_fits(a: Asking) -> Iterator[Finding]:
    """A liner that the bore's dome cuts through."""
    rise = a.rises_mm[1]
    form = "dome" if a.form.inside.comfort else "eased edges"
    for key, place in a.places():
        if not isinstance(place, Liner):
            continue
        edge = place.thickness_mm - place.gap.floor - rise
        if edge <= 1e-9:
            yield Finding(
                code="liner-runs-out",
                level="stop",
                part=place.name,
                value=place.thickness_mm,
                limit=rise,
                unit="mm",
                text=f"a liner of {place.thickness_mm:g} mm is thinner than its bore's {form} of "
                f"{rise:g} mm: its edges run out",
                fix=f"thickness_mm {rise + 0.3:.2f} or more, or a bore rise below "
                f"{place.thickness_mm:g}",
                key=(*key, "thickness_mm"),
            )
        if place.thickness_mm >= a.form.thickness_mm - 1e-9:
            yield Finding(
                code="parts-overlap",
                level="stop",
                part=place.name,
                value=place.thickness_mm,
                limit=a.form.thickness_mm,
                unit="mm",
                text="the liner is as thick as the band: nothing is left for the rest",
                fix=f"thickness_mm below {a.form.thickness_mm:g}",
                key=(*key, "thickness_mm"),
            )


@RULES.add
def segments_close(a: Asking) -> Iterator[Finding]:
    """Segments whose number, alloys or slants do not close round the ring."""
    slants: set[float] = set()
    for key, place in a.places():
        if not isinstance(place, Segments):
            continue
        slants.add(place.slant_deg)
        turn = len(place.alloys)
        if place.count % turn:
            near = max(turn, round(place.count / turn) * turn)
            yield Finding(
                code="segments-do-not-close",
                level="warn",
                part=place.name,
                value=place.count,
                limit=turn,
                unit="segments",
                text=f"{place.count} segments of {turn} alloys in turn: the last meets the first "
                "out of turn",
                fix=f"count = {near}",
                key=(*key, "count"),
            )
        arc = 2 * pi * a.band.crest_mm / place.count
        if arc < a.shop.limits.wall_warn_mm:
            yield Finding(
                code="too-small",
                level="stop",
                part=place.name,
                value=arc,
                limit=a.shop.limits.wall_warn_mm,
                unit="mm",
                text=f"{place.count} segments are only {arc:.2f} mm long on the outside",
                fix=f"count = {int(2 * pi * a.band.crest_mm / a.shop.limits.wall_warn_mm)} or less",
                key=(*key, "count"),
            )
        (placed,) = place.placed(a.band)
        sectors = placed.claim.sectors
        if sectors is not None and sectors.gap >= pi / sectors.count:
            yield Finding(
                code="gap-eats-part",
                level="stop",
                part=place.name,
                value=place.gap.side,
                unit="mm",
                text="the joint gaps leave nothing of the segments",
                fix="a smaller gap_mm, or fewer segments",
                key=(*key, "gap_mm"),
            )
        if len(slants) > 1:
            yield Finding(
                code="two-slants",
                level="stop",
                part=place.name,
                value=place.slant_deg,
                limit=min(slants),
                unit="deg",
                text="segments of two different slants in one ring do not share their joints",
                fix="one slant_deg for all segments",
                key=(*key, "slant_deg"),
            )
