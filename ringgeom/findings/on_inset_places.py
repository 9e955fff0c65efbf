"""Rules on motif inlays as they lie on the ring: in one metal, over a floor, beside all else."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from itertools import combinations
from math import ceil
from math import floor as rounded_down
from typing import TYPE_CHECKING, Any

import numpy as np

from ringgeom.findings.context import Formed
from ringgeom.findings.finding import Finding, Rules, at_limits
from ringgeom.findings.on_figure_places import CHORD_MM, OVERLAP_MM2, shared_mm2

if TYPE_CHECKING:
    from ringgeom.engraving.inset import Inset

RULES: Rules[Formed] = Rules()


@RULES.add
def lies_in_one_metal(formed: Formed) -> Iterator[Finding]:
    """Pockets over a joint, a boundary that waves, segments, or a step of the face."""
    for one in formed.insets:
        if one.host is not None:
            continue
        low, high = one.cut.reach_mm
        strips = [strip for strip in one.face.strips if strip.metal]
        widest = max(strips, key=lambda strip: strip.high_mm - strip.low_mm, default=None)
        there = (
            "a flat outside that keeps its thickness"
            if widest is None and formed.ring.form.taper is not None
            else "the ring has no metal there"
            if widest is None
            else f"within {formed.name_of(widest.owner)}, whole from {widest.low_mm:.2f} to "
            f"{widest.high_mm:.2f} mm"
        )
        yield Finding(
            code="inlay-in-two-metals",
            level="stop",
            part=one.asked.name,
            value=high - low,
            limit=None if widest is None else widest.high_mm - widest.low_mm,
            unit="mm",
            text=f"{one.asked.name}, from {low:.2f} to {high:.2f} mm, does not lie in one metal: "
            f"{one.why_not}",
            fix=there,
            key=(*formed.key_of(one.number), "centre_mm"),
        )


@RULES.add
def floor_under_pockets(formed: Formed) -> Iterator[Finding]:
    """Metal left under the pockets, what is cut into the bore behind them taken off."""
    limits = formed.asking.shop.limits
    for one in _lying(formed):
        left = floor_left_mm(one) - _behind_mm(formed, one)
        level = at_limits(left, warn=limits.floor_warn_mm, stop=limits.floor_stop_mm)
        if level is None:
            continue
        safe = rounded_down(100 * (one.asked.depth_mm - limits.floor_warn_mm + left)) / 100
        yield Finding(
            code="thin-floor",
            level=level,
            part=one.asked.name,
            value=left,
            limit=limits.floor_stop_mm if level == "stop" else limits.floor_warn_mm,
            unit="mm",
            text=f"{left:.2f} mm of floor are left under {one.asked.name} at the thinnest place",
            fix=f"depth_mm up to {safe:.2f}" if safe > 0 else "a thicker band or host",
            key=(*formed.key_of(one.number), "depth_mm"),
        )


def _lying(formed: Formed) -> Iterator[Inset]:
    yield from (one for one in formed.insets if one.host is not None)


def floor_left_mm(one: Inset) -> float:
    """Least thickness of the metal under the pockets [mm]."""
    low, high = one.cut.reach_mm
    level, rise = one.deep.flat_mm(one.face), one.deep.rise_mm(one.face)
    least = np.inf
    for strip in one.face.between(low, high):
        for below in strip.floors:
            start, end = (
                max(low, strip.low_mm, below.low_mm),
                min(high, strip.high_mm, below.high_mm),
            )
            if start > end:
                continue
            z = np.linspace(start, end, 65)
            bed = strip.curve.r(z) + rise if level is None else np.full_like(z, level)
            least = min(least, float((bed[:, None] - below.curve.r(z[:, None])).min()))
    return float(least)


def _behind_mm(formed: Formed, one: Inset) -> float:
    """How deep the bore is engraved somewhere across the same width [mm]."""
    low, high = one.cut.reach_mm
    return max(
        (
            other.deepest_mm
            for other in formed.engraved
            if other.asked.on == "inside"
            and any(box[2] < high and box[3] > low for box in other.boxes_mm)
        ),
        default=0.0,
    )


@RULES.add
def flat_floor_runs_out(formed: Formed) -> Iterator[Finding]:
    """On a dome a floor that is a cylinder leaves less of the insert towards the edges."""
    limits = formed.asking.shop.limits
    for one in _lying(formed):
        if one.asked.floor == "following":
            continue
        low, high = one.cut.reach_mm
        thick = one.bed.leaves_mm(one.face, low, high)
        if thick >= limits.wire_stop_mm - 1e-9:
            continue
        yield Finding(
            code="thin-inlay",
            level="stop" if thick < limits.wire_stop_mm / 2 else "warn",
            part=one.asked.name,
            value=thick,
            limit=limits.wire_stop_mm,
            unit="mm",
            text=f"over a flat floor the inserts of {one.asked.name} are {max(thick, 0.0):.2f} mm "
            "thick where the face is lowest",
            fix='floor = "following", or deeper',
            key=(*formed.key_of(one.number), "floor"),
        )


@RULES.add
def beside_other_places(formed: Formed) -> Iterator[Finding]:
    """Metal between pockets and the boundary of what they lie in; the band's edge apart."""
    limits = formed.asking.shop.limits
    for one in _lying(formed):
        low, high = one.cut.reach_mm
        half = one.face.half_mm
        mine = [strip for strip in one.face.strips if strip.owner == one.host]
        ends = min(s.low_mm for s in mine), max(s.high_mm for s in mine)
        left = min(
            (
                room
                for room, end in ((low - ends[0], ends[0]), (ends[1] - high, ends[1]))
                if abs(abs(end) - half) > 1e-6
            ),
            default=np.inf,
        )
        level = at_limits(left, warn=limits.rail_warn_mm, stop=limits.rail_stop_mm)
        if level is None:
            continue
        host = formed.name_of(one.host) if one.host else ""
        yield Finding(
            code="thin-rail",
            level=level,
            part=one.asked.name,
            value=left,
            limit=limits.rail_stop_mm if level == "stop" else limits.rail_warn_mm,
            unit="mm",
            text=f"{left:.2f} mm of {host} are left between {one.asked.name} and its boundary",
            fix=f"centre_mm = {0.5 * (ends[0] + ends[1]):.2f}, or smaller",
            key=(*formed.key_of(one.number), "centre_mm"),
        )


