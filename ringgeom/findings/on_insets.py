"""Rules on motif inlays by what was asked: drawn, on the face, apart, reached by the cutter."""

from __future__ import annotations

from collections.abc import Iterator
from math import floor
from typing import TYPE_CHECKING

from ringgeom.errors import InputError
from ringgeom.findings.context import Asking
from ringgeom.findings.finding import Finding, Keys, Rules, at_limits
from ringgeom.form.frame import LEAST_EDGE_MM
from ringgeom.form.places import MotifInlay

if TYPE_CHECKING:
    from ringgeom.engraving.pockets import Pockets

RULES: Rules[Asking] = Rules()

ROUND_MM = 1e-9


def _drawn(a: Asking) -> Iterator[tuple[Keys, MotifInlay, Pockets]]:
    for key, place, found in a.cut_out:
        if not isinstance(found, InputError):
            yield key, place, found


@RULES.add
def inlay_is_drawn(a: Asking) -> Iterator[Finding]:
    """Drawings that cannot be read, motifs that do not fit the face or leave no insert."""
    for key, place, found in a.cut_out:
        if isinstance(found, InputError):
            for problem in found.problems:
                yield Finding(
                    code="figure-cannot-be-drawn",
                    level="stop",
                    part=place.name,
                    text=str(problem) if problem.file else problem.text,
                    fix=problem.allowed or "another drawing or measure of it",
                    key=(*key, "file"),
                )
            continue
        for note in found.notes:
            yield Finding(
                code="figure-fitted",
                level="note",
                part=place.name,
                text=f"{place.words}: {note}",
                fix="nothing, unless it should be otherwise",
                key=(*key, "file"),
            )


@RULES.add
def inlay_on_the_face(a: Asking) -> Iterator[Finding]:
    """Pockets over the edge or on its rounding, and the rails that they leave."""
    limits, half = a.shop.limits, a.form.least_half_mm
    edge = a.form.edge_mm if a.form.edge_mm >= LEAST_EDGE_MM else 0.0
    for key, place, found in _drawn(a):
        low, high = found.reach_mm
        reach = max(-low, high)
        rail = half - reach
        tall = f"{high - low:.2f} mm of {2 * half:g} are taken"
        if reach > half - edge + ROUND_MM:
            off = reach > half + ROUND_MM
            yield Finding(
                code="runs-off-face" if off else "on-edge-rounding",
                level="stop" if off else "warn",
                part=place.name,
                value=reach,
                limit=half if off else half - edge,
                unit="mm",
                text=f"{place.words} reaches {reach:.2f} mm from mid-width, over "
                + ("the edge" if off else "the rounding of the edge"),
                fix=f"centre_mm nearer to mid-width, or smaller: {tall}",
                key=(*key, "centre_mm"),
            )
            if off:
                continue
        level = at_limits(rail, warn=limits.rail_warn_mm, stop=limits.rail_stop_mm)
        if level is not None:
            yield Finding(
                code="thin-rail",
                level=level,
                part=place.name,
                value=rail,
                limit=limits.rail_stop_mm if level == "stop" else limits.rail_warn_mm,
                unit="mm",
                text=f"{rail:.2f} mm of metal are left between {place.name} and the band's edge",
                fix=f"centre_mm nearer to mid-width, or smaller: {tall}",
                key=(*key, "centre_mm"),
            )


@RULES.add
def pockets_are_apart(a: Asking) -> Iterator[Finding]:
    """Metal between a pocket and the next (common practice, no source)."""
    limits = a.shop.limits
    for key, place, found in _drawn(a):
        if found.apart_mm is None:
            continue
        level = at_limits(found.apart_mm, warn=limits.wall_warn_mm, stop=limits.rail_stop_mm)
        if level is None:
            continue
        room = found.length_mm + limits.wall_warn_mm
        fewer = max(1, floor(found.round_mm / room))
        together = found.apart_mm == 0.0
        yield Finding(
            code="copies-run-together" if together else "thin-between",
            level=level,
            part=place.name,
            value=found.apart_mm,
            limit=limits.rail_stop_mm if level == "stop" else limits.wall_warn_mm,
            unit="mm",
            text=f"{place.count} copies of {place.words}, each {found.length_mm:.2f} mm long, "
            + (
                f"touch or run into each other on {found.round_mm:.2f} mm"
                if together
                else f"leave {found.apart_mm:.2f} mm of metal between two pockets"
            ),
            fix=f"count = {fewer}, or smaller",
            key=(*key, "count"),
        )


