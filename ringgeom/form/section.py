"""The partition of the section: who owns which metal, the single truth of every weight and solid.

The section is cut at every z where anything changes (walls, corners of the frame, places
where a floor meets a dome). In the columns between, all curves are in one order, so the
parts can take their place one after another as plain intervals of radius:

        |  rail  |gap| inlay |gap|  rail  |        columns, left to right
        |        |---- gap ------|        |
        |            body                 |

A wall that waves moves the cuts with the angle; the order of the cuts must not change.
Where it does, the angles are parted into groups, each with its own order.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable
from dataclasses import dataclass, field, replace
from itertools import pairwise
from typing import Any, NamedTuple, TypeVar

import numpy as np

from ringgeom.form.curve import Array, Curve
from ringgeom.form.frame import Chain

Worked = TypeVar("Worked")


class Owner(NamedTuple):
    """Who holds a cell: kind is part, gap, body or recess; claim is its number, -1 for none.

    A joint, the gap between two segments, is cut from the segments' cells by angle.
    """

    kind: str
    claim: int = -1

    @property
    def metal(self) -> Owner:
        """Whose cells it is cut from: the joints of segments lie in the segments' own."""
        return Owner("part", self.claim) if self.kind == "joint" else self


BODY = Owner("body")
RECESS = Owner("recess")


@dataclass(frozen=True, slots=True)
class Cell:
    """A piece of the section: one column, between two curves.

    Two owners share a cell where a press fit overlaps.
    """

    column: int
    low: int
    high: int
    owners: tuple[Owner, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """The partition over a set of angles that share one order of cuts.

    `cuts` has shape (cuts, angles) or (cuts, 1) when nothing waves; `seen` is the column
    of `cuts` on which the order was read.
    """

    angles: Array
    cuts: Array
    seen: int
    curves: tuple[Chain, ...]
    cells: tuple[Cell, ...]
    _kept: dict[Hashable, Any] = field(default_factory=dict, repr=False, compare=False)

    @property
    def turns(self) -> bool:
        """Whether the section changes round the ring."""
        return int(self.cuts.shape[1]) > 1

    def raised(self, by_mm: float) -> Section:
        """The same section with every radius larger by as much [mm]."""
        curves = tuple(chain.raised(by_mm) for chain in self.curves)
        return replace(self, curves=curves, _kept=self._without_radii())

    def _without_radii(self) -> dict[Hashable, Any]:
        """Of what is worked out, that which does not depend on the radii."""
        return {
            key: known
            for key, known in self._kept.items()
            if key == "columns" or (isinstance(key, tuple) and key[0] in ("regions", "pieces"))
        }

    @property
    def columns(self) -> list[list[int]]:
        """For every column, the numbers of its cells."""
        return self.once("columns", self._by_column)

    def _by_column(self) -> list[list[int]]:
        found: list[list[int]] = [[] for _ in range(len(self.cuts) - 1)]
        for number, cell in enumerate(self.cells):
            found[cell.column].append(number)
        return found

    def middle(self, column: int) -> float:
        """z in the middle of a column, at the seen angle [mm]."""
        return 0.5 * float(self.cuts[column, self.seen] + self.cuts[column + 1, self.seen])

    def curve(self, index: int, column: int) -> Curve:
        """The curve of a chain that holds a column."""
        curves = self.curves[index].curves
        return curves[0] if len(curves) == 1 else curves[self._holders(index)[column]]

    def _holders(self, index: int) -> list[int]:
        """For every column, which of a chain's curves holds it."""
        key = "pieces", index
        if key not in self._kept:
            chain = self.curves[index]
            columns = range(len(self.cuts) - 1)
            self._kept[key] = [chain.piece(self.middle(column)) for column in columns]
        found: list[int] = self._kept[key]
        return found

    def r(self, index: int, column: int, cut: int) -> Array:
        """Radius of a curve at a cut, on the column's side of it [mm]."""
        curve = self.curve(index, column)
        radii: Array = self.once(("r", id(curve)), lambda: curve.r(self.cuts))[cut]
        return radii

    def ends_r(self, index: int, column: int) -> tuple[float, float]:
        """Radius of a curve at both ends of a column, at the seen angle [mm]."""
        key = "ends", index
        if key not in self._kept:
            cuts = self.cuts[:, self.seen]
            curves = self.curves[index].curves
            self._kept[key] = (
                list(pairwise(_radii(curves[0], cuts, self.seen)))
                if len(curves) == 1
                else [
                    (curve.at(low, self.seen), curve.at(high, self.seen))
                    for (low, high), curve in zip(
                        pairwise(cuts.tolist()), self._along(index), strict=True
                    )
                ]
            )
        found: tuple[float, float] = self._kept[key][column]
        return found

    def middle_r(self, index: int, column: int) -> float:
        """Radius of a curve in the middle of a column, at the seen angle [mm]."""
        key = "middles", index
        if key not in self._kept:
            cuts = self.cuts[:, self.seen]
            middles = 0.5 * (cuts[:-1] + cuts[1:])
            curves = self.curves[index].curves
            self._kept[key] = (
                _radii(curves[0], middles, self.seen)
                if len(curves) == 1
                else [
                    curve.at(z, self.seen)
                    for z, curve in zip(middles.tolist(), self._along(index), strict=True)
                ]
            )
        found: float = self._kept[key][column]
        return found

    def _along(self, index: int) -> list[Curve]:
        """The curve of a chain in every column."""
        return [self.curve(index, column) for column in range(len(self.cuts) - 1)]

    def once(self, key: Hashable, work: Callable[[], Worked]) -> Worked:
        """Something worked out of the section the first time it is asked for."""
        if key not in self._kept:
            self._kept[key] = work()
        found: Worked = self._kept[key]
        return found

    def moment(self, cell: Cell) -> Array:
        """Integral of r dr dz over a cell, at every angle [mm3/rad]."""
        return self._under(cell.high, cell.column) - self._under(cell.low, cell.column)

    def _under(self, index: int, column: int) -> Array:
        curve = self.curve(index, column)
        under: Array = self.once(("half_r2", id(curve)), lambda: curve.half_r2(self.cuts))
        between: Array = under[column + 1] - under[column]
        return between

    def area(self, cell: Cell) -> float:
        """Plain area of a cell at the seen angle [mm2], by a rule that is exact to rounding."""
        z0, z1 = (float(self.cuts[cell.column + side, self.seen]) for side in (0, 1))
        z = 0.5 * (z0 + z1) + 0.5 * (z1 - z0) * GAUSS_NODES
        high, low = (self._seen_curve(i, cell.column).r(z) for i in (cell.high, cell.low))
        return float(0.5 * (z1 - z0) * ((high - low) @ GAUSS_WEIGHTS))

    def seen_r(self, index: int, column: int, z: float) -> float:
        """Radius of a curve at any z of a column, at the seen angle [mm]."""
        return self.curve(index, column).at(z, self.seen)

    def _seen_curve(self, index: int, column: int) -> Curve:
        return self.curve(index, column).picked(np.array([self.seen]))


def _radii(curve: Curve, z: Array, seen: int) -> list[float]:
    """Radius of a curve at some z, at one of its angles [mm]."""
    found: list[float] = np.broadcast_to(curve.picked(np.array([seen])).r(z), z.shape).tolist()
    return found


_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(24)
GAUSS_NODES = np.sin(0.5 * np.pi * _NODES)
GAUSS_WEIGHTS = 0.5 * np.pi * np.cos(0.5 * np.pi * _NODES) * _WEIGHTS
"""Gauss's rule over z = sin t, to which a dome that ends upright is smooth too."""
