"""How much solder a mark can carry."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ringgeom.errors import InputError
from ringgeom.marks import Marked, average_permille, solder_room_g, whole_permille
from ringgeom.metal import alloy_from_recipe, alloy_from_text


def part(name: str, text: str, grams: float, worst_permille: float | None = None) -> Marked:
    """A part by its alloy's name or recipe."""
    return Marked(
        name=name, alloy=alloy_from_text(text), grams=grams, worst_permille=worst_permille
    )


BODY = part("body", "gold-750-yellow-3n", 6)
SILVER = part("band", "silver-925", 5)


def test_the_worst_case_leaves_less_room() -> None:
    # Derived: 6 (583 - 578) / (578 - 417), against 585 in the recipe.
    ring = [part("band", "Au 58.5 Ag 41.5", 6, worst_permille=583)]
    # Binary rounding only.
    assert solder_room_g(ring, "585", 417) == pytest.approx(30 / 161, abs=1e-9)


@pytest.mark.parametrize(
    ("mark", "region", "room_g"),
    # Derived: 6 (585 - d) / (d - 417) with d = 578; 583.33 - 7; and 585 in the UK: none at all.
    [
        ("585", "us", 6 * 7 / 161),
        ("14K", "us", 6 * 8.67 / 159.33),
        ("585", "uk", 0.0),
        ("375", "uk", math.inf),
        ("585", "iso", math.inf),
    ],
)
def test_room_for_solder(mark: str, region: str, room_g: float) -> None:
    ring = [part("band", "Au 58.5 Ag 41.5", 6)]
    # Binary rounding only.
    assert solder_room_g(ring, mark, 417, region=region) == pytest.approx(room_g, abs=1e-9)


@given(st.floats(1, 30), st.floats(0, 700), st.floats(744, 800))
def test_solder_up_to_the_room_holds_and_more_fails(
    grams: float, solder_permille: float, permille: float
) -> None:
    shares = {"Au": permille / 10, "Ag": 100 - permille / 10}
    ring = [Marked(name="a", alloy=alloy_from_recipe("x", shares), grams=grams)]
    room = solder_room_g(ring, "18K", solder_permille)
    made = average_permille(ring, "gold")
    at = whole_permille([(grams, made), (room, solder_permille)])
    beyond = whole_permille([(grams, made), (room * 1.01, solder_permille)])
    # 743 = 750 - 7, 15 U.S.C. 295; binary rounding only.
    assert at == pytest.approx(743, abs=1e-6)
    assert beyond < 743


def test_a_mark_that_the_parts_do_not_have() -> None:
    with pytest.raises(InputError, match=r"allowed: .*Sterling silver"):
        solder_room_g([SILVER], "18K", 600)
    # 999 is a mark of gold and of silver alike: which one is not said
    with pytest.raises(InputError, match="no single mark"):
        solder_room_g([SILVER, BODY], "999", 600, region="uk")
