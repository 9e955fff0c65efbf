"""One step of the solder plan: its heat, its grade, how hot the fire may get, its grams."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import Literal

from ringgeom.making.joint_asked import JointAsked
from ringgeom.metal.recipe import Recipe
from ringgeom.metal.solder import Grade
from ringgeom.units import mass_g

State = Literal["fits", "unknown", "none", "other"]

SYMBOLS = {"gold": "Au", "silver": "Ag", "platinum": "Pt", "palladium": "Pd"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """How hot a fire may get, all in C; infinite where nothing limits it.

    `lowest_part` and `lowest_solder` say what limits; `unknown` names all in the fire whose
    solidus no source gives.
    """

    lowest_part: str = ""
    parts_c: float = math.inf
    lowest_solder: str = ""
    solders_c: float = math.inf
    unknown: tuple[str, ...] = ()

    @property
    def limit_c(self) -> float:
        """The lower of the two."""
        return min(self.parts_c, self.solders_c)

    def allow(self, grade: Grade) -> bool:
        """Whether a grade flows below both; it must stay truly below a solder's solidus."""
        return grade.liquidus_c <= self.parts_c and grade.liquidus_c < self.solders_c

    def __str__(self) -> str:
        by = self.lowest_part if self.parts_c <= self.solders_c else self.lowest_solder
        return f"{self.limit_c:.0f} C by {by}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """A joint of the plan.

    Attributes
    ----------
    joint : JointAsked
        What is joined.
    heat : int
        When; joints with the same number are made in one heat.
    state : str
        ``fits``; ``unknown``: a solidus is not known, so no grade is judged; ``none``: no grade
        fits; ``other``: it is not soldered.
    grade : Grade or None
        The solder, where it fits.
    counted_as : Grade or None
        The solder that its grams are counted as, also where it could not be judged.
    limits : Limits
        How hot this fire may get.
    filler_mm3 : float
        Solder taken [mm3].
    with_joint : str
        Joint of the same heat that comes first, or empty.
    offered : tuple of Grade
        What was tried, the likeliest first.
    """

    joint: JointAsked
    heat: int
    state: State = "other"
    grade: Grade | None = None
    counted_as: Grade | None = None
    limits: Limits = field(default_factory=Limits)
    filler_mm3: float = 0.0
    with_joint: str = ""
    offered: tuple[Grade, ...] = ()

    @property
    def window_c(self) -> float | None:
        """From the liquidus of the grade up to the limit [C]; None where it is not known."""
        if self.grade is None or not math.isfinite(self.limits.limit_c):
            return None
        return self.limits.limit_c - self.grade.liquidus_c

    @property
    def filler_g(self) -> float | None:
        """Solder taken [g]; None where none is chosen."""
        if self.counted_as is None:
            return None
        return mass_g(self.filler_mm3, self.counted_as.density_g_cm3)

    @property
    def counts_with(self) -> str:
        """Metal of the parts that the solder counts with: its own, else the first part's."""
        metals = self.joint.metals
        if self.counted_as is not None and self.counted_as.metal in metals:
            return self.counted_as.metal
        return next((metal for metal in metals if metal != "base"), metals[0])

    @property
    def fineness_permille(self) -> float | None:
        """Of `counts_with` in the solder [permille]; None where none is chosen."""
        if self.counted_as is None:
            return None
        if self.counted_as.metal == self.counts_with:
            return self.counted_as.fineness_permille
        symbol = SYMBOLS.get(self.counts_with, "")
        recipe: Recipe | None = self.counted_as.recipe
        return recipe.fineness_permille(symbol) if recipe else 0.0

    @property
    def text(self) -> str:
        """The step in words."""
        joint = self.joint
        said = f"{joint.name} ({joint.between[0]} to {joint.between[1]}): "
        if self.state == "other":
            return said + joint.done_with
        if self.grade is None:
            why = "no grade fits" if self.state == "none" else "no window"
            return f"{said}{why}, limit {self.limits}" if self.limits.lowest_part else said + why
        said += f"{self.grade.name}, flows at {self.grade.liquidus_c:.0f} C"
        if self.window_c is not None:
            said += f", {self.window_c:.0f} C under the limit ({self.limits})"
        return said + (f", in one heat with {self.with_joint}" if self.with_joint else "")
