"""One finger, seen on every scale: the nearest mark of each, and how far off it is."""

from __future__ import annotations

import math
from dataclasses import dataclass

from ringgeom.errors import Problem, SizeError
from ringgeom.finger.scales import scales


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """The mark of a scale nearest to a finger.

    Attributes
    ----------
    scale : str
        Display name of the scale.
    label : str
        The mark as it is written, "US 7 1/4"; reads back to inside_diameter_mm.
    inside_diameter_mm : float
        Inside diameter of the mark itself [mm].
    residual_mm : float
        Inside circumference of the finger less that of the mark [mm].
    """

    scale: str
    label: str
    inside_diameter_mm: float
    residual_mm: float

    def __str__(self) -> str:
        # Adding 0.0 turns a rounded -0.0 into 0.0.
        return f"{self.label} ({round(self.residual_mm, 2) + 0.0:+.2f} mm around)"


def labels(inside_diameter_mm: float) -> tuple[Label, ...]:
    """Nearest mark of every scale that reaches a finger.

    Parameters
    ----------
    inside_diameter_mm : float
        Inside diameter [mm], positive and finite.

    Returns
    -------
    tuple of Label
        One per scale, in the order of facts/finger_scales.csv; a scale whose nearest mark
        would lie beyond its ends is left out.

    Raises
    ------
    SizeError
        The diameter is not positive and finite.

    Source
    ------
    facts/finger_scales.csv, one source per scale.

    Examples
    --------
    >>> [str(label) for label in labels(17.3228)][:2]
    ['ISO 54 (+0.42 mm around)', 'US 7 (+0.00 mm around)']
    """
    if not 0 < inside_diameter_mm < math.inf:
        raise SizeError(
            Problem(
                text="an inside diameter is a positive number of mm",
                value=repr(inside_diameter_mm),
                allowed="more than 0",
            )
        )
    found = []
    for scale in scales():
        mark = scale.nearest_mark(inside_diameter_mm)
        if mark is not None:
            mark_mm = scale.inside_diameter_mm(mark)
            found.append(
                Label(
                    scale=scale.name,
                    label=scale.label(mark),
                    inside_diameter_mm=mark_mm,
                    residual_mm=math.pi * (inside_diameter_mm - mark_mm),
                )
            )
    return tuple(found)
