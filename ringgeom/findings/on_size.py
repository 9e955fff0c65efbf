"""Rules on the finger and the measures of the whole band."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from ringgeom.findings.context import Asking
from ringgeom.findings.finding import Finding, Rules
from ringgeom.finger import suspicion
from ringgeom.units import MM_PER_INCH

RULES: Rules[Asking] = Rules()
SIZE = ("ring", "size")

LEAST_THICKNESS_MM = 0.3
"""Below this there is no band: a wire at best."""


@RULES.add
def mixed_up_size(a: Asking) -> Iterator[Finding]:
    """A diameter typed as a circumference, inches as mm, one scale's number under another."""
    doubt = suspicion(a.finger)
    if doubt is not None:
        yield Finding(
            code="size-mixed-up",
            level="warn" if doubt.kind == "scale" else "stop",
            value=a.finger.inside_diameter_mm,
            limit=_nearest_limit(a),
            unit="mm",
            text=f'size "{a.finger.asked}": {doubt.text}',
            fix=f'if so, write size = "{doubt.fix}"',
            key=SIZE,
        )


def _nearest_limit(a: Asking) -> float:
    """The end of likely fingers that a bore lies nearer to [mm across]."""
    ends = (a.shop.limits.finger_least_mm, a.shop.limits.finger_most_mm)
    return min(ends, key=lambda end: abs(end - a.finger.inside_diameter_mm))


@RULES.add
def unlikely_finger(a: Asking) -> Iterator[Finding]:
    """A bore that fits no finger."""
    limits, across = a.shop.limits, a.made.inside_diameter_mm
    if suspicion(a.finger) is None and not (
        limits.finger_least_mm <= across <= limits.finger_most_mm
    ):
        small = across < limits.finger_least_mm
        yield Finding(
            code="unlikely-finger",
            level="warn",
            value=across,
            limit=limits.finger_least_mm if small else limits.finger_most_mm,
            unit="mm",
            text=f"a bore of {across:.2f} mm is unlikely for a finger",
            fix="measure again, or go on if it is meant",
            key=SIZE,
        )


@RULES.add
def size_notes(a: Asking) -> Iterator[Finding]:
    """Between two marks of a scale, or a scale whose charts disagree."""
    for note in a.finger.notes:
        yield Finding(
            code="size-note",
            level="note",
            value=a.finger.inside_diameter_mm,
            unit="mm",
            text=note,
            fix="go by the mm",
            key=SIZE,
        )


@RULES.add
def wide_band(a: Asking) -> Iterator[Finding]:
    """A wide band fits tighter; whether to allow for it is the maker's choice."""
    fit, width = a.shop.fit, a.form.width_mm
    if not fit.wide_band and width > fit.wide_band_from_mm + 1e-9:
        yield Finding(
            code="wide-band",
            level="note",
            value=width,
            limit=fit.wide_band_from_mm,
            unit="mm",
            text=f"{width:g} mm wide: it fits tighter than a narrow ring of the same bore, and "
            "no allowance is made",
            fix="sized with a sizer as wide, none is needed; else [fit] wide_band = true in the "
            f"shop file adds {fit.wide_band_add_us:g} US size",
            key=("ring", "width_mm"),
        )


@RULES.add
def looks_like_inches(a: Asking) -> Iterator[Finding]:
    """A band no wider than a wire, whose number in inches would be an ordinary ring."""
    for key, value, least, ordinary in (
        ("width_mm", a.form.width_mm, 0.8, (1.5, 16.0)),
        ("thickness_mm", a.form.thickness_mm, LEAST_THICKNESS_MM, (0.8, 4.5)),
    ):
        inches = value * MM_PER_INCH
        if value < least:
            like = ordinary[0] <= inches <= ordinary[1]
            yield Finding(
                code="looks-like-inches" if like else "too-small",
                level="stop",
                value=value,
                limit=least,
                unit="mm",
                text=f"{key} {value:g} is thinner than any band"
                + (f"; it looks like inches, {inches:.2f} mm" if like else ""),
                fix=f"write {key} = {inches:.2f}" if like else f"at least {least:g} mm",
                key=("ring", key),
            )


