"""The connected pieces of every owner, followed round the turn.

In one section a part may lie in several regions that are one piece of metal further round,
and what is one region here may be an island that ends where two boundaries cross. Between
two kinks the regions keep their order; at each kink those that overlap are one piece.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import pi

import numpy as np

from ringgeom.form.curve import Array, Whole
from ringgeom.form.outline import Region, regions
from ringgeom.form.quadrature import kinks
from ringgeom.form.ring import Ring
from ringgeom.form.section import Cell, Owner, Section

BESIDE = 1e-6
"""Angle from a kink at which its two sides are looked at [rad]."""

OFF_MIDDLE = 0.4321
"""Where a stretch is looked at, as a share of it."""

OVERLAP_MM = 1e-7


Node = tuple[int, int]
"""A stretch of the turn, and a region in it."""


@dataclass(frozen=True, slots=True, order=True)
class Piece:
    """One connected piece of an owner: its number by rising z, and its segment if it is one."""

    owner: Owner
    number: int = 0
    sector: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """A point inside a piece: angle of the cut [rad], radius and z [mm]."""

    angle: float
    r_mm: float
    z_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Parting:
    """Which piece every region belongs to, stretch by stretch round the turn.

    `starts` are the angles at which the stretches begin; `numbers` holds, for each, the
    piece of every region in the order of `regions` (-1 for a crumb that is no piece); `nodes`
    the regions of every piece.
    """

    starts: Array
    numbers: tuple[tuple[int, ...], ...]
    nodes: tuple[tuple[Node, ...], ...]
    looks: _Looks

    @property
    def count(self) -> int:
        """How many pieces there are."""
        return len(self.nodes)

    def mark(self, number: int) -> Mark:
        """A point inside a piece."""
        return self.looks.mark(self.nodes[number])

    def number(self, angle: float, region: int) -> int:
        """Piece of a region at an angle; -1 where nothing is known of it."""
        mine = self.numbers[self.stretch(np.array([angle]))[0]]
        return mine[region] if region < len(mine) else -1

    def stretch(self, angles: Array) -> Whole:
        """Index of the stretch that holds each angle."""
        return np.maximum(np.searchsorted(self.starts, angles, side="right") - 1, 0)


def parting(
    ring: Ring, owner: Owner, ends: tuple[float, float] | None, *, with_stock: bool
) -> Parting:
    """The pieces of an owner over the whole turn, or between two angles."""
    found: Parting = ring.once(
        ("parting", owner, ends, with_stock), _parting, ring, owner, ends, with_stock
    )
    return found


def _parting(
    ring: Ring, owner: Owner, ends: tuple[float, float] | None, with_stock: bool
) -> Parting:
    start, end = sorted(ends) if ends is not None else (0.0, 2 * pi)
    stops = kinks(ring, with_stock=with_stock)
    inner = stops[(stops > start + BESIDE) & (stops < end - BESIDE)]
    bounds = np.array([start, *inner, end])
    # not the very middle: with round numbers a region just vanishes there, where walls touch
    middles = bounds[:-1] + OFF_MIDDLE * np.diff(bounds)
    looks = _Looks(ring, owner.metal, middles, with_stock)
    if middles.size == 1 and len(looks.regions(0)) == 1:
        return Parting(starts=bounds[:-1], numbers=((0,),), nodes=(((0, 0),),), looks=looks)
    nodes = [(s, k) for s in range(middles.size) for k in range(len(looks.regions(s)))]
    leader = {node: node for node in nodes}

    def root(node: tuple[int, int]) -> tuple[int, int]:
        while leader[node] != node:
            node = leader[node]
        return node

    if middles.size > 1:
        sides = _Looks(
            ring, owner.metal, np.concatenate([inner - BESIDE, inner + BESIDE]), with_stock
        )
        meets = [(s, s + 1, s, inner.size + s) for s in range(inner.size)]
        if ends is None:
            edge = _Looks(ring, owner.metal, np.array([end - BESIDE, BESIDE]), with_stock)
            _unite(leader, root, edge, middles.size - 1, 0, 0, 1)
        for before, after, left, right in meets:
            _unite(leader, root, sides, before, after, left, right)
    groups: dict[tuple[int, int], list[tuple[int, int]]] = {}
    for node in nodes:
        groups.setdefault(root(node), []).append(node)
    ordered = list(groups.values())
    if len(ordered) > 1 and middles.size > 1:
        # where two kinks are one but for the last digits there may be a crumb between them
        ordered = [some for some in ordered if looks.room(some) > OVERLAP_MM] or ordered
        ordered.sort(key=lambda some: (looks.height(some), some[0]))
    number = {node: n for n, some in enumerate(ordered) for node in some}
    return Parting(
        starts=bounds[:-1],
        numbers=tuple(
            tuple(number.get((s, k), -1) for k in range(len(looks.regions(s))))
            for s in range(middles.size)
        ),
        nodes=tuple(tuple(some) for some in ordered),
        looks=looks,
    )


def _unite(
    leader: dict[Node, Node],
    root: Callable[[Node], Node],
    looks: _Looks,
    before: int,
    after: int,
    left: int,
    right: int,
) -> None:
    """Join the regions of two stretches that overlap where they meet."""
    for a in range(len(looks.regions(left))):
        for b in range(len(looks.regions(right))):
            if (before, a) in leader and (after, b) in leader and looks.meet(left, a, right, b):
                leader[root((after, b))] = root((before, a))


class _Looks:
    """The regions of one owner at some angles."""

    def __init__(self, ring: Ring, owner: Owner, angles: Array, with_stock: bool) -> None:
        self.angles = angles
        self._at: dict[int, tuple[Section, int]] = {}
        self._owner = owner
        self._known: dict[tuple[int, int], list[_Box]] = {}
        for which, section in ring.sections(angles, with_stock=with_stock):
            for column, index in enumerate(which.tolist()):
                self._at[index] = (section, column if section.turns else 0)

    def regions(self, index: int) -> list[Region]:
        return regions_of(self._at[index][0], self._owner)

    def _boxes(self, index: int, region: int) -> list[_Box]:
        if (index, region) not in self._known:
            section, column = self._at[index]
            cells = (section.cells[i] for i in sorted(self.regions(index)[region]))
            self._known[index, region] = [_Box(section, column, cell) for cell in cells]
        return self._known[index, region]

    def meet(self, i: int, a: int, j: int, b: int) -> bool:
        """Whether two regions at two angles cover common ground."""
        return any(one.meets(other) for one in self._boxes(i, a) for other in self._boxes(j, b))

    def height(self, nodes: Sequence[Node]) -> float:
        """z of the middle of a piece, for its number [mm]."""
        boxes = [box for s, k in nodes for box in self._boxes(s, k)]
        areas = [max(box.area, 1e-12) for box in boxes]
        weighted = sum(area * box.middle for area, box in zip(areas, boxes, strict=True))
        return round(weighted / sum(areas), 6)

    def room(self, nodes: Sequence[Node]) -> float:
        """How far a piece reaches each way in its roomiest cell [mm]."""
        return max(box.room for s, k in nodes for box in self._boxes(s, k))

    def mark(self, nodes: Sequence[Node]) -> Mark:
        """The middle of a piece's roomiest cell."""
        boxes = [(s, box) for s, k in nodes for box in self._boxes(s, k)]
        s, box = max(boxes, key=lambda one: one[1].room)
        bottom, top = box.radii(box.middle)
        return Mark(angle=float(self.angles[s]), r_mm=0.5 * (bottom + top), z_mm=box.middle)