@RULES.add
def pockets_meet(formed: Formed) -> Iterator[Finding]:
    """Two motif inlays over each other, or too near (common practice, no source)."""
    limits = formed.asking.shop.limits
    for one, two in combinations(formed.insets, 2):
        apart = _apart_mm(one.cut.pockets, two.cut.pockets, one.face.around_mm)
        level = at_limits(apart, warn=limits.wall_warn_mm, stop=limits.rail_stop_mm)
        if level is None:
            continue
        yield Finding(
            code="parts-overlap" if apart == 0 else "thin-between",
            level=level,
            part=two.asked.name,
            value=apart,
            limit=limits.rail_stop_mm if level == "stop" else limits.wall_warn_mm,
            unit="mm",
            text=f"{one.asked.name} and {two.asked.name} "
            + ("lie over each other" if apart == 0 else f"are only {apart:.2f} mm apart"),
            fix="apart by centre_mm or at, fewer, or smaller",
            key=(*formed.key_of(two.number), "at"),
        )


@lru_cache(maxsize=32)
def _apart_mm(ours: Any, others: Any, around: float) -> float:
    """Least distance between the shapes of two rows, round the ring [mm]."""
    from shapely import STRtree
    from shapely.affinity import translate

    from ringgeom.engraving.flat import polygon_of

    mine = [polygon_of(shape, CHORD_MM) for shape in ours]
    tree = STRtree(mine)
    low, high = min(one.bounds[0] for one in mine), max(one.bounds[2] for one in mine)
    least = np.inf
    for shape in others:
        there = polygon_of(shape, CHORD_MM)
        x0, _, x1, _ = there.bounds
        for turn in range(ceil((low - x1) / around) - 1, rounded_down((high - x0) / around) + 2):
            moved = translate(there, turn * around)
            least = min(least, float(moved.distance(mine[int(tree.nearest(moved))])))
    return float(least)


@RULES.add
def engraved_over_pockets(formed: Formed) -> Iterator[Finding]:
    """Lettering, a figure or room for marks over an inlay."""
    for one in formed.insets:
        for other in formed.engraved:
            if other.asked.on != "outside" or not other.copies:
                continue
            low, high = one.cut.reach_mm
            if not any(box[2] < high and box[3] > low for box in other.boxes_mm):
                continue
            ours = tuple((shape,) for shape in one.cut.pockets)
            common = shared_mm2(ours, other.copies, one.face.around_mm)
            if common <= OVERLAP_MM2:
                continue
            yield Finding(
                code="engravings-overlap",
                level="stop" if other.carved else "warn",
                part=one.asked.name,
                value=common,
                limit=0.0,
                unit="mm2",
                text=f"{other.words} lies over {one.asked.name} by {common:.2f} mm2",
                fix="apart by centre_mm or at, or smaller",
                key=("engraving", other.number, "centre_mm"),
            )
