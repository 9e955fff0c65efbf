"""Rules on what is left beside and under: floors, rails, walls, at the narrowest place.

Floors and rails are of the finished ring, after the bore's dome; walls are as cast.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil

from ringgeom.findings.context import Formed
from ringgeom.findings.finding import Finding, Rules, at_limits
from ringgeom.findings.on_inlays import deepest_words, safe_depth_mm
from ringgeom.form.pieces import regions_of
from ringgeom.form.places import Channel, Edges, Segments
from ringgeom.form.section import BODY, Owner
from ringgeom.making.walls import floor_left_mm, least_wall_mm, let_in
from ringgeom.making.widths import narrowest

RULES: Rules[Formed] = Rules()


@RULES.add
def thin_floor(formed: Formed) -> Iterator[Finding]:
    """Metal left under what is let in from the outside, after the bore's dome."""
    limits = formed.asking.shop.limits
    for index in range(len(formed.ring.placed)):
        place = formed.place_of(index)
        if not isinstance(place, Channel | Segments) or place.depth_mm is None:
            continue
        left = floor_left_mm(formed.ring, formed.groups, index)
        level = (
            None
            if left is None
            else at_limits(left, warn=limits.floor_warn_mm, stop=limits.floor_stop_mm)
        )
        if left is not None and level is not None:
            limit = limits.floor_stop_mm if level == "stop" else limits.floor_warn_mm
            safe = min(place.depth_mm - (limits.floor_warn_mm - left), safe_depth_mm(formed.asking))
            yield Finding(
                code="thin-floor",
                level=level,
                part=place.name,
                value=left,
                limit=limit,
                unit="mm",
                text=f"{left:.2f} mm of floor is left under {place.name} at the thinnest place",
                fix=deepest_words(formed.asking, safe),
                key=(*formed.key_of(index), "depth_mm"),
            )


@RULES.add
def thin_rail(formed: Formed) -> Iterator[Finding]:
    """The narrowest place of every part along the axis: rails beside channels, stripes, edges."""
    limits = formed.asking.shop.limits
    channels = {
        index
        for index in range(len(formed.ring.placed))
        if isinstance(formed.place_of(index), Channel)
    }
    for one in narrowest(formed.ring, formed.groups, channels):
        owner, width, where, tip = one.owner, one.width_mm, one.where, one.tip
        level = at_limits(width, warn=limits.rail_warn_mm, stop=limits.rail_stop_mm)
        if tip or level is None:
            continue
        name = formed.name_of(owner)
        limit = limits.rail_stop_mm if level == "stop" else limits.rail_warn_mm
        crest = ", at a wave's crest" if formed.ring.waves else ""
        yield Finding(
            code="thin-rail",
            level=level,
            part=name,
            value=width,
            limit=limit,
            unit="mm",
            text=f"{name} is only {width:.2f} mm wide {where}{crest}",
            fix=_wider(formed, owner, limits.rail_warn_mm - width),
            key=formed.key_of(None if owner == BODY else owner.claim),
        )


def _wider(formed: Formed, owner: Owner, short_mm: float) -> str:
    """What to write so that a part gains the width it lacks."""
    place = None if owner == BODY else formed.place_of(owner.claim)
    short = ceil(short_mm * 100 - 1e-6) / 100
    if isinstance(place, Edges):
        return f"width_mm = {place.width_mm + short:.2f} or more"
    channels = [p for _, p in formed.asking.places() if isinstance(p, Channel)]
    if len(channels) == 1:
        # a channel gives way to both its rails
        width = channels[0].width_mm - 2 * short
        words = f"width_mm = {width:.2f} or less for {channels[0].name}"
        return words if width > 0 else f"a band at least {2 * short:.2f} mm wider"
    return f"{short:.2f} mm more between its boundaries, or a smaller wave"


@RULES.add
def thin_wall(formed: Formed) -> Iterator[Finding]:
    """Least wall of every part as cast, with its stock and after its gaps.

    Judged over the middle four fifths of its width, where the metal must run; what lies
    under a channel is the floor's affair.
    """
    limit = formed.asking.shop.limits.wall_warn_mm
    inlays = let_in(formed.ring)
    found: dict[Owner, float] = {}
    for _, section in formed.cast_groups:
        for owner in sorted({o for cell in section.cells for o in cell.owners}):
            if owner.kind not in ("part", "body"):
                continue
            for region in regions_of(section, owner):
                least = least_wall_mm(section, region, inlays)
                found[owner] = min(found.get(owner, least), least)
    for owner, least in found.items():
        if least < limit - 1e-9:
            yield Finding(
                code="thin-wall",
                level="warn",
                part=formed.name_of(owner),
                value=least,
                limit=limit,
                unit="mm",
                text=f"{formed.name_of(owner)} is {least:.2f} mm thick as cast at its thinnest: "
                "thinner than metal fills reliably",
                fix=f"{ceil((limit - least) * 100 - 1e-6) / 100:.2f} mm thicker, "
                "or make it from strip",
                key=formed.key_of(None if owner == BODY else owner.claim),
            )