@RULES.add
def unlikely_band(a: Asking) -> Iterator[Finding]:
    """A width or a thickness that no ring has."""
    limits, form = a.shop.limits, a.form
    if form.width_mm > limits.width_most_mm:
        yield Finding(
            code="unlikely-width",
            level="warn",
            value=form.width_mm,
            limit=limits.width_most_mm,
            unit="mm",
            text=f"{form.width_mm:g} mm is unusually wide for a ring",
            fix="check that it clears the knuckle, or go on if it is meant",
            key=("ring", "width_mm"),
        )
    thick = form.thickness_mm
    usual = limits.thickness_least_mm <= thick <= limits.thickness_most_mm
    if thick >= LEAST_THICKNESS_MM and not usual:
        thin = thick < limits.thickness_least_mm
        yield Finding(
            code="unlikely-thickness",
            level="warn",
            value=thick,
            limit=limits.thickness_least_mm if thin else limits.thickness_most_mm,
            unit="mm",
            text=f"{thick:g} mm is unusually {'thin' if thin else 'thick'} for a ring",
            fix=f"usual are {limits.thickness_least_mm:g} to {limits.thickness_most_mm:g} mm",
            key=("ring", "thickness_mm"),
        )


@RULES.add
def thin_band(a: Asking) -> Iterator[Finding]:
    """A band thinner than wears well."""
    limits, thick = a.shop.limits, a.form.mid_mm
    platinum = any(alloy.recipe.precious == "platinum" for _, alloy in a.alloys)
    warn = limits.band_platinum_warn_mm if platinum else limits.band_warn_mm
    if limits.thickness_least_mm <= a.form.thickness_mm and thick < limits.band_note_mm - 1e-9:
        level = "warn" if thick < warn - 1e-9 else "note"
        limit = warn if level == "warn" else limits.band_note_mm
        # a face that lies lower at mid-width is written by its highest place
        written = round(limit + a.form.thickness_mm - thick, 6)
        yield Finding(
            code="thin-band",
            level="warn" if level == "warn" else "note",
            value=thick,
            limit=limit,
            unit="mm",
            text=f"{thick:g} mm at mid-width leaves little for wear and for inlays",
            fix=f"{written:g} mm or more",
            key=("ring", "thickness_mm"),
        )


@RULES.add
def solid_band(a: Asking) -> Iterator[Finding]:
    """A section so heavy that it is slow to freeze."""
    least = min(a.form.width_mm, a.form.thickness_mm)
    if least > a.shop.limits.solid_note_mm:
        yield Finding(
            code="solid-section",
            level="note",
            value=least,
            limit=a.shop.limits.solid_note_mm,
            unit="mm",
            text=f"a solid section of {least:g} mm sinks and pits as it freezes",
            fix="hollow it, or feed it generously",
            key=("ring", "thickness_mm"),
        )


@RULES.add
def recess_through(a: Asking) -> Iterator[Finding]:
    """A body recessed so far that little of it is left, at its edges first."""
    plain, stop = a.empty_ring, a.shop.limits.wire_stop_mm
    if a.form.proud_mm >= 0 or plain is None:
        return
    frame = plain.finished
    z = np.linspace(-frame.half_mm, frame.half_mm, 201)
    left = float((frame.body_top.r(z) - frame.bore.r(z)).min())
    whole = float((frame.outside.r(z) - frame.bore.r(z)).min())
    if left < min(stop, 0.5 * whole) - 1e-9:
        yield Finding(
            code="recess-too-deep",
            level="stop",
            part="body",
            value=left,
            limit=stop,
            unit="mm",
            # adding 0.0 turns a rounded -0.0 into 0.0
            text=f"a body recessed by {-a.form.proud_mm:g} mm is {round(left, 2) + 0.0:.2f} mm "
            "thick at its edges",
            fix=f"proud_mm {-max(0.0, whole - stop):.2f} or above, or thicker edges",
            key=("body", "proud_mm"),
        )


@RULES.add
def thin_recessed(a: Asking) -> Iterator[Finding]:
    """A recess or a proud body makes the band itself thinner or thicker."""
    limits, thick = a.shop.limits, a.form.thickness_mm + a.form.proud_mm
    usual = limits.thickness_least_mm <= thick <= limits.thickness_most_mm
    if a.form.proud_mm != 0 and not usual:
        thin = thick < limits.thickness_least_mm
        yield Finding(
            code="unlikely-thickness",
            level="warn",
            part="body",
            value=thick,
            limit=limits.thickness_least_mm if thin else limits.thickness_most_mm,
            unit="mm",
            text=f"with proud_mm {a.form.proud_mm:g} the body is {thick:g} mm thick at mid-width",
            fix=f"usual are {limits.thickness_least_mm:g} to {limits.thickness_most_mm:g} mm",
            key=("body", "proud_mm"),
        )
