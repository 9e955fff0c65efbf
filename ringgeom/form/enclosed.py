"""Whether an inlay is walled in on both sides, and what a closed ring must pass over."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from ringgeom.form.outline import outlines
from ringgeom.form.pieces import regions_of
from ringgeom.form.ring import Ring
from ringgeom.form.section import Owner, Section
from ringgeom.form.slope import Slope


def walled_in(sections: Iterable[Section], index: int) -> bool:
    """Whether the metal on both sides of a claim is one piece, somewhere round the ring."""
    mine = {Owner("part", index), Owner("gap", index)}
    for section in sections:
        edges = outlines(section).edges
        walls: list[set[int]] = [set(), set()]
        for edge in edges:
            if edge.curve is not None and not isinstance(edge.curve, Slope):
                continue
            for side, (own, other) in enumerate(((edge.right, edge.left), (edge.left, edge.right))):
                if any(mine & set(section.cells[i].owners) for i in own):
                    if edge.curve is not None:
                        # an undercut wall lies over its inlay: its lean says on which side it is
                        side = 0 if float(edge.curve.lean[0]) > 0 else 1
                    upper = [i for i in other if not mine & set(section.cells[i].owners)]
                    walls[side].update(upper)
        for owner in {o for i in walls[0] | walls[1] for o in section.cells[i].owners}:
            for region in regions_of(section, owner):
                if region & walls[0] and region & walls[1]:
                    return True
    return False


def rail_mm(ring: Ring, walls_mm: tuple[float, float]) -> float:
    """Radius of the lower of the two rails beside a channel, at its highest [mm]."""
    outside, half = ring.finished.body_top, ring.form.band.half_mm
    left, right = walls_mm
    sides = [np.linspace(-half, left, 60), np.linspace(right, half, 60)]
    return min((float(outside.r(z).max()) for z in sides if z[-1] - z[0] > 1e-9), default=0.0)
