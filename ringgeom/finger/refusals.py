"""What is said when a text names no finger size, or more than one."""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction

from ringgeom.errors import BeyondScaleError, Problem, SizeError
from ringgeom.finger.letters import letter_number
from ringgeom.finger.numerals import NUMBER, decimal, number
from ringgeom.finger.scales import Scale, letter_scale, scales
from ringgeom.finger.size import (
    DIRECTIONS,
    FingerSize,
    Unit,
    measured_size,
    scale_size,
)

# Common practice: near the middle of the sizes of adults. Of several readings the one
# closest to it is named as the nearest.
_USUAL_FINGER_MM = 17.5

# Nobody leaves out cm.
_UNITS_LEFT_OUT: tuple[Unit, ...] = ("mm", "in")


def readings(words: str) -> tuple[FingerSize, ...]:
    """Every size that the letter or the only number in a text may stand for."""
    place = letter_number(words)
    if place is not None:
        letters = letter_scale()
        return (scale_size(letters, place, asked=words),) if letters.reaches(place) else ()
    numbers = re.findall(NUMBER, words)
    value = number(numbers[0]) if len(numbers) == 1 else None
    return () if value is None or value < 0 else (*_marks(value, words), *_lengths(value, words))


def empty(asked: str) -> SizeError:
    """Nothing was typed."""
    return _refusal(asked, "no size was given")


def too_long(asked: str, most_characters: int) -> SizeError:
    """More text than any size needs."""
    return _refusal(asked, f"a size has at most {most_characters} characters, not {len(asked)}")


def number_alone(asked: str, words: str) -> SizeError:
    """A number without a scale or a direction."""
    return _refusal(asked, "a number alone names no size", readings(words))


def no_direction(asked: str, value: Fraction, unit: Unit) -> SizeError:
    """A length that may run across or around."""
    text = f"{decimal(value)} {unit} may be the diameter or the circumference inside; say which"
    both = (measured_size(value, unit, direction, asked=asked) for direction in DIRECTIONS)
    # "14 in" may also be India's 14, as its prefix is spelled like the inch.
    namesakes = (mark for mark in _marks(value, asked) if mark.label.lower().startswith(unit))
    return _refusal(asked, text, (*both, *namesakes) if value > 0 else ())


def length_beyond(
    asked: str, value: Fraction, unit: Unit, least_mm: float, most_mm: float
) -> SizeError:
    """A length that no finger and no slip explains."""
    text = f"the inside diameter must lie within {least_mm:g} and {most_mm:g} mm"
    return _refusal(asked, text, readings(decimal(value)) if unit != "mm" else ())


def outside_measure(asked: str) -> SizeError:
    """The outside of a ring does not say how large the finger is."""
    text = "the size of a finger is measured inside the ring, not outside"
    return _refusal(asked, text)


def radius(asked: str, value: Fraction, unit: Unit) -> SizeError:
    """A radius: one figure away from a diameter, so it is not guessed."""
    could_be = (measured_size(2 * value, unit, "across", asked=asked),) if value > 0 else ()
    return _refusal(asked, "a size is a diameter or a circumference, not a radius", could_be)


def no_rule(asked: str) -> SizeError:
    """A hand size of Hong Kong or China."""
    text = (
        "charts of Hong Kong and China sizes differ by up to 1.3 mm, so there is no rule for them"
    )
    return _refusal(asked, text, nearest="the finger measured in mm")


def wrong_kind(asked: str, scale: Scale, rest: str) -> SizeError:
    """A scale was named, but what stands beside it is none of its sizes."""
    text = f"sizes of {scale.name} run from {scale.limits}; "
    text += f"{rest!r} is none of them" if rest else "none is given"
    own_first = sorted(readings(rest), key=lambda size: size.scale != scale.name)
    return _refusal(asked, text, tuple(own_first))


def beyond(asked: str, scale: Scale, spelling: str, place: Fraction) -> BeyondScaleError:
    """A size outside the ends of its scale."""
    text = f"sizes of {scale.name} run from {scale.limits}"
    if spelling.startswith("jis"):
        text += "; JIS S 4700 is the ISO scale, the customary Japanese scale is written 'JP 14'"
    could_be = () if scale.written == "letters" else readings(decimal(place))
    end = scale.lowest if place < scale.lowest else scale.highest
    refusal = _refusal(asked, text, could_be, nearest=scale.label(end))
    return BeyondScaleError(refusal.problems)


def not_half(asked: str, scale: Scale, place: Fraction) -> SizeError:
    """A quarter or any other part of a letter."""
    below, above = scale.neighbours(place)
    return _refusal(asked, "letters are whole or half", nearest=f"{below} or {above}")


def not_understood(asked: str, words: str, corrected: FingerSize | None) -> SizeError:
    """Text that is no size; `corrected` is what it becomes when its words are corrected."""
    could_be = readings(words) if corrected is None else (corrected,)
    return _refusal(asked, "this names no finger size", could_be)


def _marks(value: Fraction, asked: str) -> Iterator[FingerSize]:
    """The number as a mark of every scale that has it."""
    for scale in scales():
        if scale.written != "letters" and scale.reaches(value) and scale.marks(value):
            yield scale_size(scale, value, asked=asked)


def _lengths(value: Fraction, asked: str) -> Iterator[FingerSize]:
    """The number as every length that fingers have."""
    for unit in _UNITS_LEFT_OUT:
        for direction in DIRECTIONS:
            size = measured_size(value, unit, direction, asked=asked)
            if size.likely:
                yield size


def _refusal(
    asked: str, text: str, could_be: tuple[FingerSize, ...] = (), *, nearest: str = ""
) -> SizeError:
    if could_be:
        text += f"; it could be {', or '.join(map(str, could_be))}"
        usual = min(could_be, key=lambda size: abs(size.inside_diameter_mm - _USUAL_FINGER_MM))
        nearest = usual.label
    shown = asked if len(asked) <= 40 else f"{asked[:40]}..."
    return SizeError(Problem(text=text, value=shown, allowed=_allowed(), nearest=nearest))


def _allowed() -> str:
    ends = ", ".join(scale.limits for scale in scales())
    return f"{ends}, or a length such as 17.32 mm across, 54.4 mm around, 0.682 in across"
