"""Where a sprue can stand on a part: the widest thick run of its upper side.

   run        run          a run ends at a step, and in the valley between two domes
 .-'-.   .-'-.
|       '.'       |
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ringgeom.errors import ShapeError
from ringgeom.form.curve import Arc, Curve
from ringgeom.form.frame import Chain
from ringgeom.form.outline import Edge, Outlines, Region
from ringgeom.form.ring import Ring
from ringgeom.form.section import Section

NARROW = 1 / 3
"""A run narrower than this share of the widest outside is a ridge, and no place for a sprue."""

VALLEY = 1e-6
"""Two faces whose leans differ by no more than this run on into each other."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stand:
    """Where a sprue can stand: the widest thick run of a part's upper side.

    `radius_mm` at the run's middle, `depth_mm` of metal under it, `curve` its surface (of
    several curves, where the form has them), `angle` round the ring.
    """

    z_mm: float
    width_mm: float
    radius_mm: float
    depth_mm: float
    curve: Curve | Chain
    angle: float


def stand_on(section: Section, region: Region, edges: Outlines, angle: float, ring: Ring) -> Stand:
    """The upper side over the most metal, narrow ridges left out; of equals the widest."""
    upper = [
        (float(edge.start.z[0]), float(edge.end.z[0]), edge)
        for edge in edges.edges
        if edge.curve is not None
        and any(cell in region for cell in edge.left)
        and not any(cell in region for cell in edge.right)
    ]
    upper.sort(key=lambda one: one[:2])
    best: tuple[float, float] = (-1.0, -1.0)
    stand = None
    runs = _runs(upper)
    # only of the ring's own outside: the floor of a channel is no better place than its rails
    open_ = [run for run in runs if not any(edge.right for _, _, edge in run)]
    widest = max((run[-1][1] - run[0][0] for run in open_), default=0.0)
    for run in runs:
        start, end = run[0][0], run[-1][1]
        if end - start < NARROW * widest:
            continue
        middle = 0.5 * (start + end)
        edge = next(e for low, high, e in run if low <= middle <= high)
        assert edge.curve is not None
        top = float(edge.curve.r(np.array([middle]))[0])
        depth = top - _under(section, region, middle, top)
        rank = (round(depth, 3), end - start)
        if rank > best:
            best = rank
            stand = Stand(
                z_mm=middle,
                width_mm=end - start,
                radius_mm=top,
                depth_mm=depth,
                curve=_surface(run, ring.form.edge_mm) or edge.curve,
                angle=angle + ring.twist * middle,
            )
    if stand is None:
        raise ShapeError("a part has no upper side for a sprue to stand on")
    return stand


Upper = tuple[float, float, Edge]


def _surface(run: list[Upper], edge_mm: float) -> Chain | None:
    """A run of several curves, rounded edges left out; None where it is one."""
    own = [
        (low, high, edge.curve)
        for low, high, edge in run
        if edge.curve is not None
        and not (isinstance(edge.curve, Arc) and edge.curve.bend_mm == edge_mm)
    ]
    if len(own) < 2:
        return None
    return Chain(tuple(curve for _, _, curve in own), (own[0][0], *(high for _, high, _ in own)))


def _runs(upper: list[Upper]) -> list[list[Upper]]:
    """Edges that follow each other without a step and without a valley between them."""
    runs: list[list[Upper]] = []
    for low, high, edge in upper:
        if runs:
            last = runs[-1][-1][2]
            if (last.end is edge.start or last.start is edge.end) and not _valley(last, edge, low):
                runs[-1].append((low, high, edge))
                continue
        runs.append([(low, high, edge)])
    return runs


def _valley(before: Edge, after: Edge, z: float) -> bool:
    """Whether two edges that follow each other meet in a hollow corner."""
    if before.curve is None or after.curve is None:
        return False
    return before.curve.lean_at(z) < after.curve.lean_at(z) - VALLEY


def _under(section: Section, region: Region, z: float, top: float) -> float:
    """Radius down to which the region is solid below a point of its upper edge [mm]."""
    at = np.array([z])
    for i in region:
        cell = section.cells[i]
        low, high = (float(section.cuts[cell.column + side, 0]) for side in (0, 1))
        if low <= z <= high:
            ends = [float(section.curve(c, cell.column).r(at)[0]) for c in (cell.low, cell.high)]
            if abs(ends[1] - top) < 1e-6:
                return ends[0]
    return top
