"""Rules on the ring as laid out: floors, rails, feather edges, metal that is missing.

All widths and thicknesses are of the finished ring, at the narrowest place round the turn.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from ringgeom.findings.context import Laid
from ringgeom.findings.finding import Finding, Rules, at_limits
from ringgeom.findings.on_places import safe_depth_mm
from ringgeom.form.curve import Array
from ringgeom.form.places import Channel, Segments
from ringgeom.form.section import BODY, Cell, Owner, Section
from ringgeom.form.volume import pieces

RULES: Rules[Laid] = Rules()

LEAST_MM3 = 1e-6
EDGE_IN_MM = 0.1
"""A feather is judged this far in from where the metal ends."""


@RULES.add
def nothing_left(laid: Laid) -> Iterator[Finding]:
    """A part that others have taken all metal from; a body asked for or missing."""
    for index, placed in enumerate(laid.ring.placed):
        for sector, name in enumerate(placed.names):
            which = sector if placed.claim.sectors is not None else None
            owned = sum(
                v.volume_mm3
                for p, v in laid.volumes.items()
                if p.owner == Owner("part", index) and p.sector == which
            )
            if owned <= LEAST_MM3:
                yield Finding(
                    code="nothing-left",
                    level="stop",
                    part=name,
                    value=owned,
                    limit=0.0,
                    unit="mm3",
                    text=f"nothing is left for {name}: earlier parts have taken it all",
                    fix="write it earlier, or take it out",
                    key=laid.key_of(index),
                )
                break
    body = sum(v.volume_mm3 for p, v in laid.volumes.items() if p.owner == BODY)
    if body > LEAST_MM3 and laid.asking.design.body is None:
        yield Finding(
            code="no-body",
            level="stop",
            part="body",
            value=body,
            limit=0.0,
            unit="mm3",
            text=f"{body:.2f} mm3 are left when every part has its place, and no metal is named",
            fix="add a [body] with its alloy, or let the parts fill the band",
            key=("ring",),
        )
    if body <= LEAST_MM3 and laid.asking.design.body is not None:
        yield Finding(
            code="nothing-left",
            level="note",
            part="body",
            value=body,
            limit=0.0,
            unit="mm3",
            text="the parts fill the band: nothing is left for the body",
            fix="the [body] can be taken out",
            key=("body",),
        )


@RULES.add
def thin_floor(laid: Laid) -> Iterator[Finding]:
    """Metal left under what is let in from the outside, after the bore's dome."""
    limits = laid.asking.shop.limits
    for index in range(len(laid.ring.placed)):
        place = laid.place_of(index)
        if not isinstance(place, Channel | Segments) or place.depth_mm is None:
            continue
        left = _floor_mm(laid, index)
        level = (
            None
            if left is None
            else at_limits(left, warn=limits.floor_warn_mm, stop=limits.floor_stop_mm)
        )
        if left is not None and level is not None:
            limit = limits.floor_stop_mm if level == "stop" else limits.floor_warn_mm
            safe = min(place.depth_mm - (limits.floor_warn_mm - left), safe_depth_mm(laid.asking))
            yield Finding(
                code="thin-floor",
                level=level,
                part=place.name,
                value=left,
                limit=limit,
                unit="mm",
                text=f"{left:.2f} mm of floor are left under {place.name} at the thinnest place",
                fix=f"deepest safe channel here: {safe:.2f} mm"
                if safe > 0
                else "a thicker band: no depth is safe here",
                key=(*laid.key_of(index), "depth_mm"),
            )


def _floor_mm(laid: Laid, index: int) -> float | None:
    """Thickness of whatever lies directly under a claim, least over width and turn [mm]."""
    least: list[float] = []
    for _, section in laid.groups:
        mine = {Owner("part", index), Owner("gap", index)}
        for cell in section.cells:
            if not mine & set(cell.owners):
                continue
            for below in section.cells:
                if below.column != cell.column or below.high != cell.low:
                    continue
                if mine & set(below.owners) or below.owners[0].kind == "gap":
                    continue
                least.append(_thinnest(section, below))
    return min(least) if least else None


def _thinnest(section: Section, cell: Cell) -> float:
    cuts = (cell.column, cell.column + 1)
    ends = [
        section.r(cell.high, cell.column, cut) - section.r(cell.low, cell.column, cut)
        for cut in cuts
    ]
    middle = 0.5 * (section.cuts[cuts[0]] + section.cuts[cuts[1]])
    high, low = (section.curve(i, cell.column).r(middle) for i in (cell.high, cell.low))
    return float(min(np.min(ends[0]), np.min(ends[1]), np.min(high - low)))


@RULES.add
def thin_rail(laid: Laid) -> Iterator[Finding]:
    """The narrowest place of every part along the axis: rails beside channels, stripes, edges."""
    limits = laid.asking.shop.limits
    for owner, width, where, tip in narrowest(laid):
        level = at_limits(width, warn=limits.rail_warn_mm, stop=limits.rail_stop_mm)
        if tip or level is None:
            continue
        name = laid.name_of(owner)
        limit = limits.rail_stop_mm if level == "stop" else limits.rail_warn_mm
        crest = ", at a wave's crest" if laid.ring.waves else ""
        yield Finding(
            code="thin-rail",
            level=level,
            part=name,
            value=width,
            limit=limit,
            unit="mm",
            text=f"{name} is only {width:.2f} mm wide {where}{crest}",
            fix=f"narrow or move the neighbour by {limits.rail_warn_mm - width:.2f} mm, "
            "or a smaller wave"
            if crest
            else f"narrow or move the neighbour by {limits.rail_warn_mm - width:.2f} mm",
            key=laid.key_of(None if owner == BODY else owner.claim),
        )


