"""Rules on parts that meet: can the inlay enter, and which metals touch."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from ringgeom.findings.context import Laid
from ringgeom.findings.finding import Finding, Rules
from ringgeom.form.outline import outlines
from ringgeom.form.places import Channel
from ringgeom.form.section import BODY, Owner, Section

RULES: Rules[Laid] = Rules()


@RULES.add
def closed_inlay_cannot_enter(laid: Laid) -> Iterator[Finding]:
    """A closed ring in a channel walled on both sides, or waving."""
    band = laid.asking.band
    for key, place in laid.asking.places():
        if not isinstance(place, Channel):
            continue
        open_side = any(band.on_edge(z) for z in place.walls_mm())
        if open_side and place.wave is None:
            continue
        inside = 2 * (band.crest_mm - place.depth_mm + place.gap.floor)
        over = 2 * _rail_mm(laid, place)
        if inside < over - 1e-9:
            yield Finding(
                code="closed-inlay-cannot-enter",
                level="warn",
                part=place.name,
                value=inside,
                limit=over,
                unit="mm",
                text=f"{place.name} as a closed ring, bore {inside:.2f} mm, cannot pass over the "
                f"rails, {over:.2f} mm across: stretching it would need "
                f"{100 * (over / inside - 1):.1f} %",
                fix="wrap an open strip and solder its seam, make the body in two, or hammer in "
                "a wire",
                key=key,
            )


def _rail_mm(laid: Laid, place: Channel) -> float:
    """Radius of the lower of the two rails beside a channel, at its highest [mm]."""
    outside = laid.ring.finished.body_top
    half = laid.asking.band.half_mm
    left, right = place.walls_mm()
    sides = [np.linspace(-half, left, 60), np.linspace(right, half, 60)]
    return min(float(outside.r(z).max()) for z in sides if z[-1] - z[0] > 1e-9)


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


def touching(section: Section) -> list[tuple[Owner, Owner]]:
    """Pairs of parts that meet in the section, a gap between them counting as touch."""

    def sides(cells: tuple[int, ...]) -> set[Owner]:
        found = set()
        for i in cells:
            for owner in section.cells[i].owners:
                if owner.kind in ("part", "body"):
                    found.add(owner)
                elif owner.kind == "gap":
                    found.add(Owner("part", owner.claim))
        return found

    pairs = set()
    for edge in outlines(section).edges:
        for a in sides(edge.left):
            for b in sides(edge.right):
                if a != b:
                    pairs.add((a, b) if a.claim > b.claim or b == BODY else (b, a))
    return sorted(pairs, key=lambda pair: (pair[0].claim, pair[1].claim))
