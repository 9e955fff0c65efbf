"""The solder plan: what is told of a joint, what is refused, which grams count with which metal."""

from __future__ import annotations

from dataclasses import replace

import pytest

from ringgeom.errors import InputError
from ringgeom.making.solder_plan import JointAsked, SolderPlan, filler_by_metal, solder_plan
from ringgeom.marks.solder import whole_permille
from ringgeom.metal import Alloy, alloy_by_name
from ringgeom.metal.solder import Grade, solder_grades

YELLOW = alloy_by_name("gold-750-yellow-3n")
FOURTEEN = alloy_by_name("gold-585-yellow")
ROSE = alloy_by_name("gold-750-rose-4n")
STERLING = alloy_by_name("silver-925")
PLATINUM = alloy_by_name("platinum-950-ru")
PALLADIUM = alloy_by_name("palladium-500-ag")
WHITE = alloy_by_name("gold-750-white-pd-15")  # no source gives its solidus


def seam(part: str, alloy: Alloy, **more: object) -> JointAsked:
    return joint(f"seam of {part}", part, part, alloy, alloy, kind="seam", **more)


def joint(name: str, a: str, b: str, one: Alloy, two: Alloy, **more: object) -> JointAsked:
    asked = {"area_mm2": 20.0, "gap_mm": 0.05, "kind": "floor", **more}
    return JointAsked(name=name, between=(a, b), alloys=(one, two), **asked)  # type: ignore[arg-type]


def codes(plan: SolderPlan) -> list[tuple[str, str]]:
    return [(remark.code, remark.joint) for remark in plan.remarks]


def grade(name: str, **change: object) -> Grade:
    found = next(grade for grade in solder_grades() if grade.name == name)
    return replace(found, **change)  # type: ignore[arg-type]


def test_what_cannot_be_has_its_number_and_a_way_out() -> None:
    plan = solder_plan([seam("body", STERLING)], margin_c=151)
    assert not plan.possible
    (step,) = plan.steps
    assert (step.state, step.grade, step.filler_g, step.window_c) == ("none", None, None, None)
    (remark,) = plan.remarks
    assert remark.code == "no-grade"
    assert (remark.value, remark.limit, remark.unit) == (652, 802 - 151, "C")
    assert "weld it" in remark.fix
    assert filler_by_metal(plan) == ()


def test_an_unknown_solidus_gives_no_window_but_counts_the_weight() -> None:
    plan = solder_plan(
        [seam("reed", WHITE), joint("floor", "reed", "body", WHITE, YELLOW)], margin_c=30
    )
    for step in plan.steps:
        assert (step.state, step.grade, step.window_c) == ("unknown", None, None)
        assert step.counted_as is not None
        assert step.counted_as.fineness_permille == 750
        assert "no window" in step.text
    unknown = [remark for remark in plan.remarks if remark.code == "solidus-unknown"]
    assert [remark.joint for remark in unknown] == ["seam of reed", "floor"]
    assert "reed (gold-750-white-pd-15)" in unknown[0].text
    # it is not impossible, only not known
    assert plan.possible
    assert filler_by_metal(plan)[0].grams > 0


def test_palladium_has_no_generic_solder_but_the_shop_may_have_one() -> None:
    asked = [seam("body", PALLADIUM)]
    plan = solder_plan(asked, margin_c=30)
    assert not plan.possible
    assert "no solder for palladium is known" in plan.remarks[0].text
    own = grade("silver-hard", metal="palladium", fineness_permille=100.0, recipe=None)
    assert solder_plan(asked, margin_c=30, grades=[own]).possible


def test_a_yellow_solder_in_rose_gold_is_told() -> None:
    plan = solder_plan([seam("body", ROSE)], margin_c=30)
    step = plan.steps[0]
    assert step.grade is not None
    assert step.grade.colour == "yellow"
    assert ("seam-shows", "seam of body") in codes(plan)
    quiet = solder_plan([seam("body", YELLOW)], margin_c=30)
    assert quiet.remarks == ()


