"""What is known of a ring as soon as it is drawn: its sections, its parts and what ails its form.

The first half of the single pass. It is quick enough to follow the hand; what is cast, joined
and melted comes after it, in `jobs.py`.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from math import hypot, pi
from typing import TYPE_CHECKING

from ringgeom.colour import Colour, colour
from ringgeom.design import Design
from ringgeom.errors import InputError, ShapeError
from ringgeom.findings import Asking, Finding, Formed, judge_asking, judge_formed, ordered
from ringgeom.finger import FingerSize, FitSettings, MadeSize, made_size, read_size
from ringgeom.form.pieces import Piece
from ringgeom.form.ring import Ring, Stock, ring
from ringgeom.form.ring_form import RingForm
from ringgeom.form.volume import Volume, volumes
from ringgeom.making.alloys import alloy_in_shop, alloys_asked
from ringgeom.making.as_made import as_made, why_not_split
from ringgeom.making.part import Finished, finished_parts
from ringgeom.metal import Alloy
from ringgeom.shop import Shop

if TYPE_CHECKING:
    # a plain ring is weighed without all that engraves
    from ringgeom.engraving.engraved import Engraved
    from ringgeom.engraving.inset import Inset


@dataclass(frozen=True, slots=True, kw_only=True)
class Sketch:
    """A ring as form, with its metals.

    `ring` and `parts` are empty when a finding stops the design. `volumes` are those before
    anything is engraved; `parts` have it off.
    """

    design: Design
    shop: Shop
    finger: FingerSize
    made: MadeSize
    form: RingForm
    ring: Ring | None
    parts: tuple[Finished, ...]
    volumes: tuple[tuple[Piece, Volume], ...]
    engraved: tuple[Engraved, ...]
    insets: tuple[Inset, ...]
    colours: tuple[tuple[Alloy, Colour], ...]
    findings: tuple[Finding, ...]

    @property
    def stopped(self) -> bool:
        """Whether a finding forbids making it."""
        return any(finding.level == "stop" for finding in self.findings)

    @property
    def outside_diameter_mm(self) -> float:
        """Over the outside at its highest, or over a proud body [mm]."""
        top = self.form.thickness_mm
        if self.ring is not None and self.form.highest_at_edge:
            # the rounding of the edges takes a little off it
            top = self.ring.finished.outside.extremes_mm()[1] - self.form.band.bore_mm
        return self.form.inside_diameter_mm + 2 * (top + max(0.0, self.form.proud_mm))

    @property
    def volume_mm3(self) -> float:
        """Of all parts together [mm3]."""
        return sum(part.volume_mm3 for part in self.parts)

    @property
    def finished_g(self) -> float:
        """The finished ring [g]."""
        return sum(part.finished_g for part in self.parts)

    @property
    def uncertainty_g(self) -> float:
        """Half width of the band on the whole ring: one alloy's parts err together [g]."""
        by_alloy: dict[Alloy, float] = defaultdict(float)
        for part in self.parts:
            by_alloy[part.alloy] += part.uncertainty_g
        return hypot(*by_alloy.values())

    @property
    def circumference_mm(self) -> float:
        """Round the bore as it is made [mm]."""
        return pi * self.made.inside_diameter_mm


def sketch(design: Design, shop: Shop | None = None) -> Sketch:
    """A design as form alone.

    Parameters
    ----------
    design : Design
        What was asked.
    shop : Shop, optional
        The shop's settings; the defaults without.
    """
    asking = asking_of(design, shop or Shop())
    formed, found = formed_and_judged(asking)
    if any(finding.level == "stop" for finding in found):
        formed = None
    return Sketch(
        design=design,
        shop=asking.shop,
        finger=asking.finger,
        made=asking.made,
        form=asking.form,
        ring=formed.ring if formed else None,
        parts=formed.parts if formed else (),
        volumes=tuple(formed.volumes.items()) if formed else (),
        engraved=formed.engraved if formed else (),
        insets=formed.insets if formed else (),
        colours=coloured(formed.parts if formed else ()),
        findings=found,
    )