class _Box:
    """One cell at one angle."""

    def __init__(self, section: Section, column: int, cell: Cell) -> None:
        self._section, self._column, self._cell = section, column, cell
        self.low, self.high = (float(section.cuts[cell.column + side, column]) for side in (0, 1))

    @property
    def middle(self) -> float:
        return 0.5 * (self.low + self.high)

    @property
    def area(self) -> float:
        bottom, top = self.radii(self.middle)
        return (top - bottom) * (self.high - self.low)

    @property
    def room(self) -> float:
        bottom, top = self.radii(self.middle)
        return min(top - bottom, self.high - self.low)

    def radii(self, z: float) -> tuple[float, float]:
        """Radius of the lower and of the upper curve [mm]."""
        low, high = (
            self._section.curve(i, self._cell.column).at(z, self._column)
            for i in (self._cell.low, self._cell.high)
        )
        return low, high

    def holds(self, r: float, z: float) -> bool:
        if not self.low <= z <= self.high:
            return False
        bottom, top = self.radii(z)
        return bottom <= r <= top

    def meets(self, other: _Box) -> bool:
        start, end = max(self.low, other.low), min(self.high, other.high)
        if end - start <= OVERLAP_MM:
            return False
        z = 0.5 * (start + end)
        (bottom, top), (other_bottom, other_top) = self.radii(z), other.radii(z)
        return min(top, other_top) - max(bottom, other_bottom) > OVERLAP_MM


def regions_of(section: Section, owner: Owner) -> list[Region]:
    """The regions of an owner in one section, in the order of their cells."""
    return section.once(("regions", owner), lambda: regions(section, owner))


def region_of(ring: Ring, piece: Piece, section: Section, *, with_stock: bool) -> Region | None:
    """The region of a piece in a section of one angle; the largest if it has several."""
    ends = ring.ends(piece.owner, piece.sector)
    known = parting(ring, piece.owner, ends, with_stock=with_stock)
    angle = float(section.angles[0])
    mine = [
        region
        for k, region in enumerate(regions_of(section, piece.owner.metal))
        if known.number(angle, k) == piece.number
    ]
    if not mine:
        return None
    return max(mine, key=lambda region: sum(section.area(section.cells[i]) for i in region))


def piece_at(ring: Ring, like: Piece, mark: Mark, *, with_stock: bool) -> Piece | None:
    """The piece of the same owner and segment that holds a point."""
    ends = ring.ends(like.owner, like.sector)
    known = parting(ring, like.owner, ends, with_stock=with_stock)
    ((_, section),) = ring.sections(np.array([mark.angle]), with_stock=with_stock)
    for k, region in enumerate(regions_of(section, like.owner.metal)):
        boxes = (_Box(section, 0, section.cells[i]) for i in region)
        if any(box.holds(mark.r_mm, mark.z_mm) for box in boxes):
            return Piece(like.owner, known.number(mark.angle, k), like.sector)
    return None
