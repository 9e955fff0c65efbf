"""From what somebody typed to a finger size, on any scale and in any usual spelling."""

from __future__ import annotations

import re
from fractions import Fraction
from functools import cache

from ringgeom.errors import SizeError
from ringgeom.finger import refusals
from ringgeom.finger.letters import letter_number
from ringgeom.finger.numerals import NUMBER, number, plain
from ringgeom.finger.scales import Scale, letter_scale, scales
from ringgeom.finger.size import Direction, FingerSize, Unit, measured_size, scale_size

_MOST_CHARACTERS = 60

# No slip known to us lands beyond these: inches typed as mm give 0.43 for the smallest
# finger, the circumference typed as the diameter gives 82 for the largest.
_LEAST_MM, _MOST_MM = 0.43, 100.0

_UNITS: dict[str, Unit] = {
    **dict.fromkeys(("mm", "millimetre", "millimetres", "millimeter", "millimeters"), "mm"),
    **dict.fromkeys(("cm", "centimetre", "centimetres", "centimeter", "centimeters"), "cm"),
    **dict.fromkeys(("in", "inch", "inches", '"'), "in"),
}
_DIRECTIONS: dict[str, Direction] = {
    **dict.fromkeys(("across", "diameter", "diam", "dia", "id", "ø", "d"), "across"),
    **dict.fromkeys(("around", "round", "circumference", "circ", "c"), "around"),
}
_FILLING = frozenset(("inside", "inner", "internal", "bore", "of", "the"))
_OUTSIDE = frozenset(("outside", "outer", "external", "od"))
_RADIUS = frozenset(("radius", "rad", "r"))
_NO_RULE = re.compile(r"\b(hong kong|hk|china|chinese|cn)\b")


def read_size(text: str) -> FingerSize:
    """The finger size that a text names.

    Parameters
    ----------
    text : str
        A size on a scale ("US 7 1/4", "ISO 54", "UK N½", "n.5", "JP 14") or an inside
        measure ("17,32 mm across", "54.4 mm around", "ø 17.32", '0.682" across').

    Returns
    -------
    FingerSize
        The size, with the inside diameter [mm].

    Raises
    ------
    SizeError
        The text names no size, more than one, or one outside its scale; the error says
        what each reading would be in mm.

    Source
    ------
    facts/finger_scales.csv, one source per scale.

    Examples
    --------
    >>> print(read_size("us7"))
    US 7 (17.32 mm across, 54.42 mm around)
    """
    if len(text) > _MOST_CHARACTERS:
        raise refusals.too_long(text, _MOST_CHARACTERS)
    words = plain(text)
    if not words:
        raise refusals.empty(text)
    size = _understood(text, words)
    if size is not None:
        return size
    if number(words) is not None:
        raise refusals.number_alone(text, words)
    if _NO_RULE.search(words):
        raise refusals.no_rule(text)
    raise refusals.not_understood(text, words, _with_corrected_words(words))


def place_on_scale(text: str) -> tuple[Scale, Fraction] | None:
    """The scale and the place on it that a text names, also past its ends; None for a length.

    A letter by itself is of the scale of letters.
    """
    words = plain(text)
    scale, _, rest = _parted(words)
    if scale is None and letter_number(words) is not None:
        scale, rest = letter_scale(), words
    if scale is None:
        return None
    place = letter_number(rest) if scale.written == "letters" else number(rest)
    return None if place is None else (scale, place)


def _understood(asked: str, words: str) -> FingerSize | None:
    return _on_named_scale(asked, words) or _on_letters(asked, words) or _measured(asked, words)


def _on_named_scale(asked: str, words: str) -> FingerSize | None:
    scale, spelling, rest = _parted(words)
    if scale is None:
        return None
    # "UK/AU N" names one scale twice.
    while (again := _parted(rest))[0] is scale:
        rest = again[2]
    place = letter_number(rest) if scale.written == "letters" else number(rest)
    if place is None:
        raise refusals.wrong_kind(asked, scale, rest)
    if not scale.reaches(place):
        raise refusals.beyond(asked, scale, spelling, place)
    if scale.written == "letters" and not scale.marks(place):
        raise refusals.not_half(asked, scale, place)
    return scale_size(scale, place, asked=asked)


def _parted(words: str) -> tuple[Scale | None, str, str]:
    """The scale that a text names before or after a size, as it was spelled, and the rest."""
    before, after = _scale_patterns()
    match = before.fullmatch(words) or after.fullmatch(words)
    if match is None:
        return None, "", words
    return _spellings()[match["spelling"]], match["spelling"], match["rest"]


def _on_letters(asked: str, words: str) -> FingerSize | None:
    if letter_number(words) is None:
        return None
    return _on_named_scale(asked, f"{letter_scale().spellings[0]} {words}")


def _measured(asked: str, words: str) -> FingerSize | None:
    tokens = re.findall(rf"{NUMBER}|[^\W\d_]+|\S", words)
    values = [value for token in tokens if (value := number(token)) is not None]
    said = {token for token in tokens if number(token) is None}
    known = said <= {*_UNITS, *_DIRECTIONS, *_FILLING, *_OUTSIDE, *_RADIUS}
    directions = {_DIRECTIONS[word] for word in said if word in _DIRECTIONS}
    units = [_UNITS[word] for word in tokens if word in _UNITS]
    if len(values) != 1 or not said or not known or len(directions) > 1 or len(units) > 1:
        return None
    value, unit = values[0], units[0] if units else "mm"
    if said & _OUTSIDE:
        raise refusals.outside_measure(asked)
    if said & _RADIUS:
        raise refusals.radius(asked, value, unit)
    if not directions:
        raise refusals.no_direction(asked, value, unit)
    size = measured_size(value, unit, directions.pop(), asked=asked, unit_given=bool(units))
    if not _LEAST_MM <= size.inside_diameter_mm <= _MOST_MM:
        raise refusals.length_beyond(asked, value, unit, _LEAST_MM, _MOST_MM)
    return size


def _with_corrected_words(words: str) -> FingerSize | None:
    """The size the text names once every word is replaced by the most similar known one."""
    # Needed only when refusing.
    from difflib import get_close_matches

    known = {*_spellings(), *_UNITS, *_DIRECTIONS}

    def corrected(word: re.Match[str]) -> str:
        return next(iter(get_close_matches(word[0], known, n=1)), word[0])

    better = re.sub(r"[^\W\d_]{2,}", corrected, re.sub(r"\bz ?(?=[1-9])", "z+", words))
    try:
        return _understood(better, better)
    except SizeError:
        return None


@cache
def _spellings() -> dict[str, Scale]:
    return {
        plain(spelling): scale
        for scale in scales()
        for spelling in (scale.prefix, scale.name, *scale.spellings)
    }


@cache
def _scale_patterns() -> tuple[re.Pattern[str], re.Pattern[str]]:
    """Patterns of a scale's name before a size and after it."""
    longest_first = sorted(_spellings(), key=len, reverse=True)
    before = "|".join(map(re.escape, longest_first))
    # "14 in" is 14 inches; India's IN stands before its number.
    after = "|".join(re.escape(spelling) for spelling in longest_first if spelling not in _UNITS)
    return (
        re.compile(rf"(?P<spelling>{before})(?![^\W\d_])[ -]?(?P<rest>.*)"),
        re.compile(rf"(?P<rest>.*?) ?(?<![^\W\d_])(?P<spelling>{after})"),
    )
