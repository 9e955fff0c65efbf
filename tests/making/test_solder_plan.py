"""The solder plan: nothing melts that should hold, the order, the grams, the seams."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ringgeom.making.solder_plan import JointAsked, SolderPlan, solder_plan
from ringgeom.metal import Alloy, alloy_by_name
from ringgeom.metal.solder import Grade, solder_grades

YELLOW = alloy_by_name("gold-750-yellow-3n")
FOURTEEN = alloy_by_name("gold-585-yellow")
ROSE = alloy_by_name("gold-750-rose-4n")
STERLING = alloy_by_name("silver-925")
PALLADIUM = alloy_by_name("palladium-500-ag")
PLATINUM = alloy_by_name("platinum-950-ru")


def seam(part: str, alloy: Alloy, **more: object) -> JointAsked:
    return joint(f"seam of {part}", part, part, alloy, alloy, kind="seam", **more)


def joint(name: str, a: str, b: str, one: Alloy, two: Alloy, **more: object) -> JointAsked:
    asked = {"area_mm2": 20.0, "gap_mm": 0.05, "kind": "floor", **more}
    return JointAsked(name=name, between=(a, b), alloys=(one, two), **asked)  # type: ignore[arg-type]


def names(plan: SolderPlan) -> list[str]:
    return [step.joint.name for step in plan.steps]


def codes(plan: SolderPlan) -> list[tuple[str, str]]:
    return [(remark.code, remark.joint) for remark in plan.remarks]


def grade(name: str, **change: object) -> Grade:
    found = next(grade for grade in solder_grades() if grade.name == name)
    return replace(found, **change)  # type: ignore[arg-type]


def test_platinum_then_seams_then_assembly_and_silver_beside_gold_last() -> None:
    plan = solder_plan(
        [
            joint("reed to body", "reed", "body", YELLOW, STERLING),
            joint("glued", "cap", "body", PLATINUM, STERLING, done_with="adhesive"),
            joint("liner to body", "liner", "body", PLATINUM, STERLING),
            seam("body", STERLING),
            seam("reed", YELLOW),
            seam("liner", PLATINUM),
            seam("cap", PLATINUM, done_with="weld"),
        ],
        margin_c=30,
    )
    assert names(plan) == [
        "seam of cap",
        "seam of liner",
        "seam of reed",
        "seam of body",
        "liner to body",
        "reed to body",
        "glued",
    ]
    # Sterling 802 C less 30: hard (788) would not do, medium (738) does; its solidus is 690.
    body = plan.steps[3]
    assert body.grade == grade("silver-medium")
    assert body.window_c == pytest.approx(802 - 30 - 738)
    assert plan.steps[4].grade == grade("silver-extra-easy")
    assert plan.steps[4].window_c == pytest.approx(690 - 652)
    assert ("silver-beside-gold", "reed to body") in codes(plan)
    warning = next(r for r in plan.remarks if r.code == "silver-beside-gold")
    assert "hammer it in or press it" in warning.fix


def test_a_seam_is_alone_in_the_fire() -> None:
    """Neither the lower metal nor the solder of another ring limits it."""
    plan = solder_plan(
        [
            joint("floor", "reed", "body", YELLOW, FOURTEEN),
            seam("reed", YELLOW),
            seam("body", FOURTEEN),
        ],
        margin_c=30,
    )
    reed, body, floor = plan.steps
    # 885 - 30 = 855 allows hard 750 (830 C), 830 - 30 = 800 hard 585 (795 C).
    assert (reed.grade, body.grade) == (
        grade("gold-750-yellow-hard"),
        grade("gold-585-yellow-hard"),
    )
    # Together they are limited by the solder of the body's seam, solidus 770 C.
    assert floor.grade == grade("gold-585-yellow-medium")
    assert floor.window_c == pytest.approx(770 - 765)
    assert floor.limits.lowest_solder == "the solder of seam of body"


def test_all_faces_between_two_parts_flow_in_one_heat() -> None:
    faces = [joint(side, "reed", "body", STERLING, STERLING) for side in ("floor", "low", "high")]
    plan = solder_plan(faces, margin_c=30)
    assert [step.heat for step in plan.steps] == [1, 1, 1]
    assert [step.with_joint for step in plan.steps] == ["", "floor", "floor"]
    assert len({step.grade for step in plan.steps}) == 1


def test_a_stack_is_soldered_at_once_when_no_lower_grade_is_left() -> None:
    """Four closed sterling rings: medium for the seams, and one grade below for three faces."""
    rings = "abcd"
    faces = [joint(a + b, a, b, STERLING, STERLING, kind="wall") for a, b in ("ab", "cd", "bc")]
    plan = solder_plan([*faces, *(seam(ring, STERLING) for ring in rings)], margin_c=30)
    assert plan.possible
    assert [step.heat for step in plan.steps] == [1, 2, 3, 4, 5, 5, 5]
    assert {step.grade for step in plan.steps[4:]} == {grade("silver-extra-easy")}


def test_the_wider_the_margin_the_lower_the_grade() -> None:
    chosen = [
        solder_plan([seam("body", STERLING)], margin_c=margin).steps[0].grade
        for margin in (14, 15, 64, 65, 150)
    ]
    # 802 - 788 = 14, 802 - 738 = 64, 802 - 652 = 150: each grade up to its own margin.
    assert [found and found.grade for found in chosen] == [
        "hard",
        "medium",
        "medium",
        "easy",
        "extra easy",
    ]


def test_a_solders_own_solidus_must_stay_above_the_next_liquidus() -> None:
    """375 medium flows at 755 C, exactly where hard begins to melt: it does not follow it."""
    nine = replace(FOURTEEN, name="nine", recipe=alloy_by_name("gold-375-yellow").recipe)
    nine = replace(nine, solidus_c=880.0)
    steps = solder_plan([seam("a", nine), joint("floor", "a", "b", nine, nine)], margin_c=30).steps
    assert [step.grade and step.grade.grade for step in steps] == ["hard", "easy"]


def test_a_solder_without_solidus_leaves_the_next_step_unknown() -> None:
    own = [grade("silver-medium", solidus_c=None), grade("silver-easy")]
    first, second = solder_plan(
        [seam("body", STERLING), joint("floor", "reed", "body", STERLING, STERLING)],
        margin_c=30,
        grades=own,
    ).steps
    # the one that is known melts again highest, so it comes first; the other may not follow
    assert first.grade == grade("silver-easy")
    assert second.state == "none"
    only = solder_plan(
        [seam("body", STERLING), joint("floor", "reed", "body", STERLING, STERLING)],
        margin_c=30,
        grades=own[:1],
    ).steps
    assert [step.state for step in only] == ["fits", "unknown"]
    assert only[1].limits.unknown == ("the solder of seam of body",)


def test_one_heat_for_two_joints_needs_parts_that_stand_it() -> None:
    """A shop with one solder: it may flow twice at once, but not where a part would melt."""
    own = [grade("gold-750-yellow-hard")]
    first = joint("ab", "a", "b", YELLOW, YELLOW)
    steps = solder_plan(
        [first, joint("bc", "b", "c", YELLOW, YELLOW)], margin_c=30, grades=own
    ).steps
    assert [(step.heat, step.state) for step in steps] == [(1, "fits"), (1, "fits")]
    # 14 ct yellow begins to melt at 830 C, where that solder flows.
    steps = solder_plan(
        [first, joint("bc", "b", "c", YELLOW, FOURTEEN)], margin_c=30, grades=own
    ).steps
    assert [(step.heat, step.state) for step in steps] == [(1, "fits"), (2, "none")]


def test_a_joint_that_cannot_be_soldered_does_not_forbid_the_next() -> None:
    steps = solder_plan(
        [
            joint("cd", "c", "d", PALLADIUM, PALLADIUM),
            joint("bc", "b", "c", YELLOW, PALLADIUM),
        ],
        margin_c=30,
    ).steps
    assert [step.state for step in steps] == ["none", "fits"]


def test_gold_on_platinum_takes_gold_solder() -> None:
    """McCreight, Professional Jewelry Making (read): gold solders join platinum to gold."""
    plan = solder_plan([joint("floor", "reed", "body", YELLOW, PLATINUM)], margin_c=30)
    step = plan.steps[0]
    assert step.grade is not None
    assert step.grade.metal == "gold"
    assert (step.counts_with, step.fineness_permille) == ("gold", 750)
    white = alloy_by_name("gold-750-white-pd-15")  # no source gives its solidus
    (unknown,) = solder_plan([joint("f", "a", "b", white, PLATINUM)], margin_c=30).steps
    assert unknown.counted_as is not None
    assert unknown.counted_as.metal == "gold"


ALLOYS = (YELLOW, FOURTEEN, ROSE, STERLING, PLATINUM)


@st.composite
def rings(draw: st.DrawFn) -> list[JointAsked]:
    """Up to five parts in a row or a tree, some with a seam, in any order."""
    alloys = draw(st.lists(st.sampled_from(ALLOYS), min_size=1, max_size=5))
    asked = [seam(f"p{at}", alloy) for at, alloy in enumerate(alloys) if draw(st.booleans())]
    for at in range(1, len(alloys)):
        on = draw(st.integers(0, at - 1))
        asked.append(joint(f"j{at}", f"p{on}", f"p{at}", alloys[on], alloys[at]))
    return draw(st.permutations(asked))


@settings(max_examples=150, deadline=None)
@given(rings(), st.sampled_from([10.0, 30.0, 50.0]))
def test_nothing_melts_that_should_hold(asked: list[JointAsked], margin: float) -> None:
    """Replayed heat by heat with sets of names, apart from the program's own bookkeeping."""
    plan = solder_plan(asked, margin_c=margin)
    assert sorted(names(plan)) == sorted(one.name for one in asked)
    groups = [{part} for part in {part for one in asked for part in one.between}]
    alloy = {p: a for one in asked for p, a in zip(one.between, one.alloys, strict=True)}
    held: list[tuple[set[str], float]] = []
    heats = sorted({step.heat for step in plan.steps})
    assert heats == list(range(1, len(heats) + 1))
    for heat in heats:
        steps = [step for step in plan.steps if step.heat == heat]
        for step in steps:
            hit = [group for group in groups if group & set(step.joint.between)]
            groups = [group for group in groups if group not in hit] + [set().union(*hit)]
        for step in steps:
            if step.grade is None:
                continue
            fire = next(group for group in groups if set(step.joint.between) <= group)
            lowest = min(alloy[part].solidus_c or 0.0 for part in fire)
            assert step.grade.liquidus_c <= lowest - margin
            assert all(step.grade.liquidus_c < solidus for parts, solidus in held if parts <= fire)
            assert step.window_c is not None
            assert step.window_c >= 0
        held += [
            (set(step.joint.between), step.grade.solidus_c or 0.0)
            for step in steps
            if step.grade is not None
        ]