@RULES.add
def pointed_tip(laid: Laid) -> Iterator[Finding]:
    """Where an inlay crosses the boundary under it, both sides end in a point."""
    if len(laid.groups) > 1:
        yield Finding(
            code="pointed-tip",
            level="warn",
            part="",
            text="boundaries cross round the ring: the metals beside the crossing end in points, "
            "which are easily lost in casting and filing",
            fix="cast them a little full and dress them after assembly, or let the boundaries "
            "cross squarely",
            key=("part",),
        )


def narrowest(laid: Laid) -> list[tuple[Owner, float, str, bool]]:
    """Least width along the axis of every part that has neighbours beside it, and where.

    The last value says that the width runs out to nothing where two boundaries cross: a
    tip, not a rail. Channels' own widths are asked for and judged elsewhere.
    """
    found: dict[Owner, tuple[float, str, bool]] = {}
    channels = {
        index for index in range(len(laid.ring.placed)) if isinstance(laid.place_of(index), Channel)
    }
    for which, section in laid.groups:
        for level_mm in _levels(laid):
            for owner, width in _runs(section, level_mm):
                if owner.kind not in ("part", "body") or owner.claim in channels:
                    continue
                side = "left" if section.middle(width[1]) < 0 else "right"
                at = int(np.argmin(width[0]))
                least = float(width[0][at])
                tip = len(laid.groups) > 1 and not {which[at] - 1, which[at] + 1} <= set(which)
                known = found.get(owner)
                if known is None or (tip, least) < (known[2], known[0] - 1e-12):
                    found[owner] = (least, f"on the {side}", tip)
    return [(owner, *value) for owner, value in found.items()]


def _levels(laid: Laid) -> list[float]:
    """Radii at which the widths are looked at: mid-wall, and every channel at floor and middle."""
    band = laid.asking.band
    inner = [c.takes.ceiling_mm for c in laid.ring.claims if c.takes.ceiling_mm is not None]
    found = [0.5 * (max(inner, default=band.bore_mm) + band.crest_mm)]
    for claim in laid.ring.claims:
        floor = claim.takes.floor_mm
        if floor is not None:
            edge = float(laid.ring.finished.outside.r(np.array([laid.ring.finished.half_mm]))[0])
            found += [floor + 1e-6, 0.5 * (floor + max(edge, 0.5 * (floor + band.crest_mm)))]
    return found


def _runs(section: Section, radius_mm: float) -> Iterator[tuple[Owner, tuple[Array, int]]]:
    """Unbroken stretches of one owner along a cylinder: (width, first column)."""
    run: tuple[Owner, int] | None = None
    columns = len(section.cuts) - 1
    for column in range(columns + 1):
        owner = _owner_at(section, column, radius_mm) if column < columns else None
        if run is not None and owner != run[0]:
            yield run[0], (section.cuts[column] - section.cuts[run[1]], run[1])
            run = None
        if run is None and owner is not None:
            run = (owner, column)


def _owner_at(section: Section, column: int, radius_mm: float) -> Owner | None:
    middle = section.middle(column)
    for cell in section.cells:
        if cell.column == column:
            low, high = (section.seen_r(i, column, middle) for i in (cell.low, cell.high))
            if low < radius_mm <= high:
                return cell.owners[0]
    return None


@RULES.add
def feather_edge(laid: Laid) -> Iterator[Finding]:
    """A part that thins to nothing across the width will not cast."""
    limit = laid.asking.shop.limits.feather_mm
    told: set[Owner] = set()
    for _, section in laid.groups:
        for owner in {o for cell in section.cells for o in cell.owners}:
            if owner.kind not in ("part", "body") or owner in told:
                continue
            for region in pieces(section, owner):
                least = min(_end_height(section, region, side) for side in (0, 1))
                if least < limit - 1e-9:
                    told.add(owner)
                    name = laid.name_of(owner)
                    yield Finding(
                        code="feather-edge",
                        level="warn",
                        part=name,
                        value=least,
                        limit=limit,
                        unit="mm",
                        text=f"{name} is only {least:.2f} mm thick {EDGE_IN_MM:g} mm in from its "
                        "edge: a feather edge will not cast",
                        fix="a lower dome, a thicker part, or a straight edge face",
                        key=laid.key_of(None if owner == BODY else owner.claim),
                    )
                    break


def _end_height(section: Section, region: frozenset[int], side: int) -> float:
    """Thickness a little in from one end of a region [mm]."""
    columns = sorted({section.cells[i].column for i in region})
    column = columns[0] if side == 0 else columns[-1]
    cut = section.cuts[column] if side == 0 else section.cuts[column + 1]
    width = section.cuts[columns[-1] + 1] - section.cuts[columns[0]]
    inward = np.minimum(EDGE_IN_MM, 0.5 * width)
    z = cut + inward if side == 0 else cut - inward
    seen = min(section.seen, z.size - 1)
    at = float(z[seen])
    total = 0.0
    for i in region:
        cell = section.cells[i]
        low, high = (float(section.cuts[cell.column + s, section.seen]) for s in (0, 1))
        if low <= at <= high:
            top, bottom = (section.seen_r(c, cell.column, at) for c in (cell.high, cell.low))
            total += top - bottom
    return total
