"""The stack-up of a ring from the finger outwards, at mid-width, at its edges, through its parts.

mid-width           left edge
reed   0.75         body   1.40
gap    0.05
body   1.10
finger              finger
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from ringgeom.form.places import AnyPlace
from ringgeom.form.ring import Ring
from ringgeom.form.section import Cell, Owner, Section
from ringgeom.making.as_made import claim_names

TOUCH_MM = 1e-9
"""Thinner than this a layer is none."""

SAME_PLACE_MM = 0.01
"""Nearer to each other than this, two places across the width are one."""

Kind = Literal["part", "gap", "press"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Layer:
    """One layer of a stack: a part, a gap, or the metal that a press fit wants twice.

    Attributes
    ----------
    name : str
        Of the part; of the parts on both sides of a gap: ``body to reed``.
    from_mm, to_mm : float
        Diameters [mm].
    """

    name: str
    kind: Kind
    from_mm: float
    to_mm: float

    @property
    def thickness_mm(self) -> float:
        """On the radius [mm]."""
        return (self.to_mm - self.from_mm) / 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Stack:
    """The layers at one place across the width, from the finger outwards.

    `at` says what the place is, `at_mm` where it is from mid-width [mm].
    """

    at: str
    at_mm: float
    layers: tuple[Layer, ...]

    @property
    def thickness_mm(self) -> float:
        """From the bore to the outside, gaps included [mm]."""
        return (self.layers[-1].to_mm - self.layers[0].from_mm) / 2


def stacks(ring: Ring, places: Sequence[AnyPlace]) -> tuple[Stack, ...]:
    """Stack-ups of the finished ring, from left to right across the width.

    They are read where the ring is looked at: at angle 0, or in its first segment.

    Parameters
    ----------
    places : sequence of places
        For each claim of the ring, the place that made it.
    """
    ((_, section),) = ring.sections(np.array([ring.seen_angle]))
    names = claim_names(ring, places)
    half = ring.form.width_mm / 2
    edge = half - ring.form.edge_mm
    where = [("mid-width", 0.0), ("left edge", -edge), ("right edge", edge)]
    for index, name in enumerate(names):
        middle = _middle(section, Owner("part", index))
        if middle is not None:
            where.append((name, middle))
    found: list[Stack] = []
    for at, z in where:
        layers = _layers(section, z, names)
        if layers and layers[0].kind == "gap":
            # down a slit between two halves there is no stack: read beside it
            z = _beyond(section, z)
            layers = _layers(section, z, names)
        if layers and all(abs(z - known.at_mm) > SAME_PLACE_MM for known in found):
            found.append(Stack(at=at, at_mm=z, layers=layers))
    return tuple(sorted(found, key=lambda stack: stack.at_mm))


def _beyond(section: Section, z_mm: float) -> float:
    """Just to the right of the column that holds a place [mm]."""
    cuts = section.cuts[:, section.seen]
    column = int(np.clip(np.searchsorted(cuts, z_mm, side="right"), 0, len(cuts) - 1))
    return float(cuts[column]) + 1e-6


def _middle(section: Section, owner: Owner) -> float | None:
    """z in the middle of what an owner holds [mm]; None where it is not."""
    columns = [cell.column for cell in section.cells if owner in cell.owners]
    if not columns:
        return None
    first, last = section.cuts[min(columns)], section.cuts[max(columns) + 1]
    return 0.5 * float(first[section.seen] + last[section.seen])


def _layers(section: Section, z_mm: float, names: Sequence[str]) -> tuple[Layer, ...]:
    """Layers over one place across the width; what belongs together is one layer."""
    cuts = section.cuts[:, section.seen]
    column = int(np.clip(np.searchsorted(cuts, z_mm, side="right") - 1, 0, len(cuts) - 2))
    cells = [c for c in section.cells if c.column == column]
    cells.sort(key=lambda c: section.seen_r(c.low, column, z_mm))
    while cells and cells[-1].owners[0].kind == "recess":
        cells.pop()
    found: list[Layer] = []
    for cell in cells:
        low, high = (2 * section.seen_r(i, column, z_mm) for i in (cell.low, cell.high))
        kind, name = _named(cell, names)
        if high - low <= 2 * TOUCH_MM:
            continue
        if found and found[-1].name == name and abs(found[-1].to_mm - low) <= 2 * TOUCH_MM:
            low = found.pop().from_mm
        found.append(Layer(name=name, kind=kind, from_mm=low, to_mm=high))
    return tuple(_between(found, number) for number in range(len(found)))


def _named(cell: Cell, names: Sequence[str]) -> tuple[Kind, str]:
    metal = sorted(o for o in cell.owners if o.kind in ("part", "body"))[::-1]
    said = ["body" if owner.claim < 0 else names[owner.claim] for owner in metal]
    if len(said) > 1:
        return "press", " and ".join(said)
    return ("part", said[0]) if said else ("gap", "gap")


def _between(layers: Sequence[Layer], number: int) -> Layer:
    """A layer; a gap is named after what lies on both its sides."""
    layer = layers[number]
    if layer.kind != "gap" or not 0 < number < len(layers) - 1:
        return layer
    name = f"{layers[number - 1].name} to {layers[number + 1].name}"
    return Layer(name=name, kind="gap", from_mm=layer.from_mm, to_mm=layer.to_mm)
