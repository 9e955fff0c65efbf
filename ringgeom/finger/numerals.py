"""The numbers people type: 7 1/4, 7-1/4, 7.25, 7,25, 7¼, all read exactly."""

from __future__ import annotations

import re
import unicodedata
from fractions import Fraction

NUMBER = r"[+-]?(?:[0-9]+[ -][0-9]+/[0-9]+|[0-9]+/[0-9]+|[0-9]*[.,][0-9]+|[0-9]+)"
"""Regular expression of one number in text that `plain` has tidied."""

MOST_SIGNS = 60
"""Of a number that is read."""

# The signs by their numbers, as several look alike on the page.
_SAME_SIGN = {
    0x2044: "/",  # fraction slash
    0x2215: "/",  # division slash
    0x2212: "-",  # minus
    0x2010: "-",  # hyphen
    0x2013: "-",  # en dash
    0x2014: "-",  # em dash
    0x2300: "ø",  # diameter sign
    0x2205: "ø",  # empty set, typed for it
    0x2019: "'",  # closing quote
    0x2032: "'",  # prime
    0x201C: '"',
    0x201D: '"',
} | dict.fromkeys(map(ord, "()[]{}:;=_"), " ")

_INITIALS = re.compile(r"(?<![^\W\d_])(?:[a-z]\.)+[a-z](?![^\W\d_])\.?")

# Each removes one habit of writing that carries no meaning in a finger size.
_TIDYING = (
    (re.compile(r"''"), '"'),
    (re.compile(r"(?<=[a-z]{2})[.,]|[.,](?![0-9])"), " "),
    (re.compile(r"(?<=[a-z])[-/](?=[a-z])|(?<=[a-z])-(?=[0-9.,])|(?<=[0-9])-(?=[a-z])"), " "),
    (re.compile(r"\b(?:ring|finger|size|number|no|nr)\b"), " "),
    (re.compile(r"\s*/\s*"), "/"),
    (re.compile(r"\s+"), " "),
)


def plain(text: str) -> str:
    """Text in lower case with the same sign for the same thing everywhere.

    Fraction characters become " 1/4", full-width letters ordinary ones, initials lose
    their dots, brackets and words such as "ring size" go.
    """
    tidy = "".join(map(_unfolded, unicodedata.normalize("NFC", text)))
    tidy = tidy.casefold().translate(_SAME_SIGN)
    tidy = _INITIALS.sub(lambda initials: initials[0].replace(".", "") + " ", tidy)
    for habit, instead in _TIDYING:
        tidy = habit.sub(instead, tidy)
    return tidy.strip()


def number(plain_text: str) -> Fraction | None:
    """The exact value of a typed number, or None if the text is no single number.

    "00" is None: gauges that go below 0 use it for a size smaller than 0. So is what has more
    than `MOST_SIGNS` signs: no measure has, and it may be past all that can be computed.
    """
    if (
        len(plain_text) > MOST_SIGNS
        or not re.fullmatch(NUMBER, plain_text)
        or re.fullmatch("[+-]?00+", plain_text)
    ):
        return None
    sign = -1 if plain_text.startswith("-") else 1
    *whole, last = re.split("[ -]", plain_text.lstrip("+-"))
    if "/" not in last:
        return sign * Fraction(last.replace(",", "."))
    above, below = (int(part) for part in last.split("/"))
    if below == 0 or (whole and above >= below):
        return None
    return sign * (Fraction(above, below) + sum(map(int, whole)))


def decimal(value: Fraction) -> str:
    """A number as a decimal, to ten places, without trailing zeros or an exponent."""
    return f"{float(value):.10f}".rstrip("0").rstrip(".")


def mixed(value: Fraction) -> str:
    """A number as whole and fraction, "7 1/4"; as a decimal when no ruler has the fraction."""
    if value.denominator not in (2, 3, 4, 8, 16):
        return decimal(value)
    whole, rest = divmod(value, 1)
    return f"{whole} {rest}" if whole else str(rest)


def _unfolded(character: str) -> str:
    """One character without compatibility forms; "½" and "³" start a new word."""
    apart = unicodedata.decomposition(character).startswith(("<fraction>", "<super>"))
    unfolded = unicodedata.normalize("NFKC", character)
    return f" {unfolded}" if apart else unfolded
