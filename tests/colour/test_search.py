"""Which recipe for that colour: what is found, what holds of all that is found, what is refused."""

from __future__ import annotations

import time
from decimal import Decimal
from itertools import combinations

import numpy as np
import pytest

from ringgeom.colour import colour, hue_deg
from ringgeom.colour.search import Proposal, Searched, search_recipes
from ringgeom.colour.wish import Wish
from ringgeom.errors import RecipeError
from ringgeom.metal import alloy_by_name, alloy_from_recipe, alloy_from_text

YELLOW = alloy_by_name("gold-750-yellow-3n")


def found(**asked: object) -> Searched:
    return search_recipes(Wish(**asked))  # type: ignore[arg-type]


def refusal(**asked: object) -> str:
    with pytest.raises(RecipeError) as caught:
        found(**asked)
    return str(caught.value)


def apart(first: Proposal, second: Proposal) -> float:
    symbols = {*first.recipe.symbols, *second.recipe.symbols}
    return sum(abs(first.recipe.percent(s) - second.recipe.percent(s)) for s in symbols) / 2


def test_the_greenest_18_ct_has_no_copper() -> None:
    """Copper costs green (computed with the model): gold and silver alone are the greenest."""
    best = found(fineness_permille=750, towards="greener", than=YELLOW).proposals[0]
    assert dict(best.recipe.shares) == {"Au": 75, "Ag": 25}
    assert best.colour.lab[1] == pytest.approx(-5.5, abs=0.06)
    # 3N with 75/25: 7.1, printed to 0.1
    assert best.delta_e_00 == pytest.approx(7.1, abs=0.06)


@pytest.mark.parametrize(
    ("towards", "metals"),
    [
        ("greener", ("Ag", "Cu", "Zn")),
        ("redder", ("Ag", "Cu", "Zn")),
        ("paler", ("Ag", "Cu", "Zn")),
        ("whiter", ("Ag", "Cu", "Zn", "Pd")),
    ],
)
@pytest.mark.parametrize("fineness", [333, 417, 585, 750, 917])
def test_every_proposal_surpasses_the_reference(
    towards: str, metals: tuple[str, ...], fineness: float
) -> None:
    than = alloy_from_text("Au 58.5 Ag 20 Cu 21.5" if fineness < 700 else "Au 75 Ag 12.5 Cu 12.5")
    if towards in ("redder", "paler") and fineness == 917:
        # much gold is stronger in colour, and less red, than any 18 ct yellow
        than = alloy_by_name("gold-1000")
    searched = found(fineness_permille=fineness, towards=towards, than=than, metals=metals)
    was = colour(than)
    assert searched.proposals
    for one in searched.proposals:
        _, a, b = one.colour.lab
        turned = float(hue_deg(np.array(one.colour.lab)) - hue_deg(np.array(was.lab)))
        assert {
            "greener": a < was.lab[1] and (a < 0 or turned > 0),
            "redder": a > was.lab[1] and (a > 0 or turned < 0),
            "paler": a**2 + b**2 < was.lab[1] ** 2 + was.lab[2] ** 2,
            "whiter": one.colour.yellowness < was.yellowness,
        }[towards]
        assert sum(Decimal(repr(share)) for _, share in one.recipe.shares) == 100
        assert one.recipe.fineness_permille("Au") == pytest.approx(fineness, abs=1e-9)
        assert one.recipe.precious == "gold"
        assert one.recipe.percent("Zn") <= 2
        assert one.recipe.percent("Ni") == 0


def test_proposals_are_no_neighbours_of_each_other() -> None:
    """At 18 ct two percent of the mass must change from any to any other; our choice."""
    for towards in ("greener", "redder", colour(YELLOW).lab):
        proposals = found(fineness_permille=750, towards=towards).proposals
        assert len(proposals) == 5
        for first, second in combinations(proposals, 2):
            assert apart(first, second) >= 2 - 1e-9


def test_shares_come_in_half_percents() -> None:
    for one in found(fineness_permille=750, towards="paler", than=YELLOW).proposals:
        assert all((2 * share).is_integer() for _, share in one.recipe.shares)


