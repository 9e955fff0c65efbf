"""Sizes that can be read but were probably meant otherwise."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from ringgeom.finger.scales import scale_named, scales
from ringgeom.finger.size import (
    MEASURED,
    UNLIKELY_ABOVE_MM,
    UNLIKELY_BELOW_MM,
    FingerSize,
    likely_finger,
    scale_size,
)
from ringgeom.units import MM_PER_INCH

SuspicionKind = Literal[
    "diameter for circumference",
    "circumference for diameter",
    "inches",
    "radius for diameter",
    "scale",
]

# Common practice: hardly any finger is larger than the first, most lie within the others.
_LARGE_MM = 22.5
_ORDINARY_FROM_MM, _ORDINARY_TO_MM = 14.0, 22.0

_WORDS: dict[SuspicionKind, str] = {
    "diameter for circumference": "{:.6g} mm around is not a finger size; it looks like a diameter",
    "circumference for diameter": (
        "{:.6g} mm across is not a finger size; it looks like a circumference"
    ),
    "radius for diameter": "{:.6g} mm across is not a finger size; it looks like a radius",
    "inches": "{:.6g} mm is not a finger size; it looks like inches",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Suspicion:
    """A likely slip in a size that was read.

    Attributes
    ----------
    kind : str
        Which slip.
    value_mm : float
        The length as it was understood [mm]; for kind "scale" the inside diameter.
    text : str
        What is odd about it.
    fix : str
        The size as it should be typed if the suspicion is right.
    """

    kind: SuspicionKind
    value_mm: float
    text: str
    fix: str


def suspicion(size: FingerSize) -> Suspicion | None:
    """The slip that probably led to a size, or None if there is no sign of one.

    Parameters
    ----------
    size : FingerSize
        A size that was read.

    Returns
    -------
    Suspicion or None
        The slip that turns an unlikely finger into a likely one.

    Source
    ------
    The slips are common practice, no source; a finger is likely from 11 to 26 mm across.

    Examples
    --------
    >>> from ringgeom.finger import read_size
    >>> suspicion(read_size("17.3 mm around")).fix
    '17.3 mm across'
    """
    if size.scale == MEASURED["across"]:
        return _across(size)
    if size.scale == MEASURED["around"]:
        return _around(size)
    return _number_of_another_scale(size)


def hints(size: FingerSize) -> tuple[str, ...]:
    """All that should be said about a size: its notes, then what is odd about it."""
    doubt = suspicion(size)
    if doubt is not None:
        return (*size.notes, f"{doubt.text}; if so, write {doubt.fix!r}")
    if not size.likely:
        return (
            *size.notes,
            f"{size.inside_diameter_mm:.2f} mm across is unlikely for a finger; fingers lie "
            f"between {UNLIKELY_BELOW_MM:g} and {UNLIKELY_ABOVE_MM:g} mm",
        )
    return size.notes


def _across(size: FingerSize) -> Suspicion | None:
    typed_mm = size.inside_diameter_mm
    if size.likely:
        return None
    if likely_finger(typed_mm / math.pi):
        return _doubt("circumference for diameter", typed_mm, f"{typed_mm:.6g} mm around")
    if likely_finger(2 * typed_mm):
        return _doubt("radius for diameter", typed_mm, f"{2 * typed_mm:.6g} mm across")
    if likely_finger(typed_mm * MM_PER_INCH):
        return _doubt("inches", typed_mm, f"{typed_mm:.6g} in across")
    return None


def _around(size: FingerSize) -> Suspicion | None:
    typed_mm = size.circumference_mm
    if size.likely:
        return None
    if likely_finger(typed_mm):
        return _doubt("diameter for circumference", typed_mm, f"{typed_mm:.6g} mm across")
    if likely_finger(typed_mm * MM_PER_INCH / math.pi):
        return _doubt("inches", typed_mm, f"{typed_mm:.6g} in around")
    return None


def _doubt(kind: SuspicionKind, value_mm: float, fix: str) -> Suspicion:
    return Suspicion(kind=kind, value_mm=value_mm, text=_WORDS[kind].format(value_mm), fix=fix)


def _number_of_another_scale(size: FingerSize) -> Suspicion | None:
    """A huge finger whose number is an ordinary one on another scale: US 14 for JP 14."""
    if size.inside_diameter_mm <= _LARGE_MM:
        return None
    ordinary = [other for other in _same_number(size) if _is_ordinary(other)]
    if not ordinary:
        return None
    choice = " or ".join(map(str, ordinary))
    return Suspicion(
        kind="scale",
        value_mm=size.inside_diameter_mm,
        text=f"{size} is a very large finger; an ordinary one is {choice}",
        fix=ordinary[0].label,
    )


def _same_number(size: FingerSize) -> Iterator[FingerSize]:
    """The same number on every scale that has a mark for it; nothing for a letter."""
    asked_scale = scale_named(size.scale)
    place = asked_scale.nearest_mark(size.inside_diameter_mm)
    if place is None or asked_scale.label(place) != size.label or asked_scale.written == "letters":
        return
    for scale in scales():
        if scale.written != "letters" and scale.reaches(place) and scale.marks(place):
            yield scale_size(scale, place, asked=scale.label(place))


def _is_ordinary(size: FingerSize) -> bool:
    return _ORDINARY_FROM_MM <= size.inside_diameter_mm <= _ORDINARY_TO_MM
