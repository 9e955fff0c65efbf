"""Rules on the ring as laid out: floors, rails, feather edges, metal that is missing.

All widths and thicknesses are of the finished ring, at the narrowest place round the turn.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from ringgeom.findings.context import Formed
from ringgeom.findings.finding import Finding, Rules
from ringgeom.form.pieces import regions_of
from ringgeom.form.section import BODY, Owner, Section
from ringgeom.making.widths import boundaries_cross

RULES: Rules[Formed] = Rules()

LEAST_MM3 = 1e-6
LEAST_PART_MM3 = 0.1
"""Half a milligram to two: nothing that a caster can find again."""

EDGE_IN_MM = 0.1
"""A feather is judged this far in from where the metal ends."""


@RULES.add
def nothing_left(formed: Formed) -> Iterator[Finding]:
    """A part that others have taken all metal from; a body asked for or missing."""
    for index, placed in enumerate(formed.ring.placed):
        if placed.claim.drawn:
            continue  # a motif inlay that lies in no one metal says so itself
        for sector, name in enumerate(placed.names):
            which = sector if placed.claim.sectors is not None else None
            owned = sum(
                v.volume_mm3
                for p, v in formed.volumes.items()
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
                    key=formed.key_of(index),
                )
                break
    if not formed.parts:
        yield Finding(
            code="nothing-left",
            level="stop",
            part="body",
            value=0.0,
            limit=0.0,
            unit="mm3",
            text="no metal is left of this ring at all",
            fix="a body that is less recessed, or parts that fill the band",
            key=("ring",),
        )
    body = sum(v.volume_mm3 for p, v in formed.volumes.items() if p.owner == BODY)
    if body > LEAST_MM3 and formed.asking.design.body is None:
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
    if body <= LEAST_MM3 and formed.asking.design.body is not None:
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
def pointed_tip(formed: Formed) -> Iterator[Finding]:
    """Where an inlay crosses the boundary under it, both sides end in a point."""
    if boundaries_cross(formed.groups):
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


@RULES.add
def crumb(formed: Formed) -> Iterator[Finding]:
    """A piece too small to cast, left where places nearly meet."""
    for part in formed.parts:
        if part.volume_mm3 < LEAST_PART_MM3:
            yield Finding(
                code="crumb",
                level="stop",
                part=part.name,
                value=part.volume_mm3,
                limit=LEAST_PART_MM3,
                unit="mm3",
                text=f"{part.name} is a crumb of {part.volume_mm3:.3g} mm3",
                fix="let the boundaries meet, or move them apart",
                key=formed.key_of(part.place),
            )


@RULES.add
def islands(formed: Formed) -> Iterator[Finding]:
    """A part that falls into several pieces of metal, each of them to be made and set."""
    pieces: dict[tuple[int | None, int | None], list[str]] = {}
    for part in formed.parts:
        pieces.setdefault((part.place, part.piece.sector), []).append(part.name)
    for (place, _), names in pieces.items():
        if len(names) > 2:
            yield Finding(
                code="islands",
                level="warn",
                part=names[0],
                value=len(names),
                limit=2,
                unit="pieces",
                text=f"{names[0].rsplit(' ', 1)[0]} falls into {len(names)} separate pieces",
                fix="a shallower channel, so that they hang together under it, or fewer waves",
                key=formed.key_of(place),
            )


@RULES.add
def feather_edge(formed: Formed) -> Iterator[Finding]:
    """A part that thins to nothing across the width will not cast."""
    limit = formed.asking.shop.limits.feather_mm
    told: set[Owner] = set()
    for _, section in formed.groups:
        for owner in {o for cell in section.cells for o in cell.owners}:
            if owner.kind not in ("part", "body") or owner in told:
                continue
            for region in regions_of(section, owner):
                least = min(_end_height(section, region, side) for side in (0, 1))
                if least < limit - 1e-9:
                    told.add(owner)
                    name = formed.name_of(owner)
                    yield Finding(
                        code="feather-edge",
                        level="warn",
                        part=name,
                        value=least,
                        limit=limit,
                        unit="mm",
                        text=f"{name} is only {least:.2f} mm thick {EDGE_IN_MM:g} mm in from its "
                        "edge: a feather edge will not cast",
                        fix="a lower outside, a thicker part, or a straight edge face",
                        key=formed.key_of(None if owner == BODY else owner.claim),
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
