"""Two parts of different alloys that touch: how their colours compare, and better partners."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from ringgeom.colour.contrast import Contrast
from ringgeom.colour.pair import Pair, pair
from ringgeom.colour.partners import Partner, better_pair
from ringgeom.form.contacts import Contact
from ringgeom.form.ring import Ring
from ringgeom.making.part import Part
from ringgeom.metal import Alloy


@dataclass(frozen=True, slots=True, kw_only=True)
class Meeting:
    """Two parts that touch, by the names of their first pieces.

    `better` holds, where the two do not clearly read as two colours, alloys of the same
    fineness to use instead of the first and instead of the second.
    """

    between: tuple[str, str]
    alloys: tuple[Alloy, Alloy]
    pair: Pair
    better: tuple[tuple[Partner, ...], tuple[Partner, ...]]

    @property
    def contrast(self) -> Contrast:
        """Both polished."""
        return self.pair.contrast


def meetings(
    ring: Ring, touch: Sequence[Contact], parts: Sequence[Part], *, partners: bool = True
) -> tuple[Meeting, ...]:
    """Every two alloys that touch, once for each pair of places and alloys.

    Without `partners` no better ones are looked for.
    """
    alloys = {part.alloy.name: part.alloy for part in parts}
    found = []
    for between, (one, two) in _names(ring, touch, parts).items():
        if one == two:
            continue
        first, second = alloys[one], alloys[two]
        met = pair(first, second, names=between)
        better = better_pair(first, second) if partners else ((), ())
        found.append(Meeting(between=between, alloys=(first, second), pair=met, better=better))
    return tuple(found)


def _names(
    ring: Ring, touch: Sequence[Contact], parts: Sequence[Part]
) -> Mapping[tuple[str, str], tuple[str, str]]:
    """Names of two parts that touch, to the names of their alloys."""
    by_place: dict[tuple[str, int], dict[str, str]] = {}
    for part in parts:
        kind = ("body", -1) if part.place is None else ("part", part.place)
        by_place.setdefault(kind, {}).setdefault(part.alloy.name, part.name)
    names: dict[tuple[str, str], tuple[str, str]] = {}
    for met in touch:
        a, b = met.inserted, met.host
        for first, one in by_place.get((a.kind, a.claim), {}).items():
            for second, two in by_place.get((b.kind, b.claim), {}).items():
                names.setdefault((one, two), (first, second))
    for place, claim in enumerate(ring.claims):
        if claim.sectors is not None:
            alloys = list(by_place.get(("part", place), {}).items())
            for (first, one), (second, two) in zip(alloys, alloys[1:] + alloys[:1], strict=True):
                if (two, one) not in names:
                    names.setdefault((one, two), (first, second))
    return names
