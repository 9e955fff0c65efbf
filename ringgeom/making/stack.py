"""The stack-up of a ring from the finger outwards: parts and the gaps between, two places.

mid-width      edge
outer  1.00    outer  1.35
gap    0.05    gap    0.05
liner  0.80    liner  0.80
finger
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from ringgeom.errors import InputError, Problem, ShapeError
from ringgeom.metal.amount import amount_problems

TOUCH_MM = 1e-9
"""Closer than this two layers touch and there is no gap between."""

Layer = tuple[str, float, float]
"""Name, inner radius, outer radius [mm]."""

Kind = Literal["part", "gap"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Reach:
    """From and to, as radii from the finger's axis [mm]; a press fit's gap reaches backwards."""

    from_mm: float
    to_mm: float

    @property
    def thickness_mm(self) -> float:
        return self.to_mm - self.from_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """A part or a gap of the stack.

    Attributes
    ----------
    name : str
        Of the part, or of the two between which a gap is: ``liner to body``.
    kind : str
        ``part`` or ``gap``; a gap below zero is a press fit.
    centre, edge : Reach or None
        At mid-width and at the edge; None where it does not come to that place.
    """

    name: str
    kind: Kind
    centre: Reach | None
    edge: Reach | None

    @property
    def thinnest_mm(self) -> float:
        """The smaller of its thicknesses at the two places [mm]."""
        return min(reach.thickness_mm for reach in (self.centre, self.edge) if reach is not None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Stack:
    """A stack-up table.

    Attributes
    ----------
    rows : tuple of Row
        From the finger outwards.
    total : Reach
        At mid-width, from the bore to the outside, gaps included.
    edge_total : Reach or None
        At the edge.
    """

    rows: tuple[Row, ...]
    total: Reach
    edge_total: Reach | None


def stack_up(centre: Sequence[Layer], edge: Sequence[Layer] = ()) -> Stack:
    """The stack from plain radii, at mid-width and at the edge.

    Parameters
    ----------
    centre, edge : sequence of (str, float, float)
        Name, inner and outer radius [mm], in any order. The same part has the same name at
        both places; none at the edge leaves that column empty.

    Raises
    ------
    InputError
        No layer, a name twice, a radius that is none, an outside not beyond its inside.
    ShapeError
        A layer lies within another.

    Examples
    --------
    >>> found = stack_up([("liner", 9.0, 9.8), ("body", 9.85, 10.9)])
    >>> [row.name for row in found.rows]
    ['liner', 'liner to body', 'body']
    """
    problems = [*_problems(centre, "mid-width"), *_problems(edge, "the edge")]
    if not centre:
        problems.append(Problem(text="nothing is stacked", allowed="one layer or more"))
    if problems:
        raise InputError(problems)
    middle, side = _stacked(centre, "mid-width"), _stacked(edge, "the edge")
    order = list(middle)
    before = -1
    for key in side:
        # what is at the edge only comes after what it lies on there
        if key not in order:
            order.insert(before + 1, key)
        before = order.index(key)
    return Stack(
        rows=tuple(
            Row(name=name, kind=kind, centre=middle.get((kind, name)), edge=side.get((kind, name)))
            for kind, name in order
        ),
        total=_total(centre),
        edge_total=_total(edge) if edge else None,
    )


def _problems(layers: Sequence[Layer], place: str) -> list[Problem]:
    found: list[Problem] = []
    names = [name for name, _, _ in layers]
    for name in sorted({name for name in names if names.count(name) > 1}):
        found.append(
            Problem(
                text=f"two layers have one name at {place}",
                value=f'"{name}"',
                allowed="each name once",
                nearest=f'"{name} 2"',
            )
        )
    for name, inner, outer in layers:
        radii = [
            *amount_problems(f"the inner radius of {name} at {place}", inner, "mm"),
            *amount_problems(f"the outer radius of {name} at {place}", outer, "mm"),
        ]
        if not radii and outer - inner <= TOUCH_MM:
            radii.append(
                Problem(
                    text=f"{name} has no thickness at {place}",
                    value=f"{inner:g} to {outer:g} mm",
                    allowed=f"an outer radius above {inner:g} mm",
                    nearest="leave it out where it runs out",
                )
            )
        found += radii
    return found


def _stacked(layers: Sequence[Layer], place: str) -> dict[tuple[Kind, str], Reach]:
    """Parts and gaps at one place, outwards."""
    ordered = sorted(layers, key=lambda layer: (layer[1], layer[2]))
    found: dict[tuple[Kind, str], Reach] = {}
    last: Layer | None = None
    for layer in ordered:
        name, inner, outer = layer
        if last is not None:
            below, _, top = last
            if outer <= top + TOUCH_MM or inner <= last[1] + TOUCH_MM:
                raise ShapeError(
                    str(
                        Problem(
                            text=f"{name} and {below} lie in the same place at {place}",
                            value=f"{inner:g} to {outer:g} mm",
                            allowed=f"from about {top:g} mm outwards",
                            nearest="give each part the radii that it fills alone",
                        )
                    )
                )
            if abs(inner - top) > TOUCH_MM:
                found["gap", f"{below} to {name}"] = Reach(from_mm=top, to_mm=inner)
        found["part", name] = Reach(from_mm=inner, to_mm=outer)
        last = layer
    return found


def _total(layers: Sequence[Layer]) -> Reach:
    return Reach(
        from_mm=min(inner for _, inner, _ in layers), to_mm=max(outer for _, _, outer in layers)
    )
