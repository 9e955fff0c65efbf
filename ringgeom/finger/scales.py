"""The scales of finger sizes: one row of facts/finger_scales.csv each.

Every scale is a straight line, in diameter or in circumference.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import Literal, cast

from ringgeom.facts import table
from ringgeom.finger.letters import Z, lettered
from ringgeom.finger.numerals import decimal, mixed

Written = Literal["decimals", "fractions", "letters"]

_WRITING: dict[str, Callable[[Fraction], str]] = {
    "decimals": decimal,
    "fractions": mixed,
    "letters": lettered,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Scale:
    """A scale of finger sizes. On a scale of letters A counts as 0, Z as 25, Z+1 as 26.

    Attributes
    ----------
    name, prefix : str
        Display name, and what is typed before a size: "North America", "US".
    spellings : tuple of str
        Everything accepted in place of the prefix, in lower case.
    written : {"decimals", "fractions", "letters"}
        How a label of this scale is written.
    measure : {"diameter", "circumference"}
        Which of the two grows by the same step from size to size.
    first, first_mm, per_size_mm : Fraction
        The measure [mm] is first_mm at size `first` and grows by per_size_mm per size.
    lowest, highest, step : Fraction
        The sizes accepted, and the distance between the marks of a gauge.
    caution : str
        Said with every size read on this scale; empty for most.
    source : str
        Where the rule comes from.
    """

    name: str
    prefix: str
    spellings: tuple[str, ...]
    written: Written
    measure: Literal["diameter", "circumference"]
    first: Fraction
    first_mm: Fraction
    per_size_mm: Fraction
    lowest: Fraction
    highest: Fraction
    step: Fraction
    caution: str
    source: str

    def inside_diameter_mm(self, number: Fraction) -> float:
        """Inside diameter [mm] at a size."""
        measure_mm = float(self.first_mm + (number - self.first) * self.per_size_mm)
        return measure_mm if self.measure == "diameter" else measure_mm / math.pi

    def nearest_mark(self, inside_diameter_mm: float) -> Fraction | None:
        """The mark nearest to an inside diameter [mm], or None beyond the ends."""
        around = math.pi if self.measure == "circumference" else 1.0
        steps = (inside_diameter_mm * around - float(self.first_mm)) / float(
            self.per_size_mm * self.step
        )
        mark = self.first + math.floor(steps + 0.5) * self.step
        return mark if self.reaches(mark) else None

    def reaches(self, number: Fraction) -> bool:
        """Whether a size lies between the ends of the scale."""
        return self.lowest <= number <= self.highest

    def marks(self, number: Fraction) -> bool:
        """Whether a gauge of this scale has a mark at this size."""
        return number % self.step == 0

    def past_z(self, number: Fraction) -> bool:
        """Whether a size is one of Z+1, Z+2, ..., on which charts disagree."""
        return self.written == "letters" and number >= Z + 1

    def label(self, number: Fraction) -> str:
        """A size as it is written: "US 7 1/4", "UK N 1/2", "UK Z+1", "ISO 54"."""
        return f"{self.prefix} {_WRITING[self.written](number)}"

    def neighbours(self, number: Fraction) -> tuple[str, str]:
        """Labels of the marks below and above a size."""
        below = number // self.step * self.step
        return self.label(below), self.label(below + self.step)

    @property
    def limits(self) -> str:
        """The ends of the scale as they are written: "US 0 to US 16"."""
        return f"{self.label(self.lowest)} to {self.label(self.highest)}"


@cache
def scales() -> tuple[Scale, ...]:
    """Every scale, in the order in which labels are printed."""
    return tuple(_scale(row) for row in table("finger_scales"))


@cache
def scale_named(name: str) -> Scale:
    """The scale with a display name such as "North America"; KeyError if there is none."""
    return {scale.name: scale for scale in scales()}[name]


@cache
def letter_scale() -> Scale:
    """The scale meant by a letter without a country."""
    return next(scale for scale in scales() if scale.written == "letters")


def _scale(row: dict[str, str]) -> Scale:
    written, measure = row["written"], row["measure"]
    if written not in _WRITING or measure not in ("diameter", "circumference"):
        raise ValueError(f"finger_scales.csv: {row['scale']}: {written!r}, {measure!r}")
    return Scale(
        name=row["scale"],
        prefix=row["prefix"],
        spellings=tuple(row["spellings"].split("; ")),
        written=cast(Written, written),
        measure=cast(Literal["diameter", "circumference"], measure),
        first=Fraction(row["first"]),
        first_mm=Fraction(row["first_mm"]),
        per_size_mm=Fraction(row["per_size_mm"]),
        lowest=Fraction(row["lowest"]),
        highest=Fraction(row["highest"]),
        step=Fraction(row["step"]),
        caution=row["caution"],
        source=row["source"],
    )
