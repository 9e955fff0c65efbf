"""Which rings a grid holds: lists and ranges of sizes and lengths, alloys, and what is refused."""

from __future__ import annotations

from typing import Any

import pytest
from grid.many_designs import design_named

from ringgeom.errors import InputError
from ringgeom.finger.many import sizes_from_text
from ringgeom.finger.stepped import MOST_STEPS
from ringgeom.grid import grid_asked
from ringgeom.grid.asked import MOST_ROWS, MOST_SECTIONS

SIZES = {
    "US 5..6 by 1/2": ("US 5", "US 5 1/2", "US 6"),
    "US 5..7": ("US 5", "US 6", "US 7"),
    "5..7 US": ("US 5", "US 6", "US 7"),
    "US 5..US 7": ("US 5", "US 6", "US 7"),
    "US 5 to 6": ("US 5", "US 6"),
    "US 7¼..8 by ¼": ("US 7 1/4", "US 7 1/2", "US 7 3/4", "US 8"),
    "ISO 50, 52, 54": ("ISO 50", "ISO 52", "ISO 54"),
    "US 5,6,7": ("US 5", "US 6", "US 7"),
    "US 7; ISO 54; N": ("US 7", "ISO 54", "UK N"),
    "UK M..N by 1/2": ("UK M", "UK M 1/2", "UK N"),
    "M..O": ("UK M", "UK N", "UK O"),
    "Z..Z+2": ("UK Z", "UK Z+1", "UK Z+2"),
    "16..17 mm across by 0.5": ("16 mm across", "16.5 mm across", "17 mm across"),
    "54 mm around..55 mm around": ("54 mm around", "55 mm around"),
    "17,32 mm across, 18,1 mm across": ("17.32 mm across", "18.1 mm across"),
    "0.7..0.71 in across by 0.01": ("0.7 in across", "0.71 in across"),
    # a range may run past its scale, and twice the same is once
    "US 15..18, US 15": ("US 15", "US 16", "US 17", "US 18"),
    "US 20": ("US 20",),
}


@pytest.mark.parametrize(("text", "sizes"), SIZES.items(), ids=SIZES)
def test_sizes_as_they_are_typed(text: str, sizes: tuple[str, ...]) -> None:
    assert sizes_from_text(text) == sizes


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "no size was given"),
        (" ; ", "no size was given"),
        ("banana", "names no finger size"),
        ("5..7", "a number alone names no size"),
        ("US 5..ISO 60", "different scales"),
        ("US 5..60 mm around", "different scales"),
        ("US 7,25", "one size or two"),
        ("US 5..7 by 0", "above 0"),
        ("US 5..7 by -1", "above 0"),
        ("US 5..7 by half", "above 0"),
        ("US 7..5", "runs upwards"),
        ("US 5..", "two ends"),
        ("..US 5", "two ends"),
        ("US 5..inf", "names no finger size"),
        ("US 5..99999999999 by 0.001", f"{MOST_STEPS:,} at most"),
        ("US 0..16 by 1/100", "1,601 values"),
        ("17..18 mm", "say which"),
        ("US 5..6 by 1/800, ISO 41..76 by 1/8", "at most"),
    ],
)
def test_no_sizes(text: str, words: str) -> None:
    with pytest.raises(InputError, match=words):
        sizes_from_text(text)


def test_lengths_are_exact() -> None:
    """No binary tail: 4.4 is the number that is typed as 4.4."""
    asked = grid_asked(design_named("heron"), widths="4..5 by 0.1", thicknesses="1,8; 2,0; 2")
    assert asked.widths_mm == (4.0, 4.1, 4.2, 4.3, 4.4, 4.5, 4.6, 4.7, 4.8, 4.9, 5.0)
    assert asked.thicknesses_mm == (1.8, 2.0)
    assert grid_asked(design_named("heron"), widths="5 mm").widths_mm == (5.0,)


def test_what_is_not_asked_stays_the_designs() -> None:
    design = design_named("heron")
    asked = grid_asked(design, widths="5, 7")
    assert [size.asked for size in asked.sizes] == ["US 7"]
    assert asked.thicknesses_mm == (1.9,)
    assert asked.choices == (("gold-750-green", "gold-750-yellow-3n"),)
    assert asked.rows == 2


