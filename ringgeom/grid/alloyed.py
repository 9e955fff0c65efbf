"""The alloys of one choice: grams over the sizes of a section, and what is found on them."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ringgeom.findings import Asking, Laid
from ringgeom.findings.scope import rules_on
from ringgeom.form.curve import Array
from ringgeom.grid.judged import Found, judged
from ringgeom.grid.sized import Sized
from ringgeom.jobs import NO_MELTS
from ringgeom.making.casting import buttons_g, lost_g
from ringgeom.making.marking import ring_marks
from ringgeom.making.meeting import meetings
from ringgeom.making.part import Part
from ringgeom.making.pattern import pattern_scale
from ringgeom.making.poured import chord_share
from ringgeom.making.tree import stems
from ringgeom.metal import Alloy
from ringgeom.shop import Shop
from ringgeom.units import mass_g


@dataclass(frozen=True, slots=True, kw_only=True)
class Poured:
    """One alloy of a ring over the sizes; all masses in g, shape (sizes,), as in a `Flask`."""

    alloy: Alloy
    parts_g: Array
    finished_g: Array
    sprue_g: Array
    button_g: Array
    loss_g: Array
    smallest_button: NDArray[np.bool_]

    @property
    def melt_g(self) -> Array:
        """To melt."""
        found: Array = self.parts_g + self.sprue_g + self.button_g + self.loss_g
        return found


def poured(sized: Sized, alloys: Sequence[Alloy], shop: Shop) -> tuple[Poured, ...]:
    """The castings of a section at its sizes, in the order in which their alloys first come.

    Parameters
    ----------
    alloys : sequence of Alloy
        Of every part.
    """
    by_alloy: dict[Alloy, list[int]] = {}
    for number, alloy in enumerate(alloys):
        by_alloy.setdefault(alloy, []).append(number)
    found = []
    for alloy, numbers in by_alloy.items():
        parts = mass_g(sized.cast_mm3[numbers].sum(axis=0), alloy.density_g_cm3)
        stem = _stem_mm3(sized, alloy, numbers, shop)
        sprue = mass_g(sized.sprue_mm3[numbers].sum(axis=0) + stem, alloy.density_g_cm3)
        by_percent, button = buttons_g(parts, shop.casting)
        found.append(
            Poured(
                alloy=alloy,
                parts_g=parts,
                finished_g=mass_g(sized.volume_mm3[numbers].sum(axis=0), alloy.density_g_cm3),
                sprue_g=sprue,
                button_g=button,
                loss_g=lost_g(parts + sprue + button, shop.casting),
                smallest_button=by_percent < shop.casting.button_min_g,
            )
        )
    return tuple(found)


def _stem_mm3(sized: Sized, alloy: Alloy, numbers: Sequence[int], shop: Shop) -> Array | float:
    """Volume of the stem that many waxes of one alloy hang on; 0 where they need none."""
    waxes = sum(sized.parts[n].count for n in numbers)
    if waxes <= shop.casting.base_waxes:
        return 0.0
    scale = pattern_scale(alloy, shop.shrink).scale
    wider = sized.bores_mm - sized.shaped.ring.form.inside_diameter_mm
    crest = sized.shaped.ring.form.band.crest_mm
    # a slant keeps its angle to the axis on the outside, so it carries less far round
    leans = [sized.parts[n].lean * crest / (crest + wider / 2) for n in numbers]
    along, across = [], []
    for n, lean in zip(numbers, leans, strict=True):
        part = sized.parts[n]
        if (plate := part.plate) is not None:
            along.append(np.full_like(wider, plate.long_mm / part.scale.scale * scale))
            across.append(plate.wide_mm / part.scale.scale * scale)
            continue
        outside = (sized.extents[n].outside_mm + wider) * scale
        along.append(outside * chord_share(part.pieces_round, lean))
        across.append(sized.extents[n].width_mm * scale)
    return stems(
        waxes,
        shop.casting,
        thickest_mm=np.max([sized.feet[n].diameter_mm for n in numbers], axis=0),
        length_mm=max(sized.feet[n].length_mm for n in numbers),
        along_mm=np.max(along, axis=0),
        across_mm=max(across),
    ).volume_mm3


def alloyed_parts(laid: Laid, alloys: Sequence[Alloy], shop: Shop) -> tuple[Part, ...]:
    """The parts of a laid ring, made of other alloys."""
    scales = {alloy: pattern_scale(alloy, shop.shrink) for alloy in set(alloys)}
    return tuple(
        replace(
            part,
            alloy=alloy,
            scale=scales[alloy],
            wax=part.wax.scaled(scales[alloy].scale / part.scale.scale),
            plate=part.plate and part.plate.scaled(scales[alloy].scale / part.scale.scale),
        )
        for part, alloy in zip(laid.parts, alloys, strict=True)
    )


def touching(laid: Laid) -> Hashable:
    """All that the rules on alloys see of a form: its parts, who touches whom, who is on the skin.

    Two sections of which it is the same are judged alike.
    """
    cells = (cell for _, section in laid.groups for cell in section.cells)
    on_skin = {owner for cell in cells if cell.low == 0 for owner in cell.owners}
    return (
        tuple((part.name, part.place, part.piece) for part in laid.parts),
        tuple((one.inserted, one.host) for one in laid.contacts),
        tuple(sorted(on_skin)),
    )


def alloys_found(asking: Asking) -> Found:
    """What is found on the alloys by themselves, before anything is laid out."""
    return judged(rules_on("alloys", stages=("first", "asked")), asking)


def touching_found(laid: Laid, asking: Asking, alloys: Sequence[Alloy]) -> Found:
    """What is found on the alloys where they touch, by colours, marks, skin and melting.

    The stock is not asked: marks go by the recipes, not by the worst case of a melt.
    """
    shop = asking.shop
    parts = alloyed_parts(laid, alloys, shop)
    context = replace(
        laid,
        asking=asking,
        parts=parts,
        meetings=meetings(laid.ring, laid.contacts, parts, partners=False),
        marks=ring_marks(parts, NO_MELTS, shop.marks.region),
    )
    return judged(rules_on("alloys", stages=("laid",)), context)