def test_a_mixed_joint_takes_the_solder_of_either_gold() -> None:
    plan = solder_plan([joint("floor", "reed", "body", YELLOW, FOURTEEN)], margin_c=30)
    grade_found = plan.steps[0].grade
    assert grade_found is not None
    assert grade_found.fineness_permille in (750, 585)
    assert ("below-fineness", "floor") not in codes(plan)


def test_solder_counts_with_its_metal() -> None:
    plan = solder_plan(
        [
            seam("body", STERLING),
            seam("reed", YELLOW),
            seam("liner", PLATINUM),
            joint("floor", "reed", "liner", YELLOW, PLATINUM, area_mm2=40.0),
        ],
        margin_c=30,
    )
    counted = {filler.metal: filler for filler in filler_by_metal(plan)}
    assert set(counted) == {"silver", "gold", "platinum"}
    # gap x area x 1.5 by hand: 0.05 x 20 x 1.5 = 1.5 mm3 for a seam, 3 mm3 for the floor
    assert [step.filler_mm3 for step in plan.steps] == pytest.approx([1.5, 1.5, 1.5, 3.0])
    assert counted["silver"].fineness_permille == pytest.approx(700)
    assert counted["gold"].fineness_permille == pytest.approx(750)
    # gold-palladium on platinum: no platinum in it, which the mark must bear
    assert counted["platinum"].fineness_permille == 0
    liner_g = 1.5 * 17.2 / 1000
    # Au 80 Pd 20 by ideal mixing: 100 / (80/19.30 + 20/12.02) = 17.2 g/cm3
    assert counted["platinum"].grams == pytest.approx(liner_g, rel=0.003)
    whole = whole_permille([(5.0, 950.0), (counted["platinum"].grams, 0.0)])
    assert whole < 950


def test_solder_of_a_third_metal_counts_with_the_precious_part() -> None:
    """Silver solder between brass and platinum: no platinum in it."""
    brass = alloy_by_name("brass-70-30")
    plan = solder_plan([joint("floor", "a", "b", brass, PLATINUM)], margin_c=30)
    step = plan.steps[0]
    assert step.grade is not None
    assert step.grade.metal == "silver"
    assert (step.counts_with, step.fineness_permille) == ("platinum", 0)


def test_a_wide_gap_is_told_and_a_press_fit_is_not_soldered() -> None:
    plan = solder_plan(
        [
            joint("wide", "a", "b", YELLOW, YELLOW, gap_mm=0.2),
            joint("tight", "c", "b", YELLOW, YELLOW, gap_mm=-0.02, done_with="press"),
        ],
        margin_c=30,
    )
    assert codes(plan) == [("solder-gap", "wide")]
    (remark,) = plan.remarks
    # 0.025 to 0.125 mm (read)
    assert (remark.value, remark.limit) == (0.2, 0.125)
    assert (plan.steps[1].state, plan.steps[1].filler_mm3) == ("other", 0.0)


@pytest.mark.parametrize(
    "change",
    [{"gap_mm": -0.01}, {"gap_mm": 0.0}, {"area_mm2": 0.0}, {"gap_mm": float("nan")}],
)
def test_solder_needs_a_gap_and_a_face(change: dict[str, object]) -> None:
    with pytest.raises(InputError, match=r"no area|a gap to flow in"):
        joint("floor", "a", "b", YELLOW, YELLOW, **change)


def test_a_part_has_one_alloy_and_a_joint_one_name() -> None:
    floor = joint("floor", "a", "b", YELLOW, STERLING)
    with pytest.raises(InputError, match="a is of two alloys"):
        solder_plan([floor, seam("a", ROSE)], margin_c=30)
    with pytest.raises(InputError, match="two joints have this name"):
        solder_plan([floor, floor], margin_c=30)
    with pytest.raises(InputError, match="no margin"):
        solder_plan([floor], margin_c=-1)
    with pytest.raises(InputError, match="no filler factor"):
        solder_plan([floor], margin_c=30, filler_factor=0)
    assert solder_plan([], margin_c=30).steps == ()
