"""Volumes of every part and gap, from the partition: closed form, or quadrature where it waves."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ringgeom.form.curve import Array, Whole
from ringgeom.form.outline import Region, regions
from ringgeom.form.quadrature import full_turn, kinks, part_turn
from ringgeom.form.ring import Ring
from ringgeom.form.section import Owner, Section

STEADY = 1e-12
"""A moment that varies less than this share round the ring is constant."""


@dataclass(frozen=True, slots=True, order=True)
class Piece:
    """One connected piece of an owner: its number by rising z, and its segment if it is one."""

    owner: Owner
    number: int = 0
    sector: int | None = None


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
        Keys in the order of the parts; values in mm3.
    """
    stops = kinks(ring, with_stock=with_stock)
    angles, weights = full_turn(ring, stops)
    groups = ring.sections(angles, with_stock=with_stock)
    found: dict[Piece, Volume] = {}
    for owner in owners(ring, groups):
        for sector, ends in ring.stretches(owner):
            if ends is None:
                found.update(_turned(owner, None, groups, weights))
            elif not ring.waves:
                found.update(_turned(owner, sector, groups, np.array([ends[1] - ends[0]])))
            else:
                some, shares = part_turn(ring, *ends, stops)
                parted = ring.sections(some, with_stock=with_stock)
                found.update(_turned(owner, sector, parted, shares))
    return found


def owners(ring: Ring, groups: list[tuple[Whole, Section]]) -> list[Owner]:
    """Everyone who owns metal or room: parts as written, body, gaps, joints, recess."""
    rank = {"part": 0, "body": 1, "gap": 2, "joint": 3, "recess": 4}
    found = {owner for _, section in groups for cell in section.cells for owner in cell.owners}
    joints = {
        Owner("joint", index)
        for index, claim in enumerate(ring.claims)
        if claim.sectors is not None and claim.sectors.gap > 0 and Owner("part", index) in found
    }
    return sorted(found | joints, key=lambda owner: (rank[owner.kind], owner.claim))


def _turned(
    owner: Owner, sector: int | None, groups: list[tuple[Whole, Section]], weights: Array
) -> dict[Piece, Volume]:
    moments: list[list[Array]] = []
    for which, section in groups:
        for number, region in enumerate(pieces(section, owner.metal)):
            if number == len(moments):
                moments.append([np.zeros(weights.size)])
            moments[number][0][which] = sum(section.moment(section.cells[i]) for i in region)
    found = {}
    for number, (moment,) in enumerate(moments):
        steady = np.ptp(moment) <= STEADY * max(1.0, float(np.abs(moment).max()))
        found[Piece(owner, number, sector)] = Volume(
            volume_mm3=float(moment @ weights), by="closed form" if steady else "quadrature"
        )
    return found


def pieces(section: Section, owner: Owner) -> list[Region]:
    """The connected pieces of an owner, by rising z of their middle."""

    def middle(region: Region) -> float:
        areas = {i: section.area(section.cells[i]) for i in region}
        total = sum(areas.values())
        if not total > 0:
            return section.middle(section.cells[min(region)].column)
        return sum(a * section.middle(section.cells[i].column) for i, a in areas.items()) / total

    def found() -> list[Region]:
        some = regions(section, owner)
        return some if len(some) == 1 else sorted(some, key=middle)

    return section.once(("pieces", owner), found)
