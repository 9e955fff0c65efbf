"""The solder plan of a ring as it is laid out: its joints, its seams, what opens at heat."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ringgeom.form.measure import build
from ringgeom.form.places import AnyPlace, Channel
from ringgeom.form.ring import Ring
from ringgeom.making.joint import Joint
from ringgeom.making.part import Part
from ringgeom.making.solder_plan import JointAsked, SolderPlan, solder_plan
from ringgeom.metal.expansion import opening_text
from ringgeom.shop import Joining

RED_HEAT_K = 700.0
"""From the bench to dull red: the heat at which a sleeve that opens or grips is told of [K]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Opening:
    """What a ring of one metal on another does at heat, in words."""

    between: tuple[str, str]
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Soldering:
    """The plan in order, and the joints that open or grip at heat."""

    plan: SolderPlan
    openings: tuple[Opening, ...]


def soldering(
    ring: Ring,
    parts: Sequence[Part],
    places: Sequence[AnyPlace],
    joints: Sequence[Joint],
    settings: Joining,
) -> Soldering | None:
    """The solder plan of a ring; None where nothing is joined.

    Parameters
    ----------
    places : sequence of places
        For each claim of the ring, the place that made it.
    """
    by_name = {part.name: part for part in parts}
    asked = []
    for part in parts:
        place = None if part.place is None else places[part.place]
        if isinstance(place, Channel) and place.route == "wrap and seam":
            asked.append(_seam(ring, part, place))
    for joint in joints:
        one, two = (by_name[name] for name in joint.between)
        side = {-1: ", left", 1: ", right"}.get(joint.side, "")
        asked.append(
            JointAsked(
                name=f"{one.name} in {two.name}, {joint.kind}{side}",
                between=joint.between,
                alloys=(one.alloy, two.alloy),
                area_mm2=joint.area_mm2,
                gap_mm=joint.gap_mm,
                kind=joint.kind,
                done_with=joint.use,
            )
        )
    if not asked:
        return None
    plan = solder_plan(
        asked, margin_c=settings.solder_margin_c, filler_factor=settings.filler_factor
    )
    return Soldering(plan=plan, openings=tuple(_openings(by_name, joints)))


def _seam(ring: Ring, part: Part, place: Channel) -> JointAsked:
    return JointAsked(
        name=f"seam of {part.name}",
        between=(part.name, part.name),
        alloys=(part.alloy, part.alloy),
        area_mm2=build(ring, part.piece, with_stock=False).area_mm2,
        gap_mm=place.seam_mm,
        kind="seam",
        done_with="solder" if place.seam_mm > 0 else "weld",
    )


def _openings(by_name: dict[str, Part], joints: Sequence[Joint]) -> list[Opening]:
    found = []
    for joint in joints:
        inserted, host = (by_name[name] for name in joint.between)
        if joint.kind == "wall" or inserted.alloy == host.alloy:
            continue
        outer, inner = (inserted, host) if joint.kind == "floor" else (host, inserted)
        words = opening_text(
            2 * joint.radius_mm, outer.alloy.recipe, inner.alloy.recipe, RED_HEAT_K
        )
        found.append(Opening(between=joint.between, words=words))
    return found