@RULES.add
def insert_is_thick_enough(a: Asking) -> Iterator[Finding]:
    """An insert thinner than can be handled, a pocket through the band."""
    limits = a.shop.limits
    for key, place, _ in _drawn(a):
        thick, least = place.depth_mm - place.gap.floor, limits.wire_stop_mm / 2
        if place.depth_mm >= a.form.mid_mm - ROUND_MM:
            yield Finding(
                code="recess-too-deep",
                level="stop",
                part=place.name,
                value=place.depth_mm,
                limit=a.form.mid_mm,
                unit="mm",
                text=f"pockets {place.depth_mm:g} mm deep go through a band of "
                f"{a.form.mid_mm:g} mm",
                fix=f"depth_mm up to {max(a.form.mid_mm - limits.floor_warn_mm, 0.0):.2f}",
                key=(*key, "depth_mm"),
            )
        elif thick < least - ROUND_MM:
            yield Finding(
                code="gap-eats-part",
                level="stop",
                part=place.name,
                value=thick,
                limit=least,
                unit="mm",
                text=f"a floor gap of {place.gap.floor:g} mm leaves {max(thick, 0.0):.3g} mm of a "
                f"depth of {place.depth_mm:g} mm",
                fix="a smaller gap_mm, or deeper",
                key=(*key, "gap_mm"),
            )
        elif thick < limits.inlay_depth_warn_mm - ROUND_MM:
            yield Finding(
                code="thin-inlay",
                level="warn",
                part=place.name,
                value=thick,
                limit=limits.inlay_depth_warn_mm,
                unit="mm",
                text=f"the inserts of {place.name} are only {thick:.2f} mm thick: worn or filed "
                "through early",
                fix=f"depth_mm = {limits.inlay_depth_warn_mm + place.gap.floor:.2f} or more",
                key=(*key, "depth_mm"),
            )


@RULES.add
def insert_goes_in(a: Asking) -> Iterator[Finding]:
    """A piece that reaches round more than half the ring does not go into its pocket."""
    for key, place, found in _drawn(a):
        half = found.round_mm / 2
        if found.length_mm < half:
            continue
        yield Finding(
            code="closed-inlay-cannot-enter",
            level="stop",
            part=place.name,
            value=found.length_mm,
            limit=half,
            unit="mm",
            text=f"an insert {found.length_mm:.2f} mm long reaches round more than half the ring, "
            f"{half:.2f} mm: it does not go into its pocket in one piece",
            fix="a shorter motif, or one drawn in pieces",
            key=(*key, "file"),
        )


@RULES.add
def cutter_and_corners(a: Asking) -> Iterator[Finding]:
    """What a round cutter does not reach, and what it leaves at the corners."""
    for key, place, found in _drawn(a):
        one = found.single
        radius = place.cutter_mm / 2
        if one.parted:
            yield Finding(
                code="gap-parts-insert",
                level="warn",
                part=place.name,
                value=place.gap.side,
                unit="mm",
                text=f"{len(one.pieces)} pieces are left of each insert of {place.name}: "
                "the gap, or the cutter, parts it or takes some of it away",
                fix="a smaller gap_mm or cutter_mm, or a bolder drawing",
                key=(*key, "gap_mm"),
            )
        if one.unreached_mm2:
            round_ = place.corners == "round"
            yield Finding(
                code="cutter-does-not-reach",
                level="note" if round_ else "warn",
                part=place.name,
                value=one.unreached_mm2,
                limit=0.0,
                unit="mm2",
                text=f"a cutter {place.cutter_mm:g} mm across does not reach "
                f"{one.unreached_mm2:.3f} mm2 of {place.words}"
                + (
                    f": {one.corners} inner corners are round by {radius:g} mm, in the inserts too"
                    if round_
                    else ", though it runs past the corners: the insert does not go in there"
                ),
                fix='corners = "relieved", a finer cutter, or cutter_mm = 0 for a laser'
                if round_
                else 'a finer cutter_mm, or corners = "round"',
                key=(*key, "cutter_mm"),
            )
        if place.corners == "relieved" and one.corners:
            yield Finding(
                code="corners-relieved",
                level="note" if radius <= place.gap.side + ROUND_MM else "warn",
                part=place.name,
                value=radius,
                limit=place.gap.side,
                unit="mm",
                text=f"{one.corners} corners of each pocket are run past by a cutter of "
                f"{radius:g} mm radius: beside a sharp insert with a gap of {place.gap.side:g} mm "
                "the round ends show",
                fix='a finer cutter, corners = "round", or fill them with solder',
                key=(*key, "corners"),
            )
