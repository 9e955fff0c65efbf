"""What each rule looks at, so that of many rings each is judged no oftener than it must be.

A rule that has no line here is taken to look at everything: that is right, and slow.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import Any, Literal

from ringgeom.findings import (
    on_casting,
    on_colour,
    on_engraving,
    on_figure_lines,
    on_figure_places,
    on_figures,
    on_form,
    on_gaps,
    on_inlays,
    on_inset_lines,
    on_inset_places,
    on_insets,
    on_joining,
    on_lettering,
    on_marks,
    on_melts,
    on_metal,
    on_overlap,
    on_places,
    on_section,
    on_size,
    on_walls,
)
from ringgeom.findings.finding import Finding
from ringgeom.findings.subjects import ASKED, FIRST, FORMED, LAID

Scope = Literal[
    "finger", "band", "size", "every size", "way in", "alloys", "band and alloys", "route",
    "button", "melts", "everything",
]  # fmt: skip

Stage = Literal["first", "asked", "laid"]

SCOPES: dict[Scope, tuple[Any, ...]] = {
    # the finger, whatever ring is made for it
    "finger": (on_size.mixed_up_size, on_size.unlikely_finger, on_size.size_notes),
    # the section alone, which is the same at every size
    "band": (
        on_size.wide_band,
        on_size.looks_like_inches,
        on_size.unlikely_band,
        on_size.solid_band,
        on_size.recess_through,
        on_size.thin_recessed,
        *on_form.RULES,
        on_places.runs_out,
        on_places.liner_fits,
        *on_inlays.RULES,
        on_gaps.gap_sizes,
        on_gaps.gap_eats_part,
        on_gaps.gap_on_both,
        on_gaps.gap_none,
        on_overlap.parts_overlap,
        on_overlap.undercut_past_edge,
        on_overlap.crosses_itself,
        on_overlap.stripes_do_not_sum,
        on_section.pointed_tip,
        on_section.islands,
        on_section.feather_edge,
        *on_walls.RULES,
        on_lettering.text_is_set,
        on_lettering.on_its_face,
        on_lettering.letters_are_large_enough,
        on_engraving.over_a_wave,
        on_engraving.flat_floor_fades,
    ),
    # the section at a size; each compares one number that only grows or only falls with the size
    "size": (
        on_places.segments_close,
        on_gaps.gap_narrows,
        on_overlap.wave_folds,
        on_lettering.text_goes_round,
        on_lettering.engravings_overlap,
        on_lettering.room_for_marks,
        on_section.nothing_left,
        on_section.crumb,
        on_engraving.thin_under_letters,
        on_engraving.over_a_joint,
        # a ring with figures is laid out by itself at every size
        *on_figure_places.RULES,
        *on_figure_lines.RULES,
        *on_inset_places.RULES,
        *on_inset_lines.RULES,
        on_casting.sprue_is_oval,
        on_casting.sprue_freezes_first,
    ),
    # the section at a size, to and fro: whole repeats are fitted anew to every length round
    "every size": (*on_figures.RULES, *on_insets.RULES),
    # whether a closed ring goes in: the section decides it, the words tell diameters
    "way in": (on_joining.closed_inlay_cannot_enter,),
    # the alloys, and which of them touch and lie on the skin
    "alloys": (
        *on_metal.RULES,
        on_joining.silver_beside_gold,
        on_joining.nickel_on_skin,
        on_casting.shrink_unknown,
        on_casting.shrink_unlikely,
        on_casting.shop_names_unused,
        *on_colour.RULES,
        on_melts.pours_hot,
        on_melts.habits,
        on_marks.doubts,
    ),
    "band and alloys": (on_size.thin_band,),
    # a route that was chosen: section, size and alloys
    "route": (on_joining.chosen_route_fails, on_joining.made_otherwise),
    # grams against the shop's floor
    "button": (on_casting.button_raised,),
    # what the stock and the balance can do for one commission: not judged for many rings
    "melts": (
        on_melts.impossible,
        on_melts.fineness_not_held,
        on_melts.another_colour,
        on_melts.over_half_remelt,
    ),
}

NOT_OF_MANY = (
    "melt-impossible", "fineness-not-held", "balance-coarse", "melt-shifts-colour",
    "remelt-over-half",
)  # fmt: skip
"""Codes of the melts, which are found for one ring at a time."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Scoped:
    """A rule with its place in the order of judging, and what it looks at."""

    position: int
    rule: Callable[[Any], Any]
    stage: Stage
    scope: Scope

    def judge(self, context: Any) -> tuple[tuple[int, Finding], ...]:
        """Its findings, each with its place in the order."""
        return tuple((self.position, finding) for finding in self.rule(context))


@cache
def scoped_rules() -> tuple[Scoped, ...]:
    """Every rule, in the order of judging."""
    scopes = {rule: scope for scope, rules in SCOPES.items() for rule in rules}
    stages: tuple[tuple[Stage, tuple[Any, ...]], ...] = (
        ("first", FIRST),
        ("asked", ASKED),
        ("laid", FORMED + LAID),
    )
    rules = [(stage, rule) for stage, subjects in stages for s in subjects for rule in s.RULES]
    return tuple(
        Scoped(position=n, rule=rule, stage=stage, scope=scopes.get(rule, "everything"))
        for n, (stage, rule) in enumerate(rules)
    )


@cache
def rules_on(*scopes: Scope, stages: tuple[Stage, ...]) -> tuple[Scoped, ...]:
    """The rules of some scopes and stages, in the order of judging."""
    return tuple(one for one in scoped_rules() if one.scope in scopes and one.stage in stages)
