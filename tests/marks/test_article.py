"""The marks of a whole ring: which mark where, and what keeps it off."""

from __future__ import annotations

from collections.abc import Sequence

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ringgeom.errors import InputError
from ringgeom.marks import (
    CHECK,
    ArticleMark,
    Marked,
    article_marks,
    regions,
)
from ringgeom.metal import alloy_from_text

EVERY_REGION = pytest.mark.parametrize("region", sorted(regions()))


def part(name: str, text: str, grams: float, worst_permille: float | None = None) -> Marked:
    """A part by its alloy's name or recipe."""
    return Marked(
        name=name, alloy=alloy_from_text(text), grams=grams, worst_permille=worst_permille
    )


def marks(
    parts: Sequence[Marked],
    region: str,
    told: bool | None = True,
    solder: Sequence[tuple[float, float]] = (),
) -> ArticleMark:
    return article_marks(parts, region, solder=solder, tellable=lambda one, other: told)


def codes(article: ArticleMark) -> list[tuple[str, str | None]]:
    return [(doubt.code, doubt.part) for doubt in article.doubts]


def stamped(article: ArticleMark) -> dict[str, str | None]:
    return {stamp.part: stamp.mark for stamp in article.stamps}


def said(article: ArticleMark) -> str:
    return " | ".join(word.text for word in article.words)


BODY = part("body", "gold-750-yellow-3n", 6)
FOURTEEN = part("reed", "Au 58.33 Ag 41.67", 2)
FIFTEEN = part("reed", "Au 58.5 Ag 41.5", 2)
PLATINUM = part("band", "platinum-950-ru", 5)
SILVER = part("band", "silver-925", 5)
BRASS = part("reed", "brass-70-30", 1)


def test_one_metal_in_two_finenesses_is_marked_by_the_lowest_in_the_uk() -> None:
    article = marks([BODY, FIFTEEN], "uk")
    assert stamped(article) == {"body": "585"}
    assert article.stamps[0].covers == ("body", "reed")
    assert article.stamps[0].office_mark
    assert codes(article) == []
    assert "marked by the lowest" in said(article)


def test_a_fourteen_karat_reed_pulls_an_eighteen_karat_ring_to_375() -> None:
    article = marks([BODY, FOURTEEN], "uk")
    assert stamped(article) == {"body": "375"}
    assert codes(article) == [("mark-margin", "reed")]
    doubt = article.doubts[0]
    assert (doubt.value, doubt.limit, doubt.unit) == (583.3, 585.0, "permille")
    assert "1.70 is missing" in doubt.text


def test_a_part_that_does_not_hold_the_ring_down_is_not_nagged_about() -> None:
    # 749 is a hair under 750, but the 375 of the reed decides.
    parts = [part("body", "Au 74.9 Ag 25.1", 6), part("reed", "Au 40 Ag 60", 2)]
    assert codes(marks(parts, "uk")) == []
    assert codes(marks(parts, "iso")) == [("mark-margin", "body")]


def test_each_part_has_its_own_karat_in_the_us() -> None:
    article = marks([BODY, FOURTEEN], "us")
    assert stamped(article) == {"body": "18K", "reed": "14K"}
    assert codes(article) == []
    # Derived: (6 x 750 + 2 x 583.3) / 8 = 708.325, under 750 - 7.
    assert "18K alone would speak for all gold" in said(article)
    assert "743" in said(article)


@EVERY_REGION
def test_an_average_is_never_proposed(region: str) -> None:
    article = marks([BODY, FOURTEEN], region)
    # Derived as above; binary rounding only.
    assert article.average_permille == pytest.approx(708.325, abs=1e-9)
    assert "may not be stamped" in said(article)
    # 708 is 17 kt, 667 is 16 kt: neither is the mark of any part
    assert not {"16K", "17K", "667", "708"} & {stamp.mark for stamp in article.stamps}


@given(st.floats(1, 20), st.floats(1, 20), st.sampled_from(sorted(regions())))
def test_masses_never_change_the_marks(first_g: float, second_g: float, region: str) -> None:
    parts = [part("a", "Au 75 Ag 25", first_g), part("b", "Au 41.7 Ag 58.3", second_g)]
    own = {"uk": {"375"}, "convention": {"375"}, "us": {"18K", "10K"}, "iso": {"750", "417"}}
    assert {stamp.mark for stamp in marks(parts, region).stamps} == own[region]


