"""Melts worked by hand: the recipe from fine metals, and the bench's own examples.

Expected numbers are *printed* in bench guides where that is said, else *derived*.
"""

from __future__ import annotations

import pytest
from melt.stock import (
    BINARY,
    EXACT,
    FINE,
    GREEN,
    LOW,
    STERLING,
    YELLOW,
    ZINC,
    lot,
    lot_of,
    used_g,
    want,
)

from ringgeom.melt import MeltPlan, Wanted, melt_plan
from ringgeom.shop import Lot


def fine_only(*wanted: Wanted, **asked: object) -> MeltPlan:
    return melt_plan(wanted, (), EXACT.model_copy(update=asked))


@pytest.mark.parametrize("shares", [YELLOW, GREEN, LOW, STERLING, {"Pt": 95.0, "Ru": 5.0}])
def test_without_a_stock_the_recipe_is_weighed_from_fine_metals(shares: dict[str, float]) -> None:
    plan = fine_only(want(shares, 20.0))
    (melt,) = plan.melts
    assert plan.possible
    assert not plan.left
    assert {p.source.recipe.symbols[0] for p in melt.take} == set(shares)
    for portion in melt.take:
        share = shares[portion.source.recipe.symbols[0]]
        # a step of 0.01 g of each portion's rounding, one more for the fineness
        assert portion.grams == pytest.approx(20.0 * share / 100, abs=0.02)
    assert melt.poured_g >= 20.0 - BINARY
    assert melt.remelt_percent == 0


@pytest.mark.parametrize("fume", [0.0, 5.0, 20.0])
@pytest.mark.parametrize("lots", [(), FINE], ids=["bought", "stock"])
def test_zinc_is_topped_up_for_its_fume(fume: float, lots: tuple[Lot, ...]) -> None:
    """20 g at 6.5 % pour 1.3 g of zinc; weighed in is that over one less the fume."""
    shop = EXACT.model_copy(
        update={"zinc_fume_percent": fume, "balance_g": 0.001, "tolerance": {"Zn": 0.1}}
    )
    (melt,) = melt_plan([want(ZINC, 20.0)], lots, shop).melts
    zinc = next(p for p in melt.take if p.source.recipe.symbols == ("Zn",))
    # 0.1 permille of 20 g is 2 mg, a step more for the rounding
    assert zinc.grams == pytest.approx(1.3 / (1 - fume / 100), abs=0.003)
    assert melt.fume_g == pytest.approx(zinc.grams * fume / 100, abs=BINARY)
    # zinc boils near 907 C, below the melting point of copper: it goes in last
    assert melt.take[-1] is zinc


def test_a_troy_ounce_of_750_from_fine_metals() -> None:
    """Printed in bench guides (common practice): 31.1 g need Au 23.32, Ag 4.98, Cu 2.80."""
    (melt,) = fine_only(want({"Au": 75.0, "Ag": 16.0, "Cu": 9.0}, 31.1)).melts
    grams = {p.source.recipe.symbols[0]: p.grams for p in melt.take}
    # printed to 0.01 g, and the gold cut down where a fineness must be rounded up
    assert grams["Au"] == pytest.approx(23.32, abs=0.0101)
    assert grams["Ag"] == pytest.approx(4.98, abs=0.0101)
    assert grams["Cu"] == pytest.approx(2.80, abs=0.0101)
    assert melt.fineness_permille is not None
    assert melt.fineness_permille >= 750


K10, K14, K16, K18, K9 = (100 * karat / 24 for karat in (10, 14, 16, 18, 9))


def alloyed(gold: float, silver_parts: float = 0.5) -> dict[str, float]:
    """Gold of a percentage, the rest silver and copper in one proportion."""
    rest = 100 - gold
    return {"Au": gold, "Ag": rest * silver_parts, "Cu": rest * (1 - silver_parts)}


@pytest.mark.parametrize(
    ("old", "grams", "wanted", "added", "add_g"),
    [
        # printed in bench guides (common practice): 20 g of 10 kt to 14 kt take 8 g fine
        (K10, 20.0, K14, "Au", 8.0),
        (K10, 7.0, K14, "Au", 2.8),
        (K10, 6.0, K14, "Au", 2.4),
        # printed: 9 parts of 18 kt to 10 kt take 7.2 parts of alloy
        (K18, 9.0, K10, "alloy", 7.2),
        # Mechanical Dentistry and Metallurgy, p. 206: 6 oz fine to 16 ct, add 3 oz
        (100.0, 6.0, K16, "alloy", 3.0),
    ],
)
def test_changing_the_karat_of_what_is_there(
    old: float, grams: float, wanted: float, added: str, add_g: float
) -> None:
    """The whole lot is used up, and what is added is the printed answer."""
    extra = (
        lot("added", 30.0, "fine", Au=100)
        if added == "Au"
        else lot("added", 30.0, "master", Ag=50, Cu=50)
    )
    shop = EXACT.model_copy(
        update={"aim": "use up", "use_up": "old", "remelt_percent": 100.0, "balance_g": 0.001}
    )
    plan = melt_plan(
        [want(alloyed(wanted), grams + add_g)],
        (lot_of("old", grams, alloyed(old)), extra),
        shop,
    )
    assert plan.possible
    # a fineness may end up to 3 permille high: with the gold, 0.3 % of the melt at most
    assert used_g(plan, "old") == pytest.approx(grams, abs=0.003 * (grams + add_g) / 0.4)
    assert used_g(plan, "added") == pytest.approx(add_g, abs=0.003 * (grams + add_g) / 0.4)


def test_two_lots_of_one_weight_meet_in_the_middle() -> None:
    """Printed in bench guides (common practice): 10 g of 18 kt and 10 g of 9 kt make 13.5 kt."""
    lots = (lot_of("18", 10.0, alloyed(K18)), lot_of("9", 10.0, alloyed(K9)))
    shop = EXACT.model_copy(update={"remelt_percent": 100.0})
    plan = melt_plan([want(alloyed(100 * 13.5 / 24), 20.0)], lots, shop)
    assert plan.possible
    assert used_g(plan, "18") == pytest.approx(10.0, abs=BINARY)
    assert used_g(plan, "9") == pytest.approx(10.0, abs=BINARY)
    assert plan.new_gold_g == 0


def test_a_troy_ounce_of_fine_gold_to_750() -> None:
    """Printed in bench guides: 31.1 g fine to 750/160/90 make 41.47 g with Ag 6.64, Cu 3.73."""
    lots = (lot("gold", 31.1, Au=100), lot("silver", 9.0, Ag=100), lot("copper", 9.0, Cu=100))
    shop = EXACT.model_copy(update={"tolerance_permille": 0.1, "fineness_over_permille": 0.1})
    plan = melt_plan([want({"Au": 75.0, "Ag": 16.0, "Cu": 9.0}, 31.1 / 0.75)], lots, shop)
    assert plan.possible
    # printed to 0.01 g; 0.1 permille of 41.47 g is 4 mg, a step of 0.01 g for the rounding
    assert used_g(plan, "silver") == pytest.approx(6.64, abs=0.02)
    assert used_g(plan, "copper") == pytest.approx(3.73, abs=0.02)
    assert plan.melts[0].poured_g == pytest.approx(41.47, abs=0.02)
