"""The cut section of a ring: every part's outline at one place of the turn, z across, r up."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ringgeom.drawing.cut_insets import insert_loops, pocketed
from ringgeom.form.curve import Cone, Flat
from ringgeom.form.outline import Edge, outlines
from ringgeom.form.pieces import region_of
from ringgeom.form.slope import Slope
from ringgeom.making.part import Finished
from ringgeom.sketch import Sketch

ARC_POINTS = 33
"""Points of a dome's arc: at ten times its size it is off by less than a line's width."""

Loop = tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Face:
    """One part where the ring is cut: its outline and holes as (z, r) [mm]."""

    part: Finished
    loops: tuple[Loop, ...]

    @property
    def low_mm(self) -> float:
        """Radius of its lowest point."""
        return min(r for loop in self.loops for _, r in loop)

    @property
    def ends_mm(self) -> tuple[float, float]:
        """Least and largest z."""
        z = [z for loop in self.loops for z, _ in loop]
        return min(z), max(z)


def cut_faces(sketch: Sketch) -> tuple[Face, ...]:
    """Every part that the cut goes through, as finished; none where there is no ring."""
    ring = sketch.ring
    if ring is None:
        return ()
    angle = ring.seen_angle
    ((_, section),) = ring.sections(np.array([angle]))
    inlaid = {one.piece: one for one in sketch.insets}
    found = []
    for part in sketch.parts:
        if part.piece in inlaid:
            if drawn := insert_loops(inlaid[part.piece], angle):
                found.append(Face(part=part, loops=drawn))
            continue
        if part.piece.sector not in (None, 0):
            continue
        region = region_of(ring, part.piece, section, with_stock=False)
        if region is None:
            continue
        loops = outlines(section).loops(region, section.seen)
        traced = tuple(
            tuple(point for edge, forwards in loop for point in _points(edge, forwards))
            for loop in loops
        )
        for one in sketch.insets:
            if part.piece in dict(one.taken):
                traced = pocketed(traced, one, angle)
        found.append(Face(part=part, loops=traced))
    return tuple(found)


def _points(edge: Edge, forwards: bool) -> list[tuple[float, float]]:
    """Points along an edge without its last, which the next edge begins with."""
    ends = (edge.start, edge.end) if forwards else (edge.end, edge.start)
    (z0, r0), (z1, _) = ((float(c.z[0]), float(c.r[0])) for c in ends)
    if edge.curve is None or isinstance(edge.curve, Flat | Slope | Cone):
        return [(z0, r0)]
    z = np.linspace(z0, z1, ARC_POINTS)[:-1]
    return [(z0, r0), *zip(z[1:].tolist(), edge.curve.r(z[1:]).tolist(), strict=True)]
