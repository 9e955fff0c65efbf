"""Finger sizes: what is read, what is refused, what is doubted."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ringgeom.errors import SizeError
from ringgeom.finger import FingerSize, hints, read_size, suspicion

FLOAT_MM = 1e-9  # binary arithmetic only
US_7_MM = 25.4 * (0.458 + 0.032 * 7)  # Wikipedia, "Ring size"
N_HALF_MM = (37.5 + 1.25 * 13.5) / math.pi  # BS 6820:1987, from memory

SPELLINGS = {
    US_7_MM: "US 7|us7|US-7|7 US|U.S. 7|u.s.7|USA 7|U.S.A. 7|North America 7|US size 7|US/CA 7"
    "|ring size: US 7|US 7.0|US 7,00|US 07|US\u00a07|\uff35\uff33\uff17|CA 7",
    US_7_MM + 0.8128 / 4: "US 7 1/4|US 7.25|US 7,25|US 7¼|US 7 ¼|US 7-1/4|US 7¹/₄|us7 1 / 4|7¼ US",
    54 / math.pi: "ISO 54|54 ISO|iso54|ISO-54|ISO 8653 54|54 (ISO 8653)|BS EN ISO 8653 54|JIS 54"
    "|JIS S 4700 54|CH 14|14 CH|IT 14|ES 14|Swiss 14|Italy 14|India 14|IN 14|54 mm around"
    "|5.4 cm around|Switzerland, Italy, Spain 14",
    N_HALF_MM: "UK N½|UK N 1/2|UK N.5|N½|n 1/2|N.5|n,5|N 0.5|n half|N-1/2|UK/AU N½|AU N½|NZ n½"
    "|IE N½|N½ (Australia)|UK, Ireland, Australia, New Zealand N 1/2|U.K. n½",
    70 / math.pi: "Z+1|z + 1|UK Z+1|Z +1",
    13 + 13 / 3: "JP 14|Japan 14|jp14|14 JP|Japan, customary 14|Japanese size 14",
    17.32: "17.32 mm across|17,32 mm across|17.32mm across|across 17.32 mm|17.32 mm inside diameter"
    "|inside diameter: 17.32 mm|ø 17.32 mm|Ø17.32|⌀17.32 mm|d 17.32|d=17.32 mm|1.732 cm across"
    "|i.d. 17.32 mm|17.32 millimetres across|17.32 mm dia.|17.32\u339c across",
    54.4
    / math.pi: "54.4 mm around|54,4 mm around|54.4mm circumference|54.4 mm inside circumference"
    "|c 54.4 mm|circ. 54.4 mm",
    0.682 * 25.4: "0.682 in across|.682 in across|0.682 inch across|0.682 inches diameter"
    "|0.682\" across|0.682'' across|0.682\u2033 across|\u00f8 0.682 in",
    2.142 * 25.4 / math.pi: '2.142 in around|2.142" around|2,142 inch circumference',
}


@pytest.mark.parametrize(
    ("typed", "across_mm"),
    [(typed, across) for across, typings in SPELLINGS.items() for typed in typings.split("|")],
)
def test_spellings(typed: str, across_mm: float) -> None:
    size = read_size(typed)
    assert size.inside_diameter_mm == pytest.approx(across_mm, abs=FLOAT_MM)
    assert size.circumference_mm == pytest.approx(math.pi * across_mm, abs=FLOAT_MM)
    assert size.asked == typed


@pytest.mark.parametrize(
    ("typed", "label", "said"),
    [
        ("US 7.3", "US 7.3", "between US 7 1/4 and US 7 1/2"),
        ("ISO 54.5", "ISO 54.5", "between ISO 54 and ISO 55"),
        ("JP 14 1/2", "JP 14.5", "between JP 14 and JP 15"),
        ("z+1", "UK Z+1", "22.28 mm across"),
        ("z+1½", "UK Z+1 1/2", "charts disagree"),
        ("IN 14", "IN 14", "0.5 mm"),
        ("d 17.32", "17.32 mm across", "no unit"),
    ],
)
def test_what_needs_a_note_has_one(typed: str, label: str, said: str) -> None:
    size = read_size(typed)
    assert size.label == label
    (note,) = size.notes
    assert said in note
    assert hints(size) == (note,)


@pytest.mark.parametrize("typed", ["US 7", "US 7 1/4", "ISO 54", "N½", "Z½", "JP 14", "CH 14.25"])
def test_an_ordinary_size_needs_no_hint(typed: str) -> None:
    assert hints(read_size(typed)) == ()


# Typed, a part of what is said, the nearest size.
REFUSALS = [
    ("54", "ISO 54 (17.19 mm across, 54.00 mm around)", "ISO 54"),
    ("7", "US 7 (17.32 mm across, 54.42 mm around), or JP 7 (15.00 mm across", "US 7"),
    ("17.3", "17.3 mm across (17.30 mm across", "17.3 mm across"),
    ("17.3 mm", "or 17.3 mm around (5.51 mm across", "17.3 mm across"),
    ("54.4 mm", "54.4 mm across (54.40 mm across", "54.4 mm around"),
    ("14 in", "or IN 14 (17.19 mm across", "IN 14"),
    ("JIS 14", "JIS S 4700 is the ISO scale", "JP 14"),
    ("ISO 7", "ISO 41 to ISO 76", "US 7"),
    ("ISO 40", "ISO 41 to ISO 76", "40 mm around"),
    ("ISO 77", "ISO 41 to ISO 76", "77 mm around"),
    ("US 17", "US 0 to US 16", "17 mm across"),
    ("US 54", "US 0 to US 16", "ISO 54"),
    ("US -1", "US 0 to US 16", "US 0"),
    ("US 00", "US 0 to US 16", ""),
    ("JP 31", "JP 1 to JP 30", "CH 31"),
    ("JP 0", "JP 1 to JP 30", "US 0"),
    ("CH 37", "CH 0.5 to CH 36", "37 mm around"),
    ("IN 37", "IN 1 to IN 36", "37 mm around"),
    ("Z+7", "UK A to UK Z+6", "UK Z+6"),
    ("Z 1", "names no finger size", "UK Z+1"),
    ("N 1/4", "whole or half", "UK N or UK N 1/2"),
    ("UK 7", "'7' is none of them", "US 7"),
    ("US N", "'n' is none of them", "UK N"),
    ("ISO 54 mm", "'54 mm' is none of them", "ISO 54"),
    ("US", "none is given", ""),
    ("Japn 14", "names no finger size", "JP 14"),
    ("17.3 mm acros", "names no finger size", "17.3 mm across"),
    ("EU 54", "names no finger size", "ISO 54"),
    ("HK 14", "charts of Hong Kong and China sizes differ", "the finger measured in mm"),
    ("21 mm outside diameter", "not outside", ""),
    ("r 8.66 mm", "not a radius", "17.32 mm across"),
    ("17.32 in across", "0.43 and 100 mm", "17.32 mm across"),
    ("0 mm across", "0.43 and 100 mm", ""),
    ("-17 mm across", "0.43 and 100 mm", ""),
    ("", "no size was given", ""),
    (" \t", "no size was given", ""),
    ("hello", "names no finger size", ""),
    ("nan", "names no finger size", ""),
    ("inf mm across", "names no finger size", ""),
    ("1e308 mm across", "names no finger size", ""),
    ("US 7 1/0", "'7 1/0' is none of them", ""),
    ("17 mm across around", "names no finger size", "17 mm across"),
    ("US 7" + " " * 100, "at most 60 characters", ""),
]


@pytest.mark.parametrize(("typed", "said", "nearest"), REFUSALS)
def test_refusals_name_what_was_meant(typed: str, said: str, nearest: str) -> None:
    with pytest.raises(SizeError) as refusal:
        read_size(typed)
    (problem,) = refusal.value.problems
    assert said in problem.text
    assert problem.nearest == nearest
    assert "ISO 41 to ISO 76" in problem.allowed
    assert "54.4 mm around" in problem.allowed
    assert len(problem.value) < 50, "a long text is cut"


@pytest.mark.parametrize(
    ("typed", "kind", "value_mm", "fix"),
    [
        ("17.3 mm around", "diameter for circumference", 17.3, "17.3 mm across"),
        ("54.4 mm across", "circumference for diameter", 54.4, "54.4 mm around"),
        ("8.66 mm across", "radius for diameter", 8.66, "17.32 mm across"),
        ("0.682 mm across", "inches", 0.682, "0.682 in across"),
        ("2.142 mm around", "inches", 2.142, "2.142 in around"),
        ("0.682 in around", "diameter for circumference", 17.3228, "17.3228 mm across"),
        ("US 14", "scale", 25.4 * (0.458 + 0.032 * 14), "JP 14"),
    ],
)
def test_slips_are_suspected(typed: str, kind: str, value_mm: float, fix: str) -> None:
    size = read_size(typed)
    doubt = suspicion(size)
    assert doubt is not None
    assert (doubt.kind, doubt.fix) == (kind, fix)
    assert doubt.value_mm == pytest.approx(value_mm, abs=FLOAT_MM)
    assert read_size(doubt.fix).likely
    assert fix in hints(size)[-1]


# 22.5 mm: US 13 1/4 is an ordinary large finger; beyond it only a whole number is a slip.
@pytest.mark.parametrize("typed", ["US 13", "US 13.25", "US 14.1", "JP 30", "Z+3", "ISO 76"])
def test_large_fingers_are_not_suspected(typed: str) -> None:
    assert suspicion(read_size(typed)) is None


@pytest.mark.parametrize("typed", ["30 mm across", "30 mm around", "4 mm across", "1.5 mm across"])
def test_an_unlikely_finger_without_a_known_slip_is_said_so(typed: str) -> None:
    size = read_size(typed)
    assert suspicion(size) is None
    assert "unlikely for a finger" in hints(size)[0]


def _read(text: str) -> FingerSize | None:
    """The size, or None where it is refused; any other error fails the test."""
    try:
        return read_size(text)
    except SizeError:
        return None


@given(st.text(max_size=80))
def test_no_text_raises_anything_but_a_size_error(text: str) -> None:
    size = _read(text)
    assert size is None or 0.43 <= size.inside_diameter_mm <= 100


WORDS = (
    "us uk jp in iso 8653 jis n z c d r ø mm cm inch \" ' + - / . , ½ ³ ( ) half across around 7"
)
WORDS += " 54 0 00 1/4 1/0 -1 17.3 17,3 .5 outside radius hk size 99999999999999999999 1e9 \ud800 İ"


@given(st.lists(st.sampled_from(WORDS.split()), max_size=7), st.sampled_from(["", " "]))
def test_no_heap_of_known_words_raises_anything_but_a_size_error(
    words: list[str], between: str
) -> None:
    size = _read(between.join(words))
    assert size is None or read_size(size.label).inside_diameter_mm == pytest.approx(
        size.inside_diameter_mm,
        abs=1e-6,  # labels carry ten decimals, of inches at most
    )