@pytest.mark.parametrize(
    ("text", "metals"),
    [
        ("Au 75 Ag 20.3 Cu 4.7", ("Ag", "Cu")),
        ("Au 75 Ag 20.3 Cu 4.7", ("Ag", "Cu", "Zn")),
        ("Au 75 Ag 20 Cu 4 Zn 1", ("Ag", "Cu", "Zn")),
        ("Au 37.5 Ag 10 Cu 51.2 Zn 1.3", ("Ag", "Cu", "Zn")),
        ("Au 75 Ag 11.3 Pd 12.2 Cu 1.5", ("Ag", "Cu", "Pd")),
    ],
)
def test_a_known_recipe_is_found_again_by_its_colour(text: str, metals: tuple[str, ...]) -> None:
    """The colour at one fineness names one recipe of these metals; found to the step of 0.1 %."""
    alloy = alloy_from_text(text)
    fine = alloy.recipe.fineness_permille("Au")
    best = found(fineness_permille=fine, towards=colour(alloy).lab, metals=metals).proposals[0]
    # three colour values hardly tell four metals: one step of the first grid either way
    shared = len(alloy.recipe.shares) > 3
    slack = 0.5 if shared else 1e-9
    assert dict(best.recipe.shares) == pytest.approx(dict(alloy.recipe.shares), abs=slack)
    assert best.delta_e_00 == pytest.approx(0, abs=0.1 if shared else 1e-6)


def test_a_target_is_approached_in_order() -> None:
    target = colour(alloy_from_text("Au 58.5 Ag 12.3 Cu 27.5 Zn 1.7")).lab
    proposals = found(fineness_permille=585, towards=target).proposals
    distances = [one.delta_e_00 for one in proposals]
    assert distances == sorted(distances)  # type: ignore[type-var]
    # one step of 0.1 % moves the colour by less than 0.1: the valley's floor is reached
    assert distances[0] is not None
    assert distances[0] < 0.1


@pytest.mark.parametrize(("most", "expected"), [(0.0, 0.0), (1.5, 1.5), (2.0, 2.0)])
def test_a_limit_includes_itself(most: float, expected: float) -> None:
    """Zinc makes 18 ct paler, so the palest takes all that is allowed and no more."""
    best = found(
        fineness_permille=750, towards="paler", metals=("Ag", "Zn"), most={"Zn": most}
    ).proposals[0]
    assert best.recipe.percent("Zn") == expected


def test_zinc_is_limited_to_two_percent_unless_named() -> None:
    best = found(fineness_permille=750, towards="paler", metals=("Ag", "Zn")).proposals[0]
    assert best.recipe.percent("Zn") == 2
    more = found(
        fineness_permille=750, towards="paler", metals=("Ag", "Zn"), most={"Zn": 4}
    ).proposals[0]
    assert more.recipe.percent("Zn") == 4


def test_nickel_only_when_asked_for_and_then_warned_of() -> None:
    asked = {"fineness_permille": 750, "towards": "whiter", "metals": ("Cu", "Ni")}
    assert "free of it" in refusal(**asked)
    searched = found(**asked, nickel_free=False)
    with_nickel = [one for one in searched.proposals if one.recipe.percent("Ni")]
    assert with_nickel
    assert all([fault.code for fault in one.hazards] == ["nickel"] for one in with_nickel)


def test_a_fineness_between_steps_is_kept_and_rounded_up() -> None:
    """14 kt is 583.33 permille; gold is never short of its mark."""
    best = found(fineness_permille=1000 * 14 / 24, towards="greener").proposals[0]
    assert dict(best.recipe.shares) == {"Au": 58.34, "Ag": 41.66}


def test_density_melting_and_hints_come_along() -> None:
    """gold-750-green melts at 1026 to 1036 C (Rose); 5N is rich enough in copper to order."""
    green = found(fineness_permille=750, towards="greener").proposals[0]
    assert green.melts is not None
    assert green.melts.text == "like gold-750-green: 1026 to 1036 C"
    # band of gold-silver 0.6 % round 16.03 (Rose)
    assert green.alloy.density_g_cm3 == pytest.approx(16.03, rel=0.006)
    assert green.alloy.density_uncertainty_g_cm3 > 0
    red = found(fineness_permille=750, towards="redder", than=YELLOW).proposals
    assert "copper-ordering" in [hint.code for hint in red[0].hints]
    odd = next(one for one in red if one.recipe.percent("Cu") == 23 and one.recipe.percent("Ag"))
    assert odd.melts is None


def test_a_measured_reference_counts_by_its_prediction() -> None:
    measured = alloy_from_recipe("Own", {"Au": 75, "Ag": 25}, lab=(90.0, 9.0, 25.0))
    assert "nothing of Au 750" in refusal(
        fineness_permille=750, towards="greener", than=measured, metals=("Ag", "Cu")
    )


def test_an_impossible_wish_names_the_best_within_reach() -> None:
    said = refusal(fineness_permille=585, towards="greener", than=alloy_by_name("gold-750-green"))
    assert "Au 58.5 Ag 41.5 with a* -3.8 is the furthest" in said
    assert "a* -5.5" in said


