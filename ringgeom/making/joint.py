"""A joint of two parts: where, how wide, what it is joined with, how much filler it takes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt
from typing import Literal

from ringgeom.form.contacts import Contact
from ringgeom.form.measure import build
from ringgeom.form.ring import Ring
from ringgeom.form.section import Owner
from ringgeom.making.part import Part
from ringgeom.shop import Joining

Use = Literal["press", "touch", "solder", "adhesive"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Joint:
    """A joint between an inserted part and what it is fitted to.

    Attributes
    ----------
    between : tuple of str
        The inserted part and its host, by the names of their first pieces.
    kind, side : str, int
        ``floor``, ``ceiling`` or ``wall``, and at which wall; ``segment face`` between two
        segments of a place, all of them together.
    area_mm2 : float
        Of the host's face.
    gap_mm, gap_low_mm, gap_high_mm : float
        As designed, taken once, from the inserted part; and within the shop's tolerance.
    use : str
        ``press`` where metal is pressed into metal, ``touch`` where no gap is left, ``solder``
        up to the shop's widest solder gap, ``adhesive`` beyond.
    filler_mm3 : float
        Solder that the joint takes; 0 where none flows.
    one_scale_gap_mm : float
        What the gap would be if both patterns took the host's scale.
    """

    between: tuple[str, str]
    kind: str
    side: int
    area_mm2: float
    radius_mm: float
    gap_mm: float
    gap_low_mm: float
    gap_high_mm: float
    use: Use
    filler_mm3: float
    one_scale_gap_mm: float


def joints(parts: Sequence[Part], met: Sequence[Contact], settings: Joining) -> tuple[Joint, ...]:
    """The joints of a ring, in the order of its parts.

    Source
    ------
    Filler = gap x area x 1.5 by default: common practice, no source.
    """
    found = []
    for contact in met:
        mine, host = _first(parts, contact.inserted), _first(parts, contact.host)
        if mine is None or host is None:
            continue
        use = _use(contact.gap_mm, settings)
        radius = 0.5 * (contact.r_low_mm + contact.r_high_mm)
        # on walls the scale moves the faces along the axis, on floors along the radius
        reach = radius if contact.kind != "wall" else abs(contact.z_low_mm + contact.z_high_mm) / 2
        off = reach * (host.scale.scale / mine.scale.scale - 1)
        found.append(
            Joint(
                between=(mine.name, host.name),
                kind=contact.kind,
                side=contact.side,
                area_mm2=contact.area_mm2,
                radius_mm=radius,
                gap_mm=contact.gap_mm,
                gap_low_mm=contact.gap_mm - settings.tolerance_mm,
                gap_high_mm=contact.gap_mm + settings.tolerance_mm,
                use=use,
                filler_mm3=contact.gap_mm * contact.area_mm2 * settings.filler_factor
                if use == "solder"
                else 0.0,
                one_scale_gap_mm=contact.gap_mm + (off if contact.kind == "floor" else -off),
            )
        )
    return tuple(found)


def segment_joints(ring: Ring, parts: Sequence[Part], settings: Joining) -> tuple[Joint, ...]:
    """The faces between the segments of every place: as many as there are pieces.

    The gap is that at mid-height: it is asked for on the outside, and a joint is a wedge.

    Source
    ------
    Area of one face: the section's, times what a slant makes of it at the mean radius.
    """
    found = []
    for index, claim in enumerate(ring.claims):
        mine = [part for part in parts if part.place == index]
        if claim.sectors is None or len(mine) < 2:
            continue
        one, other = mine[0], mine[1]
        built = build(ring, one.piece, with_stock=False)
        radius = built.length_mm / built.turn
        lean = sqrt(1 + (radius * claim.sectors.twist) ** 2)
        gap = radius * claim.sectors.gap / lean
        area = len(mine) * built.area_mm2 * lean
        use = _use(gap, settings)
        found.append(
            Joint(
                between=(one.name, other.name),
                kind="segment face",
                side=0,
                area_mm2=area,
                radius_mm=radius,
                gap_mm=gap,
                gap_low_mm=gap - settings.tolerance_mm,
                gap_high_mm=gap + settings.tolerance_mm,
                use=use,
                filler_mm3=gap * area * settings.filler_factor if use == "solder" else 0.0,
                one_scale_gap_mm=gap,
            )
        )
    return tuple(found)


def _first(parts: Sequence[Part], owner: Owner) -> Part | None:
    place = None if owner.kind == "body" else owner.claim
    return next((part for part in parts if part.place == place), None)


def _use(gap_mm: float, settings: Joining) -> Use:
    if gap_mm < -1e-9:
        return "press"
    if gap_mm <= 1e-9:
        return "touch"
    return "solder" if gap_mm <= settings.solder_most_mm + 1e-9 else "adhesive"
