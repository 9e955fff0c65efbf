"""A joint as the solder plan is asked for it: between what, how large, how wide."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from ringgeom.errors import InputError, Problem
from ringgeom.metal.alloy import Alloy

DoneWith = Literal["solder", "weld", "cast", "press", "touch", "adhesive"]

FIRST = ("weld", "cast")
"""Done before any solder: hotter than every solder."""

LAST = ("press", "touch", "adhesive")
"""Done after the fire: glue burns and a press fit may open in it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class JointAsked:
    """A joint to be made.

    Attributes
    ----------
    name : str
        Of the joint.
    between : (str, str)
        The two parts; the same one twice for a strip that is closed.
    alloys : (Alloy, Alloy)
        Their alloys, in the same order.
    area_mm2 : float
        Of the face [mm2].
    gap_mm : float
        Between the faces [mm]; above 0 where solder is to flow.
    kind : str
        ``seam`` where a ring is closed by itself; anything else is assembly.
    setting : str
        What is set when the joint closes: joints of one setting close in one heat. Empty for a
        joint by itself.
    stage : int
        When in the assembly: joints of a lower stage come first.
    done_with : str
        ``solder``, ``weld``, ``cast``, ``press``, ``touch`` or ``adhesive``.

    Raises
    ------
    InputError
        The face has no area, solder has no gap to flow in, or one part has two alloys.
    """

    name: str
    between: tuple[str, str]
    alloys: tuple[Alloy, Alloy]
    area_mm2: float
    gap_mm: float
    kind: str
    done_with: DoneWith = "solder"
    setting: str = ""
    stage: int = 0

    def __post_init__(self) -> None:
        problems = []
        if not 0 < self.area_mm2 < math.inf:
            value = f"{self.area_mm2:g} mm2"
            problems.append(Problem(text=f"{self.name}: no area", value=value, allowed="above 0"))
        soldered = self.done_with == "solder"
        if not math.isfinite(self.gap_mm) or (soldered and self.gap_mm <= 0):
            problems.append(
                Problem(
                    text=f"{self.name}: solder needs a gap to flow in",
                    value=f"{self.gap_mm:g} mm",
                    allowed="above 0 mm; 0.025 to 0.125 mm is usual",
                    nearest="0.05 mm, or a press fit",
                )
            )
        if self.between[0] == self.between[1] and self.alloys[0] != self.alloys[1]:
            value = " and ".join(alloy.name for alloy in self.alloys)
            problems.append(Problem(text=f"{self.between[0]} is of two alloys", value=value))
        if problems:
            raise InputError(problems)

    @property
    def seam(self) -> bool:
        """Whether it closes one ring by itself."""
        return self.kind == "seam"

    @property
    def alone(self) -> bool:
        """Whether its ring is alone in the fire: a seam that is not closed in its place."""
        return self.seam and not self.setting

    @property
    def metals(self) -> tuple[str, ...]:
        """The metals that meet: one or two of gold, silver, platinum, palladium and base."""
        return tuple(dict.fromkeys(alloy.recipe.precious for alloy in self.alloys))

    @property
    def silver_beside_gold(self) -> bool:
        """Whether overheated silver would take the gold away."""
        return set(self.metals) == {"silver", "gold"}

    @property
    def heat_of(self) -> tuple[frozenset[str], bool, str]:
        """Joints that share it are made in one heat: of one setting, or between the same parts."""
        what = frozenset({self.setting}) if self.setting else frozenset(self.between)
        return what, self.alone, self.done_with

    def rank(self) -> tuple[int, bool, bool, int, bool, float]:
        """Sorts joints: welding, platinum, seams, the stages; silver beside gold late in its own.

        Within all that the higher solidus comes first.
        """
        order = 0 if self.done_with in FIRST else 2 if self.done_with in LAST else 1
        platinum = self.metals == ("platinum",)
        known = [alloy.solidus_c for alloy in self.alloys if alloy.solidus_c is not None]
        # an unknown solidus may be the lowest of all, so it comes last of its kind
        lowest = min(known) if len(known) == 2 else 0.0
        return order, not platinum, not self.alone, self.stage, self.silver_beside_gold, -lowest
