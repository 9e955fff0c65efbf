"""A finger size once read: the inside diameter, and how it was asked for."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from ringgeom.finger.numerals import decimal
from ringgeom.finger.scales import Scale
from ringgeom.units import MM_PER_INCH

Direction = Literal["across", "around"]
Unit = Literal["mm", "cm", "in"]

MEASURED: dict[Direction, str] = {
    "across": "inside diameter",
    "around": "inside circumference",
}
"""What stands in the place of a scale's name when the size was given as a length."""

DIRECTIONS: tuple[Direction, ...] = ("across", "around")

MM_PER_UNIT: dict[Unit, Fraction] = {
    "mm": Fraction(1),
    "cm": Fraction(10),
    "in": Fraction(str(MM_PER_INCH)),
}

UNLIKELY_BELOW_MM = 11.0
UNLIKELY_ABOVE_MM = 26.0
"""Inside diameters beyond these are questioned, never refused (common practice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FingerSize:
    """A size somebody asked for, and the one number it stands for.

    Attributes
    ----------
    asked : str
        The text as it was typed.
    scale : str
        Display name of the scale, or "inside diameter" / "inside circumference".
    label : str
        The size in its usual spelling; reads back to the same diameter.
    inside_diameter_mm : float
        Inside diameter [mm].
    notes : tuple of str
        What the reader should know about this label; empty when there is nothing to say.
    """

    asked: str
    scale: str
    label: str
    inside_diameter_mm: float
    notes: tuple[str, ...] = ()

    @property
    def circumference_mm(self) -> float:
        """Inside circumference [mm]."""
        return math.pi * self.inside_diameter_mm

    @property
    def likely(self) -> bool:
        """Whether a finger of this size is common enough to need no question."""
        return likely_finger(self.inside_diameter_mm)

    def __str__(self) -> str:
        across, around = self.inside_diameter_mm, self.circumference_mm
        return f"{self.label} ({across:.2f} mm across, {around:.2f} mm around)"


def likely_finger(inside_diameter_mm: float) -> bool:
    """Whether an inside diameter [mm] is one that fingers have."""
    return UNLIKELY_BELOW_MM <= inside_diameter_mm <= UNLIKELY_ABOVE_MM


def scale_size(scale: Scale, number: Fraction, *, asked: str) -> FingerSize:
    """The size at a place on a scale; the caller has checked that the scale reaches it."""
    return FingerSize(
        asked=asked,
        scale=scale.name,
        label=scale.label(number),
        inside_diameter_mm=scale.inside_diameter_mm(number),
        notes=_notes(scale, number),
    )


def measured_size(
    length: Fraction, unit: Unit, direction: Direction, *, asked: str, unit_given: bool = True
) -> FingerSize:
    """The size of a finger given as a length across or around; the caller has checked it."""
    length_mm = float(length * MM_PER_UNIT[unit])
    return FingerSize(
        asked=asked,
        scale=MEASURED[direction],
        label=f"{decimal(length)} {unit} {direction}",
        inside_diameter_mm=length_mm if direction == "across" else length_mm / math.pi,
        notes=() if unit_given else ("no unit was given; mm was understood",),
    )


def _notes(scale: Scale, number: Fraction) -> tuple[str, ...]:
    notes = [scale.caution] if scale.caution else []
    if not scale.marks(number):
        below, above = scale.neighbours(number)
        notes.append(f"between marks: {scale.label(number)} lies between {below} and {above}")
    if scale.past_z(number):
        notes.append(
            f"charts disagree beyond Z (some make each step a half size); here "
            f"{scale.label(number)} is {scale.inside_diameter_mm(number):.2f} mm across, "
            f"by {float(scale.per_size_mm)} mm around for each step"
        )
    return tuple(notes)