def test_paler_is_not_redder() -> None:
    """At 9 ct silver alone is a white with less green than 18 ct green, yet not a red."""
    green = alloy_by_name("gold-750-green")
    for one in found(fineness_permille=375, towards="redder", than=green).proposals:
        assert hue_deg(np.array(one.colour.lab)) < hue_deg(np.array(colour(green).lab))
    said = refusal(fineness_permille=375, towards="redder", than=green, metals=("Ag",))
    assert "Au 37.5 Ag 62.5 with a* -1.7 is the furthest" in said


def test_18_ct_is_greener_than_14_ct() -> None:
    """75/25 is the greenest of the pair though 58.5/41.5 has the further hue (computed)."""
    pale = alloy_by_name("gold-585-green")
    best = found(fineness_permille=750, towards="greener", than=pale).proposals[0]
    assert dict(best.recipe.shares) == {"Au": 75, "Ag": 25}


@pytest.mark.parametrize(
    ("fineness", "words", "nearest"),
    [
        (18, "looks like a karat", "750 permille"),
        (14, "looks like a karat", "583.3 permille"),
        (0.75, "looks like a fraction", "750 permille"),
        (75, "looks like a percentage", "750 permille"),
        (1000, "no such fineness", "999 permille"),
        (332, "no such fineness", "333 permille"),
    ],
)
def test_a_fineness_in_another_unit_is_refused(fineness: float, words: str, nearest: str) -> None:
    said = refusal(fineness_permille=fineness, towards="greener")
    assert words in said
    assert f"nearest: {nearest}" in said


def test_the_ends_of_the_range_are_searched() -> None:
    for fineness in (333, 999):
        assert found(fineness_permille=fineness, towards="greener").proposals
    assert "no such fineness" in refusal(fineness_permille=float("nan"), towards="greener")


@pytest.mark.parametrize(
    ("metal", "words"),
    [
        ("Cd", "REACH Annex XVII entry 23"),
        ("cadmium", "REACH Annex XVII entry 23"),
        ("Pb", "REACH Annex XVII entry 63"),
        ("Be", "beryllium are toxic"),
        ("silver", "nearest: Ag"),
        ("Ga", "gallium does to the colour is not known"),
    ],
)
def test_metals_that_no_recipe_is_made_with(metal: str, words: str) -> None:
    assert words in refusal(fineness_permille=750, towards="greener", metals=("Ag", metal))


def test_all_problems_are_told_at_once() -> None:
    with pytest.raises(RecipeError) as caught:
        found(
            fineness_permille=18, towards="grener", metals=("Ag", "Cd"), most={"Pd": 5, "Ag": 120}
        )
    assert len(caught.value.problems) == 5
    assert "nearest: greener" in str(caught.value)


@pytest.mark.parametrize("lab", [(120.0, 0.0, 0.0), (90.0, float("nan"), 0.0), (90.0, 1.0)])
def test_a_target_that_is_no_colour(lab: tuple[float, ...]) -> None:
    assert "the target is not a colour" in refusal(fineness_permille=750, towards=lab)


def test_limits_that_leave_a_gap() -> None:
    said = refusal(fineness_permille=750, towards="paler", metals=("Zn",))
    assert "25 % to fill, 2 % allowed" in said
    assert "no metal to add" in refusal(fineness_permille=750, towards="paler", metals=("Au",))


def test_other_precious_metals_keep_their_name() -> None:
    """An alloy of silver 500 with gold to spare must not become a gold (from 33.3 %)."""
    searched = found(precious="Ag", fineness_permille=500, towards="greener", metals=("Au", "Cu"))
    assert all(one.recipe.precious == "silver" for one in searched.proposals)
    assert max(one.recipe.percent("Au") for one in searched.proposals) > 25


def test_a_wide_search_is_quick() -> None:
    """Seven metals: the grid coarsens instead of growing; 1.5 s on the bench, 3 for a busy one."""
    started = time.perf_counter()
    searched = search_recipes(
        Wish(
            fineness_permille=375,
            towards="whiter",
            than=YELLOW,
            metals=("Ag", "Cu", "Zn", "Pd", "Pt", "Ni", "Rh"),
            nickel_free=False,
        )
    )
    assert time.perf_counter() - started < 3
    assert searched.step_percent > 0.5
    assert len(searched.proposals) == 5


def test_a_search_is_the_same_twice() -> None:
    wish = Wish(fineness_permille=750, towards=colour(YELLOW).lab)
    first, second = (search_recipes(wish, 3) for _ in range(2))
    assert [one.recipe for one in first.proposals] == [one.recipe for one in second.proposals]
    with pytest.raises(RecipeError, match="1 to 20"):
        search_recipes(wish, 0)
