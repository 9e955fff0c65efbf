"""Rules on the signed gaps between parts."""

from __future__ import annotations

from collections.abc import Iterator
from math import sqrt

from ringgeom.findings.context import Asking
from ringgeom.findings.finding import Finding, Rules
from ringgeom.form.places import Channel, Liner, Stripe

RULES: Rules[Asking] = Rules()


@RULES.add
def gap_sizes(a: Asking) -> Iterator[Finding]:
    limits = a.shop.limits
    for key, place in a.places():
        for face, gap in (("side", place.gap.side), ("floor", place.gap.floor)):
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
            if gap >= size:
                yield Finding(
                    code="gap-eats-part",
                    level="stop",
                    part=place.name,
                    value=gap,
                    limit=size,
                    unit="mm",
                    text=f"gaps of {gap:g} mm leave nothing of a {what} of {size:g} mm",
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
                    text=f"{place.name} and {other.name} both give up the gap at "
                    f"{place.to_mm:g} mm",
                    fix="set gap_mm on one of the two",
                    key=(*key, "gap_mm"),
                )


@RULES.add
def gap_narrows(a: Asking) -> Iterator[Finding]:
    """A waving wall's gap is narrower square to the wall, where the wave is steepest."""
    for key, place in a.places():
        if isinstance(place, Channel) and place.wave and place.gap.side > 0:
            wave = place.wave.wave()
            if wave is None:
                continue
            slope = wave.steepest() / (a.band.crest_mm - place.depth_mm)
            least = place.gap.side / sqrt(1 + slope**2)
            if least < 0.8 * place.gap.side:
                yield Finding(
                    code="gap-narrows",
                    level="note",
                    part=place.name,
                    value=least,
                    limit=place.gap.side,
                    unit="mm",
                    text=f"the side gap of {place.gap.side:g} mm along the axis narrows to "
                    f"{least:.3f} mm square to the wall where the wave is steepest",
                    fix=f"side = {place.gap.side * sqrt(1 + slope**2):.3f} for "
                    f"{place.gap.side:g} mm there",
                    key=(*key, "gap_mm"),
                )
