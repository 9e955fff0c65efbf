"""Which fill and which hatching each alloy of a job has."""

from __future__ import annotations

from dataclasses import dataclass

from ringgeom.sketch import Sketch


@dataclass(frozen=True, slots=True, kw_only=True)
class Inks:
    """Fill (#RRGGBB, predicted) and number of the hatching, by the alloy's name."""

    fills: dict[str, str]
    numbers: dict[str, int]


def inks(sketch: Sketch) -> Inks:
    """Colours as predicted; hatchings in the order in which the alloys come."""
    names = list(dict.fromkeys(part.alloy.name for part in sketch.parts))
    fills = {alloy.name: found.hex for alloy, found in sketch.colours}
    return Inks(fills=fills, numbers={name: number for number, name in enumerate(names)})
