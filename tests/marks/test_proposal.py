"""The mark of one part: highest legal, worst case, what is missing to the next."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ringgeom.errors import InputError
from ringgeom.facts import table
from ringgeom.marks import CHECK, Marked, PartMark, part_mark, reaches, region_of, regions
from ringgeom.metal import alloy_by_name, alloy_from_recipe, alloy_from_text

KNOWN = {"read", "computed", "memory", "common practice"}


def part(text: str, grams: float = 5.0, worst_permille: float | None = None) -> Marked:
    """A part by its alloy's name or recipe."""
    return Marked(
        name="band", alloy=alloy_from_text(text), grams=grams, worst_permille=worst_permille
    )


def gold(permille: float) -> Marked:
    """A part of gold and silver."""
    shares = {"Au": permille / 10, "Ag": 100 - permille / 10}
    return Marked(name="band", alloy=alloy_from_recipe("test", shares), grams=5)


def said(proposal: PartMark) -> str:
    return " | ".join(word.text for word in proposal.words)


def test_every_row_of_the_regions_has_source_and_known() -> None:
    for row in table("mark_regions"):
        assert row["source"], row
        assert set(row["known"].replace("part ", "").split(", ")) <= KNOWN, row
        assert row["value"], row


def test_every_law_that_a_region_names_has_rows() -> None:
    laws = {row["standard_or_law"] for row in table("fineness")}
    for row in table("mark_regions"):
        if row["rule"] in ("marks", "also_marks"):
            assert row["value"] in laws
    assert set(regions()) == {"uk", "us", "convention", "iso"}


# Published: country profile of the Hallmarking Convention, United Kingdom.
UK_MARKS = {
    "gold": [375, 585, 750, 916, 990, 999],
    "silver": [800, 925, 958, 999],
    "platinum": [850, 900, 950, 999],
    "palladium": [500, 950, 999],
}


@pytest.mark.parametrize("metal", UK_MARKS)
def test_the_legal_marks_of_the_united_kingdom(metal: str) -> None:
    marks = [mark for mark in region_of("uk").marks if mark.metal == metal]
    assert [mark.permille for mark in marks] == UK_MARKS[metal]
    assert all(mark.demanded_permille == mark.permille for mark in marks)


@pytest.mark.parametrize(
    ("region", "mark", "above", "short"),
    # Derived: 14 kt is 1000 x 14/24 = 583.33; 585 - 583.33 = 1.67; the lists are in the facts.
    [
        ("uk", "375", "585", 1.67),
        ("us", "14K", "16K", 666.67 - 3 - 583.33),
        ("convention", "375", "585", 1.67),
        ("iso", "417", "585", 1.67),
    ],
)
def test_fourteen_karat_is_not_585(region: str, mark: str, above: str, short: float) -> None:
    proposal = part_mark(gold(1000 * 14 / 24), region)
    assert proposal.mark == mark
    assert proposal.next_mark_up == above
    # Karats stand in the facts to 0.01 permille.
    assert proposal.next_short_permille == pytest.approx(short, abs=0.006)
    assert f"{above} needs" in said(proposal)


@pytest.mark.parametrize(
    ("text", "uk", "us"),
    [
        ("gold-750-yellow-3n", "750", "18K"),
        ("silver-925", "925", "Sterling"),
        ("silver-900", "800", "Coin"),
        ("platinum-950-ru", "950", "Plat"),
        ("platinum-900-ir", "900", "900Plat"),
        ("Pt 88.45 Cu 11.55", "850", "884Plat"),
        # 16 CFR Part 23: 500 of platinum and 950 of its group, each with its number.
        ("Pt 60 Ir 35 Cu 5", None, "600Pt 350Ir"),
        ("Pt 60 Ir 34 Cu 6", None, None),
        ("palladium-950-ru", "950", None),
        ("brass-70-30", None, None),
        ("Au 34 Ag 66", None, None),
        ("silver-833-au", "800", None),
    ],
)
def test_marks_of_other_metals(text: str, uk: str | None, us: str | None) -> None:
    assert part_mark(part(text), "uk").mark == uk
    assert part_mark(part(text), "us").mark == us


def test_below_the_lowest_mark_it_says_so() -> None:
    proposal = part_mark(gold(370), "uk")
    assert proposal.legal is None
    assert not proposal.holds_in_worst_case
    assert proposal.margin_permille is None
    assert (proposal.next_mark_up, proposal.next_short_permille) == ("375", 5.0)
    assert "370 permille gold carries no mark" in said(proposal)


