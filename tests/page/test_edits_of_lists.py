"""Tables of a list put in and taken out of a design's text: every other line stays as it was."""

from __future__ import annotations

import pytest

import ringgeom as rg
from ringgeom.errors import InputError
from ringgeom.page.edits import Change, changed_text

HEAD = """# a ring
[job]
name = "Wren"   # a bird
[ring]
size = "ISO 54"
width_mm = 6.0
thickness_mm = 2.0
[body]
alloy = "gold-750-yellow-3n"
"""
NAMES = """
# their names
[[engraving]]
kind = "lettering"
text = "A [[engraving]]"  # one
height_mm = 1.5
"""
ROOM = """
# the hallmark goes here
[[engraving]]
kind = "mark"
which = "fineness"
width_mm = 2.0
height_mm = 1.0
at = "6:00"
"""
LETTERS = {"kind": "lettering", "text": "B", "height_mm": 1.2, "on": "outside"}


def test_one_is_put_at_the_end() -> None:
    for start in (HEAD, HEAD + NAMES, HEAD + NAMES + ROOM):
        number = len(rg.design_from_text(start).engravings)
        text = changed_text(start, [Change(key=("engraving", number), value=LETTERS)])
        assert text.startswith(start)
        assert text[len(start) :].split("\n") == [
            "",
            "[[engraving]]",
            'kind = "lettering"',
            'text = "B"',
            "height_mm = 1.2",
            'on = "outside"',
            "",
        ]
        assert len(rg.design_from_text(text).engravings) == number + 1


def test_a_part_is_put_in_as_well() -> None:
    part = {"name": "reed", "place": "stripe", "alloy": "gold-750-green", "from_mm": -1, "to_mm": 1}
    text = changed_text(HEAD, [Change(key=("part", 0), value=part)])
    (found,) = rg.design_from_text(text).parts
    assert found.name == "reed"


def test_one_is_taken_out_and_remarks_stay() -> None:
    whole = HEAD + NAMES + ROOM
    text = changed_text(whole, [Change(key=("engraving", 0), value=None)])
    kept = ROOM.replace("\n# the hallmark", "# the hallmark", 1)
    assert text == HEAD + "\n# their names\n" + kept
    text = changed_text(whole, [Change(key=("engraving", 1), value=None)])
    assert text == HEAD + NAMES + "\n# the hallmark goes here\n"


def test_all_are_taken_out_and_others_put_in() -> None:
    changes = [
        Change(key=("engraving", 1), value=None),
        Change(key=("engraving", 0), value=None),
        Change(key=("engraving", 0), value=LETTERS),
        Change(key=("engraving", 0, "at"), value="3:00"),
    ]
    (found,) = rg.design_from_text(changed_text(HEAD + NAMES + ROOM, changes)).engravings
    assert (found.words, found.at) == ('"B"', "3:00")


@pytest.mark.parametrize(
    ("text", "key", "value"),
    [
        (HEAD, ("engraving", 0), None),
        (HEAD + NAMES, ("engraving", 1), None),
        (HEAD + NAMES, ("engraving", 3), LETTERS),
        # a header inside a text of several lines is none
        (
            HEAD + NAMES.replace('"A [[engraving]]"', '"""A\n[[engraving]]\n"""') + ROOM,
            ("engraving", 1),
            None,
        ),
    ],
    ids=["none there", "past the last", "past the end", "header in a text"],
)
def test_what_cannot_be_done_safely_is_refused(
    text: str, key: tuple[str, int], value: object
) -> None:
    with pytest.raises(InputError, match="write it in the text"):
        changed_text(text, [Change(key=key, value=value)])  # type: ignore[arg-type]