def formed_and_judged(
    asking: Asking, kept: Ring | None = None
) -> tuple[Formed | None, tuple[Finding, ...]]:
    """The form of a ring and what was found so far; no form where it cannot be drawn."""
    found = judge_asking(asking)
    if any(finding.level == "stop" for finding in found):
        return None, found
    try:
        formed = formed_of(asking, kept)
        return formed, ordered([*found, *judge_formed(formed)])
    except ShapeError as error:
        return None, ordered([*found, cannot_be_laid_out(error)])


def coloured(parts: tuple[Finished, ...]) -> tuple[tuple[Alloy, Colour], ...]:
    """Every alloy of some parts with its colour; of one name the last."""
    alloys = {part.alloy.name: part.alloy for part in parts}.values()
    return tuple((alloy, colour(alloy)) for alloy in alloys)


def cannot_be_laid_out(error: ShapeError) -> Finding:
    """The finding that stops a ring whose section cannot be drawn."""
    return Finding(
        code="cannot-be-laid-out",
        level="stop",
        text=str(error),
        fix="simplify the places",
        key=("ring",),
    )


def asking_of(design: Design, shop: Shop) -> Asking:
    """What the rules look at before anything is laid out."""
    asked = design.ring
    finger = read_size(asked.size)
    made = made_size(
        finger,
        width_mm=asked.width_mm,
        comfort_bore=asked.inside.comfort,
        fit=FitSettings(**shop.fit.model_dump()),
    )
    form = RingForm(
        inside_diameter_mm=made.inside_diameter_mm,
        width_mm=asked.width_mm,
        thickness_mm=asked.thickness_mm,
        outside=asked.outside,
        inside=asked.inside,
        edge_mm=asked.edge_mm,
        proud_mm=design.body.proud_mm if design.body else 0.0,
        taper=asked.tapered,
    )
    alloys = tuple((key, alloy_in_shop(one, shop)) for key, one in alloys_asked(design))
    return Asking(
        design=as_made(design),
        shop=shop,
        finger=finger,
        made=made,
        form=form,
        alloys=alloys,
        not_split=why_not_split(design),
    )


def formed_of(asking: Asking, kept: Ring | None = None) -> Formed:
    """The ring laid out as form.

    Parameters
    ----------
    kept : Ring, optional
        A ring of the same form that was drawn already; its alloys alone are changed.

    Raises
    ------
    ShapeError
        Its section cannot be drawn.
    """
    design, shop = asking.design, asking.shop
    if kept is None:
        drawn = ring(asking.form, design.parts, Stock(**shop.stock.model_dump()))
    else:
        drawn = kept.refilled(design.parts)
    volume = volumes(drawn)
    inlaid: tuple[Inset, ...] = ()
    if asking.cut_out:
        from ringgeom.engraving.inset import insets, with_insets
        from ringgeom.engraving.inset_measures import tell_ring

        cut = [
            (one, found) for _, one, found in asking.cut_out if not isinstance(found, InputError)
        ]
        inlaid = insets(drawn, cut)
        tell_ring(inlaid)
        volume = with_insets(volume, inlaid)
    letters: tuple[Engraved, ...] = ()
    taken: dict[Piece, float] = {}
    if design.engravings:
        from ringgeom.engraving.engraved import engraved, taken_mm3

        rows = [None if isinstance(one, InputError) else one for one in asking.rows]
        letters = engraved(drawn, design.engravings, rows)
        taken = taken_mm3(letters)
    found = finished_parts(
        drawn,
        volume,
        alloys=[[alloy_in_shop(one, shop) for one in placed.alloys] for placed in drawn.placed],
        body=alloy_in_shop(design.body.alloy, shop) if design.body else None,
        engraved=taken,
        pieces={one.piece: one.each_mm3 for one in inlaid},
    )
    return Formed(
        asking=asking, ring=drawn, volumes=volume, parts=found, engraved=letters, insets=inlaid
    )
