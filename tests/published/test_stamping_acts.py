"""Limits of the stamping and hallmarking acts, at equality and a hair under.

National Gold and Silver Stamping Act, 15 U.S.C. 295 and 296 (read); Hallmarking Act 1973 as
amended (read); guidance of the Finnish authority on marks below the assay (read); REACH
Annex XVII entry 23 as explained by ECHA (read).
"""

from __future__ import annotations

import pytest
from judging.checks import published

from ringgeom.marks import (
    Marked,
    article_marks,
    average_permille,
    part_mark,
    reaches,
    region_of,
    whole_permille,
)
from ringgeom.metal import Recipe, alloy_from_recipe, hazard_faults

HAIR_PERMILLE = 0.01
"""The acts' limits are printed to 0.01 permille."""


def alloy(symbol: str, permille: float, name: str = "test", grams: float = 6.0) -> Marked:
    """A part of one precious metal and copper."""
    shares = {symbol: permille / 10, "Cu": 100 - permille / 10}
    return Marked(name=name, alloy=alloy_from_recipe(name, shares), grams=grams)


US = "National Gold and Silver Stamping Act, 15 U.S.C. 295 and 296"
US_LIMITS = pytest.mark.parametrize(
    ("symbol", "mark", "part_permille", "whole_permille_"),
    [
        ("Au", "10K", 413.67, 409.67),
        ("Au", "14K", 580.33, 576.33),
        ("Au", "18K", 747.0, 743.0),
        ("Ag", "Sterling", 921.0, 915.0),
    ],
)


@US_LIMITS
def test_a_part_without_solder(
    symbol: str, mark: str, part_permille: float, whole_permille_: float
) -> None:
    found = part_mark(alloy(symbol, part_permille), "us").mark
    published(US, f"mark at {part_permille:g} permille", found, mark, why="the limit is lawful")
    assert part_mark(alloy(symbol, part_permille - HAIR_PERMILLE), "us").mark != mark


@US_LIMITS
def test_the_whole_with_its_solder(
    symbol: str, mark: str, part_permille: float, whole_permille_: float
) -> None:
    legal = next(m for m in region_of("us").marks if m.label == mark)
    published(
        US,
        f"{mark}, the whole with its solder [permille]",
        legal.demanded_whole_permille,
        whole_permille_,
        abs=1e-9,
        why="the difference of two printed numbers: rounding of binary numbers only",
    )
    ring = alloy(symbol, legal.permille + 1, grams=9.0)
    # one gram of solder that brings ten grams exactly to the limit, and a hair below
    brought = 10 * whole_permille_ - 9 * (legal.permille + 1)
    for less, kept in ((0.0, True), (10 * HAIR_PERMILLE, False)):
        article = article_marks([ring], "us", solder=[(1.0, brought - less)], tellable={})
        assert (article.stamps[0].mark == mark) is kept
        assert (article.doubts == ()) is kept


@pytest.mark.parametrize(
    ("permille", "mark"),
    # Finnish guidance: 588 is marked 585, 584 is marked 375. Understating is allowed.
    [(588.0, "585"), (585.0, "585"), (584.99, "375"), (584.0, "375"), (375.0, "375")],
)
def test_the_highest_mark_not_above_the_assay(permille: float, mark: str) -> None:
    published(
        "Guidance of the Finnish authority on marks below the assay",
        f"mark of gold at {permille:g} permille",
        part_mark(alloy("Au", permille), "uk").mark,
        mark,
        why="understating is allowed, overstating is not",
    )


@pytest.mark.parametrize("metal", ["gold", "silver", "platinum", "palladium"])
def test_no_minus_tolerance_in_the_united_kingdom(metal: str) -> None:
    symbol = {"gold": "Au", "silver": "Ag", "platinum": "Pt", "palladium": "Pd"}[metal]
    for legal in region_of("uk").marks:
        if legal.metal == metal:
            assert part_mark(alloy(symbol, legal.permille), "uk").mark == legal.label
            under = part_mark(alloy(symbol, legal.permille - HAIR_PERMILLE), "uk")
            assert under.mark != legal.label


def test_karats_where_there_is_no_tolerance() -> None:
    # Derived: k x 1000 / 24.
    twenty_two, ten, fourteen = (karat * 1000 / 24 for karat in (22, 10, 14))
    assert part_mark(alloy("Au", twenty_two), "uk").mark == "916"
    assert not reaches(twenty_two, 917)
    assert part_mark(alloy("Au", ten), "iso").mark == "375"
    assert part_mark(alloy("Au", 417), "iso").mark == "417"
    assert not reaches(fourteen, 585)


def test_fineness_of_a_soldered_whole() -> None:
    # Computed: sum(m f) / sum(m); the first is exact, the second printed to 0.01.
    assert whole_permille([(5, 750), (3, 585)]) == 688.125
    assert whole_permille([(6, 585), (0.1, 417)]) == pytest.approx(582.25, abs=0.005)
    parts = [alloy("Au", 750, "a", 5), alloy("Au", 585, "b", 3)]
    # Binary rounding only.
    assert average_permille(parts, "gold") == pytest.approx(688.125, abs=1e-9)


def test_cadmium_counts_in_each_part_and_never_on_average() -> None:
    def cadmium(percent: float) -> list[str]:
        recipe = Recipe.of("part", {"Ag": 100 - percent, "Cd": percent})
        return [fault.code for fault in hazard_faults(recipe)]

    assert cadmium(0.0099) == []
    assert cadmium(0.0100) == ["cadmium"]
    # A heavy clean part beside a light bad one: 0.02 % in 1 g is 0.002 % of 10 g, and yet refused.
    clean, bad = cadmium(0.0), cadmium(0.02)
    assert (clean, bad) == ([], ["cadmium"])