def test_the_office_mark_goes_with_the_least_precious_metal() -> None:
    # Published: SI 2007/872: silver < palladium < gold < platinum.
    ring = [
        part("p", "platinum-950-ru", 9),
        part("g", "Au 75 Ag 25", 8),
        part("d", "palladium-950-ru", 7),
        part("s", "silver-925", 6),
    ]
    for count, expected in ((4, "s"), (3, "d"), (2, "g"), (1, "p")):
        article = marks(ring[:count], "uk")
        assert [s.part for s in article.stamps if s.office_mark] == [expected]
        assert len(article.stamps) == count


def test_no_office_mark_where_there_is_no_office() -> None:
    assert not any(stamp.office_mark for stamp in marks([PLATINUM, BODY], "us").stamps)


def test_one_metal_under_its_minimum_keeps_all_marks_off_a_mixed_ring_in_the_uk() -> None:
    ring = [SILVER, part("reed", "Au 34 Ag 66", 1)]
    article = marks(ring, "uk")
    assert stamped(article) == {"band": None, "reed": None}
    assert codes(article) == [("no-mark", "reed")]
    assert "the whole ring stays unmarked" in article.doubts[0].text
    assert stamped(marks(ring, "us")) == {"band": "Sterling", "reed": None}


@pytest.mark.parametrize(
    ("told", "levels"), [(True, []), (False, ["warn"]), (None, ["note"])], ids=str
)
def test_two_metals_must_be_told_apart_by_colour(told: bool | None, levels: list[str]) -> None:
    ring = [PLATINUM, part("reed", "silver-925", 2)]
    for region in ("uk", "convention"):
        article = marks(ring, region, told)
        assert [doubt.level for doubt in article.doubts] == levels
        assert {code for code, _ in codes(article)} <= {"marks-not-told-apart"}
    assert codes(marks(ring, "us", told)) == []


def test_colour_verdicts_may_be_a_mapping_and_a_missing_pair_is_uncertain() -> None:
    ring = [PLATINUM, BODY, part("liner", "silver-925", 2)]
    verdicts = {
        frozenset({"platinum-950-ru", "gold-750-yellow-3n"}): True,
        frozenset({"silver-925", "gold-750-yellow-3n"}): True,
    }
    ring[1] = part("wave", "gold-750-yellow-3n", 6)
    article = article_marks(ring, "uk", tellable=verdicts)
    assert [(d.code, d.level, d.part) for d in article.doubts] == [
        ("marks-not-told-apart", "note", "liner")
    ]


def test_two_golds_need_not_be_told_apart() -> None:
    assert codes(marks([BODY, FIFTEEN], "uk", told=False)) == []


def test_base_metal_carries_a_word_in_the_uk() -> None:
    article = marks([SILVER, BRASS], "uk")
    assert stamped(article) == {"band": "925", "reed": "METAL"}
    assert [s.part for s in article.stamps if s.office_mark] == ["band"]
    assert stamped(marks([SILVER, BRASS], "us")) == {"band": "Sterling"}
    # Texture may tell base metal apart, so colour alone does not condemn it.
    assert [d.level for d in marks([SILVER, BRASS], "uk", told=False).doubts] == ["note"]


@EVERY_REGION
def test_a_ring_of_base_metal_alone_carries_nothing(region: str) -> None:
    article = marks([BRASS], region)
    assert article.stamps == ()
    assert article.doubts == ()
    assert article.line == f"no fineness mark; {CHECK.text}"


def test_a_mark_that_the_melt_cannot_guarantee_is_withheld() -> None:
    article = marks([part("body", "Au 75 Ag 25", 6, worst_permille=747.5)], "uk")
    assert stamped(article) == {"body": None}
    assert article.stamps[0].wanted == "750"
    doubt = article.doubts[0]
    assert (doubt.code, doubt.value, doubt.limit) == ("mark-margin", 747.5, 750.0)
    assert "or stamp 585" in doubt.fix
    # The United States allow 3 permille: the same melt is safe there.
    assert stamped(marks([part("body", "Au 75 Ag 25", 6, 747.5)], "us")) == {"body": "18K"}


