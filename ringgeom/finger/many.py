"""Many finger sizes in one line: "US 5..12 by 1/2", "ISO 50, 52, 54", "16..20 mm across"."""

from __future__ import annotations

import re
from collections.abc import Callable
from fractions import Fraction

from ringgeom.errors import BeyondScaleError, InputError, Problem, SizeError
from ringgeom.finger.letters import letter_number
from ringgeom.finger.numerals import NUMBER, decimal, number, plain
from ringgeom.finger.reading import place_on_scale, read_size
from ringgeom.finger.stepped import MOST_STEPS, listed, range_in, stepped

Written = Callable[[Fraction], str]
"""A place on a scale, or a length, as it is typed."""

_LENGTH = re.compile(r"\b(?:mm|cm|in|inch|inches)\b|\"", re.I)

EXAMPLES = '"US 5..12 by 1/2", "ISO 50, 52, 54", "UK H..T by 1/2", "16..20 mm across by 0.5"'


def sizes_from_text(text: str) -> tuple[str, ...]:
    """Every size that a list of sizes and ranges names, each once, as it is read by `read_size`.

    A number or letter by itself is of the scale that stands before it, or, at the beginning of
    a range, of the one that stands at its end. A range may run past the ends of its scale.

    Raises
    ------
    InputError
        An item is no size, the two ends of a range are on different scales, or the range is none.

    Examples
    --------
    >>> sizes_from_text("US 5..6 by 1/2, 7")
    ('US 5', 'US 5 1/2', 'US 6', 'US 7')
    """
    found: dict[str, None] = {}
    written: Written | None = None
    for item in _items(text):
        places, written = _places(item, written)
        found.update(dict.fromkeys(map(written, places)))
    if not found:
        raise InputError(Problem(text="no size was given", allowed=EXAMPLES))
    if len(found) > MOST_STEPS:
        raise InputError(
            Problem(text=f"these are {len(found):,} sizes", allowed=f"{MOST_STEPS:,} at most")
        )
    return tuple(found)


def _items(text: str) -> list[str]:
    """Items between semicolons or commas; in lengths a comma between two digits parts nothing.

    Raises
    ------
    InputError
        Of two numbers with a comma between them nobody knows whether they are one.
    """
    if ";" in text:
        return listed(text)
    if _LENGTH.search(text):
        return [item.strip() for item in re.split(r",(?!\d)|(?<!\d),", text) if item.strip()]
    pair = re.search(r"\d+,\d+", text)
    if pair and text.count(",") == 1:
        raise InputError(
            Problem(
                text="this may be one size or two",
                value=text,
                allowed=f"{text.replace(',', '.')} for one, {text.replace(',', '; ')} for two",
            )
        )
    return listed(text)


def _places(item: str, before: Written | None) -> tuple[list[Fraction], Written]:
    """The places or lengths of one item, and how they are written; as before if it says not."""
    asked = range_in(item)
    if asked is None:
        place, written = _value(item)
        written = written or before
        if written is None:
            raise _refusal(item)
        return [place], written
    (first, one), (last, other) = _value(asked.first), _value(asked.last)
    if one and other and one(first) != other(first):
        raise InputError(
            Problem(
                text="the two ends of a range are on different scales",
                value=item,
                allowed=EXAMPLES,
                nearest=f"{one(first)}, {other(last)}",
            )
        )
    written = one or other or before
    if written is None:
        raise _refusal(asked.first)
    return stepped(item, first, last, asked.step), written


def _value(text: str) -> tuple[Fraction, Written | None]:
    """A size as a number, and how its kind is written; None for a number by itself.

    Raises
    ------
    SizeError
        It names no size.
    """
    words = plain(text)
    alone = number(words)
    if alone is not None:
        return alone, None
    placed = place_on_scale(text)
    try:
        size = read_size(text)
    except BeyondScaleError:
        assert placed is not None  # only a scale has ends
    except SizeError:
        if letter_number(words) is None:
            raise
    if placed is not None:
        scale, place = placed
        return place, scale.label
    measure = re.fullmatch(rf"({NUMBER}) (\S+ \S+)", size.label)
    assert measure is not None  # a length is labelled so
    length = number(measure[1])
    assert length is not None
    return length, lambda value: f"{decimal(value)} {measure[2]}"


def _refusal(text: str) -> InputError:
    """What a number alone may mean, and how a list is written."""
    try:
        read_size(text)
    except SizeError as error:
        return error
    return InputError(Problem(text="this names no finger size", value=text, allowed=EXAMPLES))
