"""Volumes of every part and gap, from the partition: closed form, or quadrature where it waves."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ringgeom.form.curve import Array, Whole
from ringgeom.form.outline import Region, regions
from ringgeom.form.quadrature import full_turn, kinks, part_turn
from ringgeom.form.ring import Ring, sector_ends
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
    for owner in owners(groups):
        claim = ring.claims[owner.claim] if owner.kind in ("part", "gap") else None
        if claim is None or claim.sectors is None:
            found.update(_turned(owner, None, groups, weights))
            continue
        for number in range(claim.sectors.count):
            start, end = sector_ends(claim, number)
            if not ring.waves:
                found.update(_turned(owner, number, groups, np.array([end - start])))
                continue
            some, shares = part_turn(ring, start, end, stops)
            found.update(_turned(owner, number, ring.sections(some, with_stock=with_stock), shares))
    found.update(_joint_gaps(ring, found, groups, weights))
    return found


def owners(groups: list[tuple[Whole, Section]]) -> list[Owner]:
    """Everyone who owns a cell: the parts as written, then body, gaps, recess."""
    rank = {"part": 0, "body": 1, "gap": 2, "recess": 3}
    found = {owner for _, section in groups for cell in section.cells for owner in cell.owners}
    return sorted(found, key=lambda owner: (rank[owner.kind], owner.claim))


def _turned(
    owner: Owner, sector: int | None, groups: list[tuple[Whole, Section]], weights: Array
) -> dict[Piece, Volume]:
    moments: list[list[Array]] = []
    for which, section in groups:
        for number, region in enumerate(pieces(section, owner)):
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


def _joint_gaps(
    ring: Ring, found: dict[Piece, Volume], groups: list[tuple[Whole, Section]], weights: Array
) -> dict[Piece, Volume]:
    """What segments leave between each other: their place's whole turn less the segments."""
    gaps = {}
    for index, claim in enumerate(ring.claims):
        if claim.sectors is None or claim.sectors.gap == 0:
            continue
        owner = Owner("part", index)
        whole = sum(v.volume_mm3 for v in _turned(owner, None, groups, weights).values())
        used = sum(v.volume_mm3 for p, v in found.items() if p.owner == owner)
        gaps[Piece(Owner("joint", index))] = Volume(volume_mm3=whole - used, by="quadrature")
    return gaps
