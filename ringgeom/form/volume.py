"""Volumes of every part and gap, from the partition: closed form, or quadrature where it waves."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from ringgeom.errors import ShapeError
from ringgeom.form.curve import Array, Whole
from ringgeom.form.pieces import Parting, Piece, parting, regions_of
from ringgeom.form.quadrature import full_turn, kinks, part_turn
from ringgeom.form.ring import Ring
from ringgeom.form.section import Owner, Section

CRUMB_MM3 = 1e-6
"""Less than this is rounding, not metal."""

LOST_MM3 = 1e-6
"""Metal a radian that may go unnumbered at the very point where two walls touch."""

STEADY = 1e-12
"""A moment that varies less than this share round the ring is constant."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Volume:
    """A volume [mm3] and how it was found."""

    volume_mm3: float
    by: str


def volumes(ring: Ring, *, with_stock: bool = False) -> dict[Piece, Volume]:
    """Volume of every part, body piece, gap and recess of a ring.

    Exact in closed form when the section is the same all round; otherwise by quadrature
    over the angle to about 1e-12. Where two parts are pressed together the shared metal
    counts to both, so gaps are signed: parts plus gaps make the band.

    Returns
    -------
    dict
        Keys in the order of the parts; values in mm3. Worked out once for a ring.
    """
    found: dict[Piece, Volume] = ring.once(("volumes", with_stock), _volumes, ring, with_stock)
    return dict(found)


def _volumes(ring: Ring, with_stock: bool) -> dict[Piece, Volume]:
    stops = kinks(ring, with_stock=with_stock)
    angles, weights = full_turn(ring, stops)
    groups = ring.sections(angles, with_stock=with_stock)
    found: dict[Piece, Volume] = {}
    for owner in owners(ring, groups):
        stretches = ring.stretches(owner)
        if not ring.turns and len(stretches) > 1:
            found.update(_shared_out(ring, owner, stretches, groups, with_stock))
            continue
        for sector, ends in stretches:
            known = parting(ring, owner, ends, with_stock=with_stock)
            if ends is None:
                mine, some, shares = groups, angles, weights
            elif not ring.turns:
                mine, some, shares = groups, angles, np.array([ends[1] - ends[0]])
            else:
                # segments pressed together overlap: their joint runs backwards, and counts less
                some, shares = part_turn(ring, min(ends), max(ends), stops)
                shares = shares if ends[0] <= ends[1] else -shares
                mine = ring.sections(some, with_stock=with_stock)
            found.update(_turned(owner, sector, known, mine, some, shares))
    found.update(_presses(groups, weights))
    return {piece: volume for piece, volume in found.items() if abs(volume.volume_mm3) > CRUMB_MM3}


def _shared_out(
    ring: Ring,
    owner: Owner,
    stretches: Sequence[tuple[int | None, tuple[float, float] | None]],
    groups: list[tuple[Whole, Section]],
    with_stock: bool,
) -> dict[Piece, Volume]:
    """Volumes of segments of one section: its moment for each, by the angle that each spans."""
    known = parting(ring, owner, None, with_stock=with_stock)
    a_radian = _turned(owner, None, known, groups, np.zeros(1), np.ones(1))
    return {
        Piece(owner, piece.number, sector): Volume(
            volume_mm3=volume.volume_mm3 * (ends[1] - ends[0]), by=volume.by
        )
        for sector, ends in stretches
        if ends is not None
        for piece, volume in a_radian.items()
    }


def owners(ring: Ring, groups: list[tuple[Whole, Section]]) -> list[Owner]:
    """Everyone who owns metal or room: parts as written, body, gaps, joints, recess."""
    rank = {"part": 0, "body": 1, "gap": 2, "joint": 3, "recess": 4}
    found = {owner for _, section in groups for cell in section.cells for owner in cell.owners}
    joints = {
        Owner("joint", index)
        for index, claim in enumerate(ring.claims)
        if claim.sectors is not None and claim.sectors.gap != 0 and Owner("part", index) in found
    }
    return sorted(found | joints, key=lambda owner: (rank[owner.kind], owner.claim))


def _turned(
    owner: Owner,
    sector: int | None,
    known: Parting,
    groups: list[tuple[Whole, Section]],
    angles: Array,
    weights: Array,
) -> dict[Piece, Volume]:
    moments = np.zeros((known.count, weights.size))
    for which, section in groups:
        if len(known.numbers) == 1:
            mine = regions_of(section, owner.metal)
            if len(mine) != len(known.numbers[0]):
                raise ShapeError("a part falls apart between two of its angles")
            for region, number in zip(mine, known.numbers[0], strict=True):
                moments[number, which] += sum(section.moment(section.cells[i]) for i in region)
            continue
        stretches = known.stretch(angles[which])
        for k, region in enumerate(regions_of(section, owner.metal)):
            moment = sum(section.moment(section.cells[i]) for i in region)
            numbers = np.array([n[k] if k < len(n) else -1 for n in known.numbers])[stretches]
            spread = np.broadcast_to(moment, numbers.shape)
            if float(np.abs(spread[numbers < 0]).max(initial=0.0)) > LOST_MM3:
                raise ShapeError("a part shows metal that belongs to none of its pieces")
            for number in np.unique(numbers[numbers >= 0]):
                mine = numbers == number
                moments[number, which[mine]] += spread[mine]
    found = {}
    for number, moment in enumerate(moments):
        steady = np.ptp(moment) <= STEADY * max(1.0, float(np.abs(moment).max()))
        found[Piece(owner, number, sector)] = Volume(
            volume_mm3=float(moment @ weights), by="closed form" if steady else "quadrature"
        )
    return found


def _presses(groups: list[tuple[Whole, Section]], weights: Array) -> dict[Piece, Volume]:
    """Metal that two parts share in a press fit, as a negative gap of the one that presses."""
    moments: dict[Owner, Array] = {}
    for which, section in groups:
        for cell in section.cells:
            for owner in cell.owners[1:]:
                mine = moments.setdefault(Owner("press", owner.claim), np.zeros(weights.size))
                mine[which] -= section.moment(cell)
    return {
        Piece(owner): Volume(volume_mm3=float(moment @ weights), by="quadrature")
        for owner, moment in moments.items()
    }
