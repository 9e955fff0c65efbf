"""Portions as they are typed: amounts, units, metals."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ringgeom.errors import RecipeError
from ringgeom.metal.portion_text import metals_in_hand, mixed_from_texts, portion_from_text


@pytest.mark.parametrize(
    ("text", "grams"),
    [
        ("18 g Au", 18.0),
        ("18g Au", 18.0),
        ("1,5 g Au 75 Ag 25", 1.5),
        (".5 kg gold-750-green", 500.0),
        # exact by definition: 31.1034768 g and a twentieth of it
        ("1 ozt Au", 31.1034768),
        ("9 dwt gold-750-red-5n", 9 * 1.55517384),
        ("2 cm3 Ag", 20.98),
        ("100 mm3 Au", 1.93),
    ],
)
def test_an_amount_in_any_unit(text: str, grams: float) -> None:
    assert portion_from_text(text).grams == pytest.approx(grams, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("18 Au", '"18 g Au'),
        ("18 Au 75", "g kg dwt"),
        ("Au 18 g", "portion"),
        ("1 oz Au", "ozt"),
        ("1 ounce Au", "31.1035"),
        ("5 gr Au", "g"),
        ("0 g Au", "above 0"),
        ("3 g Xx", "Xx"),
        ("3 g Au 75 Ag 20", "5 % is missing"),
        ("", "portion"),
    ],
)
def test_what_is_no_portion_is_refused(text: str, said: str) -> None:
    with pytest.raises(RecipeError) as refused:
        portion_from_text(text)
    assert said in str(refused.value)


def test_every_wrong_portion_is_told_at_once() -> None:
    with pytest.raises(RecipeError) as refused:
        mixed_from_texts(["18 g Au", "1 oz Ag", "3 g Xx"])
    assert len(refused.value.problems) == 2


def test_in_hand_are_fine_metals() -> None:
    assert metals_in_hand(["1 g Au", "2 dwt Au"]) == {"Au": pytest.approx(1 + 2 * 1.55517384)}
    with pytest.raises(RecipeError, match="lot"):
        metals_in_hand(["1 g Au 75 Ag 25"])


@given(gold=st.floats(0.01, 500), silver=st.floats(0.01, 500))
def test_volumes_and_masses_agree(gold: float, silver: float) -> None:
    """The same portions by volume and by mass are the same mixture."""
    by_volume = mixed_from_texts([f"{gold:.6f} cm3 Au", f"{silver:.6f} cm3 Ag"])
    masses = [one.grams for one in by_volume.portions]
    by_mass = mixed_from_texts([f"{masses[0]:.9f} g Au", f"{masses[1]:.9f} g Ag"])
    assert by_volume.made.recipe.percent("Au") == pytest.approx(
        by_mass.made.recipe.percent("Au"), abs=1e-4
    )
    assert by_volume.volume_cm3 == pytest.approx(by_mass.volume_cm3, rel=1e-6)
