"""Rules on parts that meet: can the inlay enter, and which metals touch."""

from __future__ import annotations

from collections.abc import Iterator
from math import pi

import numpy as np

from ringgeom.findings.context import Laid
from ringgeom.findings.finding import Finding, Rules
from ringgeom.form.curve import Slope
from ringgeom.form.outline import outlines
from ringgeom.form.pieces import regions_of
from ringgeom.form.places import Channel
from ringgeom.form.section import BODY, Owner
from ringgeom.form.touching import touching

RULES: Rules[Laid] = Rules()


@RULES.add
def closed_inlay_cannot_enter(laid: Laid) -> Iterator[Finding]:
    """A closed ring in a channel whose two walls are of one piece."""
    for index, claim in enumerate(laid.ring.claims):
        place = laid.place_of(index)
        if not isinstance(place, Channel) or not _walled_in(laid, index):
            continue
        floor_mm = claim.takes.floor_mm or 0.0
        inside = 2 * (floor_mm + place.gap.floor)
        over = 2 * _rail_mm(laid, place)
        if inside >= over - 1e-9:
            continue
        strip = pi * (inside + place.depth_mm - place.gap.floor)
        strain = 100 * (over / (2 * floor_mm) - 1)
        routes = "make the body in two inside the channel, cast the inlay on, or stretch an "
        routes += f"undersize body up into it by {strain:.1f} %"
        if place.undercut_mm == 0:
            routes = f"wrap an open strip {strip:.2f} mm long and solder its seam; or {routes}"
        yield Finding(
            code="closed-inlay-cannot-enter",
            level="warn",
            part=place.name,
            value=inside,
            limit=over,
            unit="mm",
            text=f"{place.name} is written as a closed ring of {inside:.2f} mm bore: it cannot "
            f"pass over the rails, {over:.2f} mm across",
            fix=routes,
            key=laid.key_of(index),
        )


def _rail_mm(laid: Laid, place: Channel) -> float:
    """Radius of the lower of the two rails beside a channel, at its highest [mm]."""
    outside = laid.ring.finished.body_top
    half = laid.asking.band.half_mm
    left, right = place.walls_mm()
    sides = [np.linspace(-half, left, 60), np.linspace(right, half, 60)]
    return min((float(outside.r(z).max()) for z in sides if z[-1] - z[0] > 1e-9), default=0.0)


def _walled_in(laid: Laid, index: int) -> bool:
    """Whether the metal on both sides of a channel is one piece, somewhere round the ring."""
    mine = {Owner("part", index), Owner("gap", index)}
    for _, section in laid.groups:
        edges = outlines(section).edges
        walls: list[set[int]] = [set(), set()]
        for edge in edges:
            leans = edge.curve is None or isinstance(edge.curve, Slope)
            for side, (own, other) in enumerate(((edge.right, edge.left), (edge.left, edge.right))):
                if leans and any(mine & set(section.cells[i].owners) for i in own):
                    upper = [i for i in other if not mine & set(section.cells[i].owners)]
                    walls[side].update(upper)
        for owner in {o for i in walls[0] | walls[1] for o in section.cells[i].owners}:
            for region in regions_of(section, owner):
                if region & walls[0] and region & walls[1]:
                    return True
    return False


@RULES.add
def silver_beside_gold(laid: Laid) -> Iterator[Finding]:
    metals: dict[Owner, set[str]] = {}
    for part in laid.parts:
        owner = BODY if part.place is None else Owner("part", part.place)
        metals.setdefault(owner, set()).add(part.alloy.recipe.precious)
    told = set()
    for _, section in laid.groups:
        for a, b in touching(section):
            pair = (metals.get(a, set()), metals.get(b, set()))
            meets = ("silver" in pair[0] and "gold" in pair[1]) or (
                "gold" in pair[0] and "silver" in pair[1]
            )
            if meets and (a, b) not in told:
                told.add((a, b))
                names = [laid.name_of(owner) for owner in (a, b)]
                yield Finding(
                    code="silver-beside-gold",
                    level="warn",
                    part=names[0],
                    text=f"{names[0]} and {names[1]} put silver beside gold: overheated at the "
                    "joint, the gold alloys away into the silver",
                    fix="prefer a mechanical joint, or solder low and quickly",
                    key=laid.key_of(None if a == BODY else a.claim),
                )


@RULES.add
def nickel_on_skin(laid: Laid) -> Iterator[Finding]:
    """Nickel in a part that lies against the finger, where its release counts."""
    told: set[str] = set()
    for _, section in laid.groups:
        for cell in section.cells:
            for part in laid.parts:
                owner = BODY if part.place is None else Owner("part", part.place)
                nickel = part.alloy.recipe.percent("Ni")
                if cell.low == 0 and owner in cell.owners and nickel > 0:
                    name = laid.name_of(owner)
                    if name not in told:
                        told.add(name)
                        yield Finding(
                            code="nickel-on-skin",
                            level="warn",
                            part=name,
                            value=nickel,
                            limit=0.0,
                            unit="% by mass",
                            text=f"{name} lies against the finger and holds {nickel:g} % nickel: "
                            "its release is limited by law (0.5 microgram/cm2/week in the EU)",
                            fix="have it tested to EN 1811, or line the ring with another metal",
                            key=laid.key_of(part.place),
                        )
