"""Rules on what is left beside and under: floors, rails, walls, at the narrowest place.

Floors and rails are of the finished ring, after the bore's dome; walls are as cast.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil

import numpy as np

from ringgeom.findings.context import Laid
from ringgeom.findings.finding import Finding, Rules, at_limits
from ringgeom.findings.on_inlays import deepest_words, safe_depth_mm
from ringgeom.form.curve import Array
from ringgeom.form.outline import Region
from ringgeom.form.pieces import regions_of
from ringgeom.form.places import Channel, Edges, Segments
from ringgeom.form.section import BODY, Cell, Owner, Section

RULES: Rules[Laid] = Rules()


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
                fix=deepest_words(laid.asking, safe),
                key=(*laid.key_of(index), "depth_mm"),
            )


def _floor_mm(laid: Laid, index: int) -> float | None:
    """Thickness of whatever lies directly under a claim, least over width and turn [mm]."""
    least: list[float] = []
    let_in = {i for i, c in enumerate(laid.ring.claims) if c.takes.floor_mm is not None}
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
                least.append(_thinnest(section, below, lowest=_lowest(section, below, let_in)))
    return min(least) if least else None


def _lowest(section: Section, cell: Cell, let_in: set[int]) -> Cell:
    """The cell that ends a floor: through another inlay, down to the metal that carries both."""
    while any(owner.claim in let_in for owner in cell.owners):
        under = [c for c in section.cells if c.column == cell.column and c.high == cell.low]
        if not under:
            break
        cell = under[0]
    return cell


def _thinnest(section: Section, cell: Cell, *, lowest: Cell) -> float:
    first, last = section.cuts[cell.column], section.cuts[cell.column + 1]
    thick = [
        section.curve(cell.high, cell.column).r(z) - section.curve(lowest.low, cell.column).r(z)
        for z in (first, 0.5 * (first + last), last)
    ]
    return float(np.min(thick))


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
            fix=_wider(laid, owner, limits.rail_warn_mm - width),
            key=laid.key_of(None if owner == BODY else owner.claim),
        )


def _wider(laid: Laid, owner: Owner, short_mm: float) -> str:
    """What to write so that a part gains the width it lacks."""
    place = None if owner == BODY else laid.place_of(owner.claim)
    short = ceil(short_mm * 100 - 1e-6) / 100
    if isinstance(place, Edges):
        return f"width_mm = {place.width_mm + short:.2f} or more"
    channels = [p for _, p in laid.asking.places() if isinstance(p, Channel)]
    if len(channels) == 1:
        # a channel gives way to both its rails
        width = channels[0].width_mm - 2 * short
        words = f"width_mm = {width:.2f} or less for {channels[0].name}"
        return words if width > 0 else f"a band at least {2 * short:.2f} mm wider"
    return f"{short:.2f} mm more between its boundaries, or a smaller wave"


@RULES.add
def thin_wall(laid: Laid) -> Iterator[Finding]:
    """Least wall of every part as cast, with its stock and after its gaps.

    Judged over the middle four fifths of its width, where the metal must run; what lies
    under a channel is the floor's affair.
    """
    limit = laid.asking.shop.limits.wall_warn_mm
    let_in = {i for i, c in enumerate(laid.ring.claims) if c.takes.floor_mm is not None}
    found: dict[Owner, float] = {}
    for _, section in laid.cast_groups:
        for owner in sorted({o for cell in section.cells for o in cell.owners}):
            if owner.kind not in ("part", "body"):
                continue
            for region in regions_of(section, owner):
                least = _least_wall(section, region, let_in)
                found[owner] = min(found.get(owner, least), least)
    for owner, least in found.items():
        if least < limit - 1e-9:
            yield Finding(
                code="thin-wall",
                level="warn",
                part=laid.name_of(owner),
                value=least,
                limit=limit,
                unit="mm",
                text=f"{laid.name_of(owner)} is {least:.2f} mm thick as cast at its thinnest: "
                "thinner than metal runs well",
                fix=f"{ceil((limit - least) * 100 - 1e-6) / 100:.2f} mm thicker, "
                "or make it from strip",
                key=laid.key_of(None if owner == BODY else owner.claim),
            )


def _least_wall(section: Section, region: Region, let_in: set[int]) -> float:
    """Least thickness of a region across its middle four fifths [mm]; floors left out."""
    cells = [section.cells[i] for i in region]
    first, last = (min(c.column for c in cells), max(c.column for c in cells) + 1)
    low, high = section.cuts[first], section.cuts[last]
    least = np.inf
    for cell in cells:
        if _at_inlay(section, cell, let_in) or any(c.low == cell.high for c in _over(cells, cell)):
            continue
        bottom = cell
        while under := [c for c in _over(cells, bottom) if c.high == bottom.low]:
            bottom = under[0]
        start = np.maximum(section.cuts[cell.column], low + 0.1 * (high - low))
        end = np.minimum(section.cuts[cell.column + 1], high - 0.1 * (high - low))
        for z in (start, 0.5 * (start + end), end):
            top = section.curve(cell.high, cell.column).r(z)
            thick = top - section.curve(bottom.low, bottom.column).r(z)
            least = min(least, float(np.min(np.where(end > start, thick, np.inf))))
    return least


def _over(cells: list[Cell], cell: Cell) -> list[Cell]:
    """The other cells of a region in the same column."""
    return [c for c in cells if c.column == cell.column and c is not cell]


def _at_inlay(section: Section, cell: Cell, let_in: set[int]) -> bool:
    """Whether a cell is the floor under something let in, or the lip over its undercut."""
    own = {owner.claim for owner in cell.owners}
    return any(
        owner.claim in let_in - own
        for other in section.cells
        if other.column == cell.column and (other.low == cell.high or other.high == cell.low)
        for owner in other.owners
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
