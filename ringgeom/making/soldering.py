"""The solder plan of a ring as it is laid out: its joints, its seams, what opens at heat."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from ringgeom.errors import RecipeError
from ringgeom.form.measure import build
from ringgeom.form.places import AnyPlace, Channel
from ringgeom.form.ring import Ring
from ringgeom.making.as_made import HALF
from ringgeom.making.joint import Joint
from ringgeom.making.part import Part
from ringgeom.making.solder_plan import JointAsked, SolderPlan, solder_plan
from ringgeom.metal.expansion import opening_mm, opening_text
from ringgeom.shop import Joining

RED_HEAT_K = 700.0
"""From the bench to dull red: the heat at which a sleeve that opens or grips is told of [K]."""

TOLD_MM = 0.01
"""A gap that the heat changes by less needs no word [mm]."""

STAGES = {"liner": 1, "stripe": 2, "edges": 2, "segments": 3, "channel": 4, "motif": 5}
"""Rings are joined before what is let into them; common practice, no source."""

FACES = {"ceiling": "outside", "segment face": "faces"}
"""What a joint's kind is called at the bench, where it is called otherwise."""


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
    settings_of = _Settings(parts, places)
    asked = []
    for part in parts:
        place = None if part.place is None else places[part.place]
        if isinstance(place, Channel) and place.route == "wrap and seam":
            asked.append(_seam(ring, part, place))
    for joint in joints:
        one, two = (by_name[name] for name in joint.between)
        side = {-1: ", left", 1: ", right"}.get(joint.side, "")
        setting, stage = settings_of(joint.between)
        asked.append(
            JointAsked(
                name=f"{one.name} in {two.name}, {FACES.get(joint.kind, joint.kind)}{side}",
                between=joint.between,
                alloys=(one.alloy, two.alloy),
                area_mm2=joint.area_mm2,
                gap_mm=joint.gap_mm,
                kind=joint.kind,
                done_with=joint.use,
                setting=setting,
                stage=stage,
            )
        )
    if not asked:
        return None
    plan = solder_plan(
        asked, margin_c=settings.solder_margin_c, filler_factor=settings.filler_factor
    )
    return Soldering(plan=plan, openings=tuple(_openings(by_name, joints, settings)))


class _Settings:
    """What is set when a joint closes: the later of its two parts, with its stage.

    The base is the body, or without one the first liner, or the first part. A body made in two
    is closed over its inlay: all of that is one setting.
    """

    def __init__(self, parts: Sequence[Part], places: Sequence[AnyPlace]) -> None:
        order: dict[str, tuple[int, int, str]] = {}
        split = next((p.name for p in places if getattr(p, "route", None) == "split body"), "")
        for part in parts:
            place = None if part.place is None else places[part.place]
            if place is None:
                order[part.name] = (0, 0, "")
            elif part.name == HALF and split:
                order[part.name] = (STAGES["channel"], -1, split)
            else:
                index = part.place or 0
                order[part.name] = (STAGES[place.place], index, place.name)
        if not any(stage == 0 for stage, _, _ in order.values()):
            base = min(order, key=lambda name: order[name][:2])
            order[base] = (0, 0, "")
        self._order = order

    def __call__(self, between: tuple[str, str]) -> tuple[str, int]:
        stage, _, name = max(self._order[part] for part in between)
        return name, stage


def _seam(ring: Ring, part: Part, place: Channel) -> JointAsked:
    """The seam of a strip that is closed where it lies, in the heat that sets it."""
    return JointAsked(
        name=f"seam of {part.name}",
        between=(part.name, part.name),
        alloys=(part.alloy, part.alloy),
        area_mm2=build(ring, part.piece, with_stock=False).area_mm2,
        gap_mm=place.seam_mm,
        kind="seam",
        done_with="solder" if place.seam_mm > 0 else "weld",
        setting=place.name,
        stage=STAGES["channel"],
    )


def _openings(
    by_name: Mapping[str, Part], joints: Sequence[Joint], settings: Joining
) -> list[Opening]:
    """Rings of two metals one in the other, and what the heat makes of the gap between."""
    found = []
    for joint in joints:
        inserted, host = (by_name[name] for name in joint.between)
        if joint.kind not in ("floor", "ceiling") or inserted.alloy == host.alloy:
            continue
        outer, inner = (inserted, host) if joint.kind == "floor" else (host, inserted)
        recipes = outer.alloy.recipe, inner.alloy.recipe
        words = opening_text(2 * joint.radius_mm, *recipes, RED_HEAT_K)
        try:
            hot = joint.gap_mm + opening_mm(2 * joint.radius_mm, *recipes, RED_HEAT_K) / 2
        except RecipeError:
            hot = joint.gap_mm
        if joint.use == "solder" and abs(hot - joint.gap_mm) >= TOLD_MM:
            words += f"; the gap of {joint.gap_mm:.2f} mm is {max(hot, 0.0):.2f} at that heat"
            if hot > settings.solder_most_mm:
                words += ", wider than solder fills: a tighter gap, or a seam that is pressed"
            elif hot < 0:
                words += ", pressed: it may crack or lock before the solder has run; a wider gap"
        elif hot < joint.gap_mm - 1e-9 and joint.gap_mm <= 0:
            words += "; it grips harder in the fire"
        found.append(Opening(between=joint.between, words=words))
    return found
