"""From the partition's cells to the outlines of the parts, as edges that neighbours share.

Cells of one owner are joined; what is left between different owners are the edges. Each
edge exists once, so two parts that touch are sampled at the same points.

    plane: radius to the right, z upwards; outlines run counter-clockwise, metal on the left
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import atan2

from ringgeom.errors import ShapeError
from ringgeom.form.curve import Array, Curve
from ringgeom.form.section import Cell, Owner, Section
from ringgeom.form.spans import SAME_MM

Region = frozenset[int]
"""Cells, by index, that make one connected piece of one owner."""


@dataclass(frozen=True, slots=True, eq=False)
class Corner:
    """A point where an edge begins or ends; arrays over the section's angles.

    `height` is its radius at the seen angle [mm].
    """

    index: int
    height: float
    r: Array
    z: Array


@dataclass(frozen=True, slots=True, eq=False)
class Edge:
    """A piece of outline from `start` to `end`; `curve` is None along a straight cut.

    `left` and `right` are the cells beside it, -1 for outside the ring.
    """

    start: Corner
    end: Corner
    curve: Curve | None
    left: tuple[int, ...]
    right: tuple[int, ...]


def regions(section: Section, owner: Owner) -> list[Region]:
    """The connected pieces of an owner, by rising z of their first cell."""
    leader = {i: i for i, cell in enumerate(section.cells) if owner in cell.owners}

    def root(i: int) -> int:
        while leader[i] != i:
            i = leader[i]
        return i

    for a, b in section.once("touching", lambda: _touching(section)):
        if a in leader and b in leader:
            leader[root(b)] = root(a)
    found: dict[int, list[int]] = {}
    for i in leader:
        found.setdefault(root(i), []).append(i)
    return [frozenset(cells) for cells in found.values()]


def _touching(section: Section) -> list[tuple[int, int]]:
    """Pairs of cells that share a piece of their bounds and an owner."""
    found = []
    before: list[tuple[int, Cell, float, float]] = []
    for column, mine in enumerate(section.columns):
        cells = [(index, section.cells[index]) for index in mine]
        for a, cell in cells:
            found += [(a, b) for b, other in cells if other.low == cell.high]
        ends = {n: section.ends_r(n, column) for _, c in cells for n in (c.low, c.high)}
        for a, cell, low, high in before:
            for b, other in cells:
                bottom, top = ends[other.low][0], ends[other.high][0]
                if min(high, top) - max(low, bottom) <= SAME_MM:
                    continue
                if any(owner in other.owners for owner in cell.owners):
                    found.append((a, b))
        before = [(index, c, ends[c.low][1], ends[c.high][1]) for index, c in cells]
    return found


@dataclass(frozen=True, slots=True)
class Outlines:
    """All edges of a section; asks for the loops round any set of cells.

    `beside` are the numbers of the edges of each cell.
    """

    edges: tuple[Edge, ...]
    beside: Mapping[int, Sequence[int]]

    def loops(self, region: Region, seen: int) -> list[list[tuple[Edge, bool]]]:
        """Closed loops round a region: (edge, forwards) with the region on the left."""
        ways: dict[int, list[tuple[Edge, bool]]] = {}
        own = {number for cell in region for number in self.beside.get(cell, ())}
        for edge in (self.edges[number] for number in sorted(own)):
            inside_left = any(cell in region for cell in edge.left)
            inside_right = any(cell in region for cell in edge.right)
            if inside_left and not inside_right:
                ways.setdefault(edge.start.index, []).append((edge, True))
            elif inside_right and not inside_left:
                ways.setdefault(edge.end.index, []).append((edge, False))
        found = []
        while ways:
            start = next(iter(ways))
            loop = [_pop(ways, start, None, seen)]
            while (here := _end(loop[-1]).index) != _begin(loop[0]).index:
                loop.append(_pop(ways, here, loop[-1], seen))
            found.append(loop)
        return found


def _begin(step: tuple[Edge, bool]) -> Corner:
    return step[0].start if step[1] else step[0].end


def _end(step: tuple[Edge, bool]) -> Corner:
    return step[0].end if step[1] else step[0].start


def _pop(
    ways: dict[int, list[tuple[Edge, bool]]],
    corner: int,
    came: tuple[Edge, bool] | None,
    seen: int,
) -> tuple[Edge, bool]:
    """Take the next edge; where an outline touches itself, the sharpest left turn parts it."""
    choices = ways.get(corner)
    if choices is None:
        raise ShapeError("an outline does not close: a place leaves the band")
    pick = 0
    if len(choices) > 1 and came is not None:
        into = _heading(came, seen)
        turns = [
            (atan2(*_heading_pair(_heading(step, seen), into)), i) for i, step in enumerate(choices)
        ]
        pick = max(turns)[1]
    step = choices.pop(pick)
    if not choices:
        del ways[corner]
    return step


def _heading(step: tuple[Edge, bool], seen: int) -> tuple[float, float]:
    a, b = _begin(step), _end(step)
    return _at(b.r, seen) - _at(a.r, seen), _at(b.z, seen) - _at(a.z, seen)


def _heading_pair(to: tuple[float, float], into: tuple[float, float]) -> tuple[float, float]:
    return into[0] * to[1] - into[1] * to[0], into[0] * to[0] + into[1] * to[1]


def _at(values: Array, seen: int) -> float:
    return float(values[seen if values.size > 1 else 0])


def outlines(section: Section) -> Outlines:
    """Every edge between different owners, joined into the longest pieces that stay one curve."""

    def traced() -> Outlines:
        tracer = _Tracer(section)
        edges = tuple(_joined(tracer.wall_edges() + tracer.curve_edges()))
        beside: dict[int, list[int]] = {}
        for number, edge in enumerate(edges):
            for cell in (*edge.left, *edge.right):
                beside.setdefault(cell, []).append(number)
        return Outlines(edges, beside)

    return section.once("outlines", traced)


class _Tracer:
    """Collects raw edges cut by cut and column by column."""

    def __init__(self, section: Section) -> None:
        self.section = section
        self.columns = section.columns
        self._corners: list[list[tuple[float, Corner]]] = [[] for _ in section.cuts]
        self._count = 0

    def corner(self, cut: int, curve: int, column: int) -> Corner:
        value = self.section.ends_r(curve, column)[cut - column]
        for known, corner in self._corners[cut]:
            if abs(known - value) <= SAME_MM:
                return corner
        r = self.section.r(curve, column, cut)
        corner = Corner(self._count, value, r, self.section.cuts[cut])
        self._count += 1
        self._corners[cut].append((value, corner))
        return corner

    def side(self, cut: int, column: int) -> list[tuple[float, float, int]]:
        """Cells of a column as (low, high, index) at a cut; registers their corners."""
        if not 0 <= column < len(self.columns):
            return []
        found = []
        for index in self.columns[column]:
            cell = self.section.cells[index]
            low, high = (self.corner(cut, curve, column) for curve in (cell.low, cell.high))
            if low is not high:
                found.append((low.height, high.height, index))
        return found

    def wall_edges(self) -> list[Edge]:
        edges = []
        for cut in range(len(self.section.cuts)):
            before, after = self.side(cut, cut - 1), self.side(cut, cut)
            ladder = [corner for _, corner in sorted(self._corners[cut], key=lambda c: c[0])]
            for low, high in pairwise(ladder):
                middle = 0.5 * (low.height + high.height)
                right = tuple(i for a, b, i in before if a < middle < b)
                left = tuple(i for a, b, i in after if a < middle < b)
                if self._owners(left) != self._owners(right):
                    edges.append(Edge(low, high, None, left, right))
        return edges

    def curve_edges(self) -> list[Edge]:
        edges = []
        for column, indices in enumerate(self.columns):
            cells = [(index, self.section.cells[index]) for index in indices]
            levels: dict[int, float] = {}
            for curve in sorted({c for _, cell in cells for c in (cell.low, cell.high)}):
                value = self.section.middle_r(curve, column)
                same = [c for c, known in levels.items() if abs(known - value) <= SAME_MM]
                levels[curve] = value if not same else levels[same[0]]
            for value in sorted(set(levels.values())):
                level = {curve for curve, known in levels.items() if known == value}
                curve = min(level)
                left = tuple(i for i, cell in cells if cell.high in level)
                right = tuple(i for i, cell in cells if cell.low in level)
                if self._owners(left) != self._owners(right):
                    start, end = (self.corner(column + s, curve, column) for s in (0, 1))
                    if start is not end:
                        shape = self.section.curve(curve, column)
                        edges.append(Edge(start, end, shape, left, right))
        return edges

    def _owners(self, cells: tuple[int, ...]) -> frozenset[Owner]:
        return frozenset(owner for i in cells for owner in self.section.cells[i].owners)


def _joined(raw: list[Edge]) -> list[Edge]:
    """Join runs of edges on one curve wherever nothing else meets between them."""
    meet: dict[int, int] = {}
    for edge in raw:
        for corner in (edge.start, edge.end):
            meet[corner.index] = meet.get(corner.index, 0) + 1
    by_start: dict[tuple[int, int], Edge] = {(e.start.index, _kind(e)): e for e in raw}
    followed = set()
    for edge in raw:
        if meet[edge.end.index] == 2:
            after = by_start.get((edge.end.index, _kind(edge)))
            if after is not None and _same_line(edge, after):
                followed.add(id(after))
    found = []
    for edge in raw:
        if id(edge) in followed:
            continue
        start, last, left, right = edge.start, edge, edge.left, edge.right
        while meet[last.end.index] == 2:
            after = by_start.get((last.end.index, _kind(last)))
            if after is None or id(after) not in followed or after is last:
                break
            last = after
            left, right = left + last.left, right + last.right
        found.append(Edge(start, last.end, edge.curve, left, right))
    return found


def _kind(edge: Edge) -> int:
    return 0 if edge.curve is None else 1


def _same_line(edge: Edge, after: Edge) -> bool:
    if edge.curve is None or after.curve is None:
        return edge.curve is after.curve
    return type(edge.curve) is type(after.curve) and edge.curve.key == after.curve.key
