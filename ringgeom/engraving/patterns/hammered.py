"""Hammered: facets side by side as a planishing hammer leaves them, each with a depth of its own.

 /\\    ___
/  \\__/   \\        about facet_mm across; the same seed gives the same facets
\\  /  \\   /
 \\/    \\_/         ridge_mm is left standing between them, 0: facets meet
"""

from __future__ import annotations

from typing import Annotated, Any, Literal

import numpy as np
from pydantic import Field

from ringgeom.engraving.flat import shape_of
from ringgeom.engraving.patterns.pattern import (
    MOST_FIGURES,
    Asking,
    Cut,
    Depth,
    Pattern,
    room,
)
from ringgeom.engraving.unrolled import Unrolled
from ringgeom.errors import ShapeError
from ringgeom.form.curve import Array

SETTLED = 4
"""How often every blow is moved to the middle of its facet, so that none is a sliver."""


class Hammered(Asking):
    """Facets of even size in no order; they close round the ring by themselves."""

    pattern: Literal["hammered"] = "hammered"
    facet_mm: Annotated[float, Field(ge=0.5, le=10)] = 1.7
    ridge_mm: Annotated[float, Field(ge=0, le=1)] = 0.0
    least_depth_mm: Depth = 0.04
    most_depth_mm: Depth = 0.16
    margin_mm: Annotated[float, Field(ge=0, le=10)] = 0.0
    seed: Annotated[int, Field(ge=0, le=999_999)] = 7

    def drawn(self, face: Unrolled) -> Pattern:
        if self.least_depth_mm > self.most_depth_mm:
            raise ShapeError(
                f"the least depth, {self.least_depth_mm:g} mm, is more than the most, "
                f"{self.most_depth_mm:g} mm"
            )
        if self.ridge_mm > 0.4 * self.facet_mm:
            raise ShapeError(
                f"ridges of {self.ridge_mm:g} mm leave too little of facets of "
                f"{self.facet_mm:g} mm; at most {0.4 * self.facet_mm:g} mm"
            )
        face = room(face, self.margin_mm, 0.5 * self.facet_mm, "hammered facets")
        count = round(face.round_mm * face.width_mm / (0.85 * self.facet_mm**2))
        if not 4 <= count <= MOST_FIGURES:
            raise ShapeError(
                f"{count} facets of {self.facet_mm:g} mm; 4 to {MOST_FIGURES} can be laid out"
            )
        rng = np.random.default_rng(self.seed)
        blows = rng.uniform((0, face.low_mm), (face.round_mm, face.high_mm), (count, 2))
        for _ in range(SETTLED):
            blows = np.array([facet.centroid.coords[0] for facet in _facets(blows, face)])
        depths = rng.uniform(self.least_depth_mm, self.most_depth_mm, count)
        cuts = []
        for facet, depth in zip(_facets(blows, face), depths, strict=True):
            inside = (
                facet.buffer(-0.5 * self.ridge_mm, join_style="mitre") if self.ridge_mm else facet
            )
            if not inside.is_empty:
                cuts.append(Cut(shape=shape_of(inside), depth_mm=round(float(depth), 3)))
        return Pattern(cuts=tuple(cuts), figures=tuple(cut.shape for cut in cuts), count=len(cuts))


def _facets(blows: Array, face: Unrolled) -> list[Any]:
    """The part of the face nearest to each blow; one that lies across the seam stays whole.

    The face is mirrored at its edges, so that every cell ends there by itself.
    """
    from scipy.spatial import Voronoi
    from shapely import Polygon, box

    x, y = blows[:, 0] % face.round_mm, blows[:, 1]
    blows = np.column_stack([x, y])
    rows = [blows, *(np.column_stack([x, 2 * edge - y]) for edge in (face.low_mm, face.high_mm))]
    three = np.vstack(rows)
    turn = np.array([face.round_mm, 0.0])
    cells = Voronoi(np.vstack([three, three - turn, three + turn]))
    window = box(-face.round_mm, face.low_mm, 2 * face.round_mm, face.high_mm)
    found = []
    for region in cells.point_region[: len(blows)]:
        corners = cells.vertices[cells.regions[region]]
        # corners on the edge are there to rounding only
        for edge in (face.low_mm, face.high_mm):
            corners[np.abs(corners[:, 1] - edge) < 1e-9, 1] = edge
        found.append(Polygon(corners).intersection(window))
    return found
