"""Some random input of every kind in every run of the tests; `fuzz.py` tries thousands."""

from __future__ import annotations

from random import Random

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from proof.inputs import KINDS, READ, REFUSED

import ringgeom as rg
from ringgeom.errors import InputError, RecipeError
from ringgeom.grid import grid_asked
from ringgeom.metal import alloy_from_text

FEW = settings(
    max_examples=6, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck)
)


@pytest.mark.parametrize("kind", KINDS)
@given(random=st.randoms(use_true_random=False))
@FEW
def test_whatever_is_handed_in_is_answered(
    kind: str, tmp_path_factory: pytest.TempPathFactory, random: Random
) -> None:
    """An answer or a refusal in words, and no file anywhere but where it was asked for."""
    folder = tmp_path_factory.mktemp("around") / "inner"
    folder.mkdir()
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(folder)
        assert KINDS[kind](random, folder) in (READ, REFUSED)
    assert [path.name for path in folder.parent.iterdir()] == ["inner"]


def test_an_alloy_of_thousands_of_words_is_refused_at_once() -> None:
    """It took half a minute for each 15 kB of a lot's recipe: every word was counted anew."""
    text = "g3 " * 5000 + "Au 75"
    with pytest.raises(RecipeError, match="too long for an alloy"):
        alloy_from_text(text)
    with pytest.raises(InputError, match="too long for an alloy"):
        rg.shop_from_text(f'[[lot]]\nname = "a"\ngrams = 1\nrecipe = "{text}"\n')


def plain_design() -> rg.Design:
    return rg.design_from_text(
        '[job]\nname = "a"\n[ring]\nsize = "US 7"\nwidth_mm = 5\nthickness_mm = 2\n'
        '[body]\nalloy = "silver-925"\n'
    )


@pytest.mark.parametrize("digits", [400, 5000])
@pytest.mark.parametrize("which", ["sizes", "widths"])
@pytest.mark.parametrize("words", ["{}", "1..{}", "1..2 by {}", "{0}/{0}"])
def test_a_number_of_hundreds_of_digits_is_refused_in_a_list(
    words: str, which: str, digits: int
) -> None:
    """It was read exactly, and then too large to be computed with."""
    with pytest.raises(InputError) as refused:
        grid_asked(plain_design(), **{which: words.format("9" * digits)})
    assert all(problem.text for problem in refused.value.problems)


@pytest.mark.parametrize("which", ["sizes", "widths", "thicknesses"])
def test_a_list_of_endless_length_is_refused_at_once(which: str) -> None:
    """Forty thousand digits in a row took seconds: each was tried as the first of a number."""
    with pytest.raises(InputError, match="too long for a list"):
        grid_asked(plain_design(), **{which: "ISO 50, 51N" + "4" * 40_000})