def test_every_combination_of_alloys() -> None:
    asked = grid_asked(
        design_named("harbour"),
        alloys=["plank 1=silver-925", "plank 1=Au 75 Ag 25", "RAIL=gold-750-red-5n", "plank 2=Ag"],
    )
    assert asked.choices == (
        ("platinum-950-ru", "gold-750-red-5n", "silver-925", "Ag"),
        ("platinum-950-ru", "gold-750-red-5n", "Au 75 Ag 25", "Ag"),
    )


def test_a_recipe_of_the_design_can_be_asked_for_by_its_name() -> None:
    asked = grid_asked(design_named("saltmarsh"), alloys=["sand=Sedge"])
    assert asked.choices[0][0] == asked.choices[0][1]


BAD: dict[str, tuple[dict[str, Any], str]] = {
    "nothing": ({}, "nothing says"),
    "no part": ({"alloys": ["red=silver-925"]}, "nearest: reed"),
    "no equals": ({"alloys": ["silver-925"]}, "part=alloy"),
    "no alloy": ({"alloys": ["reed=gold-750-gren"]}, "gold-750-green"),
    "empty alloy": ({"alloys": ["reed="]}, "--alloy reed"),
    "long alloy": ({"alloys": ["reed=Au 75 Ag 25" + " " * 99 + "%" * 40]}, "--alloy reed"),
    "karat": ({"alloys": ["reed=18k"]}, "18"),
    "no width": ({"widths": "wide"}, "not a number of mm"),
    "width of nothing": ({"widths": "0"}, "so thin"),
    "half a range": ({"widths": "4.."}, "two ends"),
    "widths down": ({"widths": "8..4"}, "runs upwards"),
    "widths of no step": ({"widths": "4..8 by 0"}, "above 0"),
    "endless widths": ({"widths": "4..1e9"}, "not a number"),
    "no widths": ({"widths": " , "}, "no length"),
    "no sizes": ({"sizes": " "}, "no size"),
    "sizes past the scale alone": ({"sizes": "US 17..20"}, "US 0 to US 16"),
    "a word for places": ({"places": "shar", "widths": "5"}, "nearest: share"),
}


@pytest.mark.parametrize(("axes", "words"), BAD.values(), ids=BAD)
def test_what_is_refused(axes: dict[str, Any], words: str) -> None:
    with pytest.raises(InputError) as refused:
        grid_asked(design_named("heron"), **axes)
    assert words in str(refused.value)


def test_everything_that_is_wrong_is_told_at_once() -> None:
    with pytest.raises(InputError) as refused:
        grid_asked(design_named("heron"), sizes="US 5..", widths="x", alloys=["a=b"], places="?")
    assert {problem.where for problem in refused.value.problems} == {
        "--sizes",
        "--widths",
        "--alloy",
        "--places",
    }


def test_segments_name_each_of_their_alloys() -> None:
    with pytest.raises(InputError) as refused:
        grid_asked(design_named("quarry"), alloys=["brick=silver-925"])
    assert refused.value.problems[0].nearest == "brick 1, brick 2, brick 3"


@pytest.mark.parametrize(
    ("axes", "most"),
    [
        ({"widths": "1..50 by 0.1", "thicknesses": "1..4 by 0.01"}, MOST_SECTIONS),
        (
            {
                "sizes": "US 0..16 by 1/32",
                "widths": "4..8 by 0.05",
                "thicknesses": "1.5..2.5 by 0.01",
                "alloys": [f"reed=Au {n} Ag {100 - n}" for n in range(1, 40)],
            },
            MOST_ROWS,
        ),
    ],
    ids=["sections", "rows"],
)
def test_more_than_anyone_meant(axes: dict[str, Any], most: int) -> None:
    """Refused before anything is laid out, with the limit and the way out."""
    with pytest.raises(InputError) as refused:
        grid_asked(design_named("heron"), **axes)
    (problem,) = refused.value.problems
    assert f"{most:,} at most" in problem.allowed
    assert problem.nearest