def test_the_worst_case_is_judged_by_the_mark_the_ring_carries() -> None:
    # The body misses 750 in the worst case, but the reed makes it a 585 ring.
    parts = [part("body", "Au 75 Ag 25", 6, worst_permille=745), FIFTEEN]
    assert stamped(marks(parts, "uk")) == {"body": "585"}
    assert codes(marks(parts, "uk")) == []


def test_solder_pulls_the_whole_down() -> None:
    ring = [part("band", "Au 58.5 Ag 41.5", 6)]
    solder = [(0.1, 417.0)]
    article = marks(ring, "uk", solder=solder)
    # Derived: (6 x 585 + 0.1 x 417) / 6.1 = 582.25 to 0.01.
    assert article.whole_permille == pytest.approx(582.25, abs=0.005)
    assert codes(article) == [("mark-margin", None)]
    assert stamped(article) == {"band": None}
    american = marks(ring, "us", solder=solder)
    assert codes(american) == []
    assert stamped(american) == {"band": "14K"}
    # ISO 9202 leaves solder out.
    iso = marks(ring, "iso", solder=solder)
    assert iso.whole_permille is None
    assert stamped(iso) == {"band": "585"}


def test_solder_counts_to_the_gold_of_a_mixed_ring() -> None:
    article = marks([PLATINUM, BODY], "us", solder=[(0.5, 585.0)])
    # Derived: (6 x 750 + 0.5 x 585) / 6.5.
    assert article.whole_permille == pytest.approx(737.30769, abs=1e-5)
    assert stamped(article) == {"band": "Plat", "body": None}


def test_parts_of_one_mark_share_one_stamp_on_the_heaviest() -> None:
    segments = [part(f"field {n}", "gold-750-yellow-3n", 1 + n / 10) for n in (1, 2, 3)]
    article = marks([PLATINUM, *segments], "us")
    assert [(s.part, s.covers) for s in article.stamps] == [
        ("band", ("band",)),
        ("field 3", ("field 1", "field 2", "field 3")),
    ]


@pytest.mark.parametrize(
    ("parts", "exempt"),
    [
        ([part("a", "Au 75 Ag 25", 0.99)], True),
        ([part("a", "Au 75 Ag 25", 1.0)], False),
        ([part("a", "silver-925", 7.77)], True),
        ([part("a", "silver-925", 4), part("b", "silver-925", 3.78)], False),
        # Beside base metal the weight of all metal counts: assay offices' guidance notes.
        ([part("a", "silver-925", 7), part("b", "brass-70-30", 0.7)], True),
        ([part("a", "silver-925", 7), part("b", "brass-70-30", 0.8)], False),
        ([part("a", "silver-925", 1), part("b", "Au 75 Ag 25", 0.5)], False),
    ],
)
def test_exempt_by_weight(parts: list[Marked], exempt: bool) -> None:
    assert marks(parts, "uk").exempt is exempt
    assert not marks(parts, "us").exempt


def test_metals_are_named_by_weight_in_the_us() -> None:
    assert "platinum 5.00 g, gold 2.00 g" in said(
        marks([part("reed", "Au 75 Ag 25", 2), PLATINUM], "us")
    )


@EVERY_REGION
def test_every_statement_has_its_source_and_the_last_says_whom_to_ask(region: str) -> None:
    for ring in ([BODY, FOURTEEN], [PLATINUM, BODY, BRASS], [part("a", "Au 34 Ag 66", 1)]):
        article = marks(ring, region, None, solder=[(0.1, 500)])
        assert article.words[-1] == CHECK
        assert article.line.endswith("check with your assay office or counsel")
        assert len(set(article.words)) == len(article.words)
        assert all(word.text and word.source and word.known for word in article.words)
        assert all(doubt.fix.endswith(CHECK.text) for doubt in article.doubts)


def test_a_ring_that_is_none() -> None:
    with pytest.raises(InputError, match="no parts"):
        marks([], "uk")
    with pytest.raises(InputError, match="two parts have one name"):
        marks([BODY, BODY], "uk")
    with pytest.raises(InputError, match="allowed: silver"):
        article_marks([SILVER], "us", solder=[(0.1, 750)], solder_metal="gold", tellable={})
    with pytest.raises(InputError, match="mass and fineness"):
        marks([SILVER], "us", solder=[(-0.1, 650)])
