"""Letters as sizes: A counts as 0, N as 13, Z as 25, Z+1 as 26; halves lie between."""

from __future__ import annotations

import math
import re
from fractions import Fraction

from ringgeom.finger.numerals import NUMBER, number

_LETTERS = "abcdefghijklmnopqrstuvwxyz"
Z = Fraction(_LETTERS.index("z"))

_LETTER_SIZE = re.compile(rf"([a-z])(?: ?\+ ?([0-9]+))? ?({NUMBER}|half)?")


def letter_number(plain_text: str) -> Fraction | None:
    """Place of a letter size in tidied text ("n", "n 1/2", "n.5", "z+1"); None if it is none.

    A letter before a number of 1 or more is no letter size: "d 17.32" is a diameter.
    """
    match = _LETTER_SIZE.fullmatch(plain_text)
    if match is None:
        return None
    letter, beyond, rest = match.groups()
    part = Fraction(1, 2) if rest == "half" else number(rest or "0")
    if part is None or not 0 <= part < 1 or (beyond and letter != "z"):
        return None
    return _LETTERS.index(letter) + int(beyond or 0) + part


def lettered(place: Fraction) -> str:
    """A place as it is written: "N", "N 1/2", "Z", "Z 1/2", "Z+1", "Z+1 1/2"."""
    whole = math.floor(place)
    letter = _LETTERS[whole].upper() if whole <= Z else f"Z+{whole - Z}"
    return letter if place == whole else f"{letter} {place - whole}"
