"""A ring of the same section at another finger size: every radius is larger by as much.

Measured from the bore, the section of a ring does not know its size: floors and liners are
laid out from bore and crest, and a wave z = a sin(n angle) has no radius in it. Only the
angle that a gap takes from a segment, and the twist of a slanted joint, depend on the size;
where walls wave beside segments, that changes the section too.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from ringgeom.form.curve import Array, Whole
from ringgeom.form.places import AnyPlace
from ringgeom.form.ring import Ring
from ringgeom.form.section import Section

DRAWN_ONCE = ("kinks", "parting")
"""What is worked out of a ring without its radii: where cuts cross, and which regions are one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Raised(Ring):
    """A ring whose sections are those of `base`, raised by `by_mm`."""

    base: Ring
    by_mm: float

    def _drawn(self, angles: Array, with_stock: bool) -> list[tuple[Whole, Section]]:
        groups = self.base.sections(angles, with_stock=with_stock)
        return [(which, section.raised(self.by_mm)) for which, section in groups]


def same_section(ring: Ring) -> bool:
    """Whether a ring has the same section at every size."""
    return not ring.turns or all(claim.sectors is None for claim in ring.claims)


def raised(ring: Ring, places: Sequence[AnyPlace], inside_diameter_mm: float) -> Raised:
    """The ring of the same section at another inside diameter [mm].

    Only for a ring that has `same_section`; frame, partition and pieces are not drawn again.

    Parameters
    ----------
    places : sequence of places
        Those that the ring was laid out from.

    Source
    ------
    Derived; tests/grid hold the volumes against rings that are laid out at the other size.
    """
    form = replace(ring.form, inside_diameter_mm=inside_diameter_mm)
    by_mm = (inside_diameter_mm - ring.form.inside_diameter_mm) / 2
    placed = tuple(one for place in places for one in place.placed(form.band))
    twists = {one.claim.sectors.twist for one in placed if one.claim.sectors is not None}
    return Raised(
        form=form,
        stock=ring.stock,
        finished=ring.finished.raised(by_mm),
        places=tuple(places),
        placed=placed,
        twist=next(iter(twists), 0.0),
        base=ring,
        by_mm=by_mm,
        _kept={
            key: known
            for key, known in ring._kept.items()
            if isinstance(key, tuple) and key[0] in DRAWN_ONCE
        },
        _cast=[ring.cast.raised(by_mm)],
    )