def test_a_metal_without_rules_is_not_called_too_low() -> None:
    proposal = part_mark(part("palladium-950-ru"), "us")
    assert "these rules hold no mark for palladium" in said(proposal)
    assert proposal.next_mark_up is None


def test_platinum_under_its_group_minimum_is_told_the_mark_in_reach() -> None:
    proposal = part_mark(part("Pt 60 Cu 40"), "us")
    assert proposal.mark is None
    # Derived: 850 - 600.
    assert proposal.next_short_permille == 250.0
    assert "lowest in reach requires 850" in said(proposal)


@pytest.mark.parametrize(
    ("worst", "holds", "guaranteed"),
    [(None, True, "750"), (750.0, True, "750"), (749.99, False, "585"), (374.9, False, None)],
)
def test_the_worst_case(worst: float | None, holds: bool, guaranteed: str | None) -> None:
    proposal = part_mark(part("Au 75 Ag 25", worst_permille=worst), "uk")
    assert proposal.mark == "750"
    assert proposal.holds_in_worst_case is holds
    assert (proposal.guaranteed.label if proposal.guaranteed else None) == guaranteed


def test_margin_counts_from_what_the_law_demands() -> None:
    # Derived: 752 - 750 in the UK; 752 - (750 - 3) in the US.
    for region, margin in (("uk", 2.0), ("us", 5.0)):
        # Ten times a decimal share: binary rounding only.
        assert part_mark(gold(752), region).margin_permille == pytest.approx(margin, abs=1e-9)


def test_a_mark_by_tolerance_only_is_told() -> None:
    assert "minus tolerance only" in said(part_mark(gold(748), "us"))
    assert "minus tolerance only" not in said(part_mark(gold(750), "us"))


def test_the_decimal_mark_counts_from_its_own_figure() -> None:
    # 585 - 3 = 582, 15 U.S.C. 295.
    assert "585 is a mark of its own and requires 582" in said(part_mark(gold(582), "us"))
    assert "mark of its own" not in said(part_mark(gold(581.9), "us"))


@pytest.mark.parametrize(
    ("text", "below_g"),
    # Published: country profile of the Hallmarking Convention, United Kingdom.
    [
        ("Au 75 Ag 25", 1.0),
        ("silver-925", 7.78),
        ("platinum-950-ru", 0.5),
        ("palladium-950-ru", 1.0),
    ],
)
def test_exemption_weights_of_the_united_kingdom(text: str, below_g: float) -> None:
    needle = "needs no hallmark"
    assert needle in said(part_mark(part(text, grams=below_g - 0.01), "uk"))
    assert needle not in said(part_mark(part(text, grams=below_g), "uk"))
    assert needle not in said(part_mark(part(text, grams=below_g - 0.01), "us"))


@given(st.floats(334, 1000), st.sampled_from(sorted(regions())))
def test_no_mark_ever_states_more_than_the_law_allows(permille: float, region: str) -> None:
    proposal = part_mark(gold(min(permille, 999.9)), region)
    pack = region_of(region)
    assert proposal.made_permille is not None
    possible = [m for m in pack.marks if m.metal == "gold"]
    if proposal.legal is None:
        assert all(m.demanded_permille > proposal.made_permille for m in possible)
        return
    assert reaches(proposal.made_permille, proposal.legal.demanded_permille)
    higher = [m for m in possible if m.permille > proposal.legal.permille]
    assert not any(reaches(proposal.made_permille, m.demanded_permille) for m in higher)


@pytest.mark.parametrize("region", sorted(regions()))
@pytest.mark.parametrize("text", ["Au 75 Ag 25", "Au 34 Ag 66", "brass-70-30", "Pd 95 Ru 5"])
def test_every_proposal_ends_with_whom_to_ask(region: str, text: str) -> None:
    words = part_mark(part(text), region).words
    assert words[-1] == CHECK
    assert CHECK.text == "check with your assay office or counsel"
    assert all(word.source and word.known for word in words)


def test_an_unknown_region_names_the_others() -> None:
    with pytest.raises(InputError, match="nearest: uk"):
        part_mark(part("Au 75 Ag 25"), "uk ")
    with pytest.raises(InputError, match="uk, us, convention, iso"):
        region_of("mars")


@pytest.mark.parametrize(
    ("grams", "worst"), [(0.0, None), (-1.0, None), (float("nan"), None), (1.0, 1001.0)]
)
def test_a_part_that_is_none(grams: float, worst: float | None) -> None:
    with pytest.raises(InputError, match="band"):
        Marked(name="band", alloy=alloy_by_name("silver-925"), grams=grams, worst_permille=worst)
