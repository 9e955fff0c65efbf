"""Two metals in words, all four ways to finish them, and better partners."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ringgeom.colour import colour, columns, labs
from ringgeom.colour.contrast import TWO_COLOURS
from ringgeom.colour.pair import pair
from ringgeom.colour.partners import better_pair, partners
from ringgeom.metal import Alloy, alloy_by_name, alloy_from_recipe, fineness, recipe_faults

YELLOW, GREEN = alloy_by_name("gold-750-yellow-3n"), alloy_by_name("gold-750-green")
RED, SILVER = alloy_by_name("gold-750-red-5n"), alloy_by_name("silver-925")


def gold(**shares: float) -> Alloy:
    return alloy_from_recipe("own", shares)


def test_words_name_the_difference() -> None:
    """Red gold is redder than green, silver paler than gold: in the order of the names."""
    assert "red is darker and redder" in pair(RED, GREEN, names=("red", "green")).words
    assert "green is lighter and greener" in pair(GREEN, RED, names=("green", "red")).words
    assert "and paler" in pair(SILVER, YELLOW, names=("silver", "gold")).words


def test_green_is_told_where_it_reads_green() -> None:
    met = pair(YELLOW, GREEN, names=("body", "reed"))
    assert "reed reads green beside body" in met.words
    assert "green" not in pair(SILVER, GREEN, names=("body", "reed")).words.split("reads green")[0]


def test_all_four_finishes_once() -> None:
    met = pair(YELLOW, GREEN)
    assert [one.finishes for one in met.finishes] == [
        ("polished", "polished"),
        ("brushed", "brushed"),
        ("brushed", "polished"),
        ("polished", "brushed"),
    ]
    assert met.contrast == met.finishes[0].contrast


def test_a_finish_can_make_a_difference() -> None:
    """One metal, one face brushed: the estimate alone makes 1.7 (own estimate, marked so)."""
    met = pair(YELLOW, YELLOW)
    assert met.contrast.delta_e_00_d65 == pytest.approx(0, abs=1e-9)
    assert met.finishes[2].contrast.delta_e_00_d65 == pytest.approx(1.7, abs=0.05)
    assert "nearly the same colour" in met.words


@pytest.mark.parametrize(
    ("first", "second", "told"),
    [
        (YELLOW, GREEN, True),
        (YELLOW, gold(Au=75, Ag=14, Cu=11), None),
        (
            alloy_from_recipe("a", {"Au": 75, "Ag": 25}, lab=(90, 0, 25)),
            alloy_from_recipe("b", {"Au": 75, "Ag": 25}, lab=(90, 0.3, 25)),
            False,
        ),
    ],
)
def test_told_apart_only_when_it_is_sure(first: Alloy, second: Alloy, told: bool | None) -> None:
    """Sure above 2 by the band, surely not below it by the band, else uncertain."""
    assert pair(first, second).told_apart is told


SHARES = st.fixed_dictionaries(
    {"Au": st.floats(30, 90), "Ag": st.floats(1, 40), "Cu": st.floats(0, 30), "Zn": st.floats(0, 5)}
)


@settings(max_examples=60, deadline=None)
@given(one=SHARES, two=SHARES)
def test_both_ways_alike(one: dict[str, float], two: dict[str, float]) -> None:
    first, second = gold(**one), gold(**two)
    there, back = pair(first, second), pair(second, first)
    assert there.contrast.delta_e_00_d65 == pytest.approx(back.contrast.delta_e_00_d65, abs=1e-9)
    assert there.contrast.delta_e_00_a == pytest.approx(back.contrast.delta_e_00_a, abs=1e-9)
    assert there.contrast.uncertain == back.contrast.uncertain
    assert there.told_apart == back.told_apart


@settings(max_examples=60, deadline=None)
@given(shares=SHARES)
def test_one_alloy_is_the_many_at_once(shares: dict[str, float]) -> None:
    """The alloy's colour and the vectorised recipes are one model."""
    row = np.array([shares.get(symbol, 0.0) for symbol in columns()])
    for light, found in (("d65", colour(gold(**shares)).lab), ("a", colour(gold(**shares)).lab_a)):
        assert labs(row, illuminant=light) == pytest.approx(found, abs=1e-9)
    assert labs(row, finish="brushed") == pytest.approx(
        colour(gold(**shares), "brushed").lab, abs=1e-9
    )


def test_a_measured_colour_moves_with_the_light() -> None:
    """Under a lamp a measured metal shifts as its prediction does; under D65 it is as measured."""
    plain = gold(Au=75, Ag=12.5, Cu=12.5)
    moved = alloy_from_recipe("own", dict(plain.recipe.shares), lab=(88.0, 3.0, 23.0))
    shift = np.array(colour(plain).lab_a) - np.array(colour(plain).lab)
    assert colour(moved).lab == pytest.approx((88.0, 3.0, 23.0), abs=1e-12)
    assert np.array(colour(moved).lab_a) - (88.0, 3.0, 23.0) == pytest.approx(shift, abs=1e-9)


def test_two_recipes_of_one_name_are_not_mixed_up() -> None:
    """Colours are remembered by the whole alloy, not by its name."""
    one, two = gold(Au=75, Ag=25), gold(Au=75, Cu=25)
    assert colour(one).lab != colour(two).lab
    assert colour(one) == colour(gold(Au=75, Ag=25))


@pytest.mark.parametrize(
    ("neighbour", "instead"),
    [
        (YELLOW, RED),
        (YELLOW, alloy_by_name("gold-750-yellow-2n")),
        (SILVER, alloy_by_name("gold-750-white-pd-15")),
    ],
)
def test_better_partners(neighbour: Alloy, instead: Alloy) -> None:
    now = pair(neighbour, instead).contrast
    found = partners(neighbour, instead)
    assert found
    fine = fineness(instead.recipe)
    assert fine is not None
    for one in found:
        made = fineness(one.alloy.recipe)
        assert made is not None
        assert abs(made - fine) <= 3.5
        assert one.alloy.recipe.precious == instead.recipe.precious
        least = min(one.contrast.delta_e_00_d65, one.contrast.delta_e_00_a)
        assert least >= min(now.delta_e_00_d65, now.delta_e_00_a) + 0.5
        assert not any(f.level == "stop" for f in recipe_faults(one.alloy.recipe))
    # what harms comes last
    assert [bool(one.hazards) for one in found] == sorted(bool(one.hazards) for one in found)


def test_a_clear_pair_needs_no_other() -> None:
    assert pair(YELLOW, GREEN).contrast.verdict == TWO_COLOURS
    assert better_pair(YELLOW, GREEN) == ((), ())


def test_a_base_metal_has_no_partner_of_its_fineness() -> None:
    assert partners(YELLOW, gold(Cu=70, Zn=30)) == ()
