"""Numbers from one to another by equal steps, as people type them: 4..8 by 0.5."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from ringgeom.errors import InputError, Problem
from ringgeom.finger.numerals import decimal, number, plain

MOST_STEPS = 1000
"""No list of sizes, widths or thicknesses is longer than this."""

BETWEEN = r"\s*(?:\.{2,3}|…|\bto\b)\s*"
"""What stands between the two ends of a range."""

_RANGE = re.compile(rf"(?P<first>.+?){BETWEEN}(?P<last>.+?)(?:\s*\bby\b\s*(?P<step>.+))?", re.I)


@dataclass(frozen=True, slots=True, kw_only=True)
class Range:
    """The two ends and the step of a range as they were typed; no step is an empty text."""

    first: str
    last: str
    step: str


def range_in(text: str) -> Range | None:
    """The range that a text is, or None for a single value.

    Raises
    ------
    InputError
        It has one end only.
    """
    match = _RANGE.fullmatch(text.strip())
    if match is None and ".." in text:
        raise InputError(
            Problem(text="a range has two ends", value=text, allowed="such as 4..8 by 0.5")
        )
    if match is None:
        return None
    return Range(first=match["first"].strip(), last=match["last"].strip(), step=match["step"] or "")


def listed(text: str) -> list[str]:
    """The items of a list: between semicolons, or between commas that are no decimal commas.

    Examples
    --------
    >>> listed("1.8, 2.0,2.2"), listed("1,8; 2,0")
    (['1.8', '2.0', '2.2'], ['1,8', '2,0'])
    """
    between = ";" if ";" in text else ","
    return [item.strip() for item in text.split(between) if item.strip()]


def stepped(asked: str, first: Fraction, last: Fraction, step: str) -> list[Fraction]:
    """Every number of a range, exactly; a step that was not typed is 1.

    Raises
    ------
    InputError
        The step is no number above 0, the range runs downwards, or it is longer than
        `MOST_STEPS`.

    Examples
    --------
    >>> [str(n) for n in stepped("4..5 by 1/2", Fraction(4), Fraction(5), "1/2")]
    ['4', '9/2', '5']
    """
    by = number(plain(step)) if step else Fraction(1)
    if by is None or by <= 0:
        raise InputError(
            Problem(
                text="the step of a range is a number above 0",
                value=asked,
                allowed="such as 4..8 by 0.5, or 5..12 by 1/2",
            )
        )
    if last < first:
        raise InputError(
            Problem(text="a range runs upwards, from the smaller to the larger", value=asked)
        )
    count = (last - first) // by + 1
    if count > MOST_STEPS:
        least = (last - first) / (MOST_STEPS - 1)
        raise InputError(
            Problem(
                text=f"this range has {count:,} values",
                value=asked,
                allowed=f"{MOST_STEPS:,} at most",
                nearest=f"by {decimal(Fraction(-(-least * 1000 // 1), 1000))}",
            )
        )
    return [first + by * n for n in range(count)]
