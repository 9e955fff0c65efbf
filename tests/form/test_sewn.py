"""Bands whose rounded edges pass the corners of their outline as they narrow."""

from __future__ import annotations

from math import pi

import numpy as np
import pytest
import shapely
import trimesh

from ringgeom.form.frame import Frame
from ringgeom.form.grid import facets
from ringgeom.form.mesh import is_closed
from ringgeom.form.profiles import FlatFace, Oval
from ringgeom.form.profiles.free import Free
from ringgeom.form.ring import Stock, ring
from ringgeom.form.ring_form import RingForm
from ringgeom.form.solid import solids
from ringgeom.form.taper import Eased, Taper
from ringgeom.form.volume import volumes

CHORD_MM = 0.02
"""Coarser than the waxes, for speed."""

STOCK = Stock(outside_mm=0.1, bore_mm=0.08, edge_mm=0.15)
FLANKS = [(-4.0, 0.05), (-3.5, 0.7), (3.5, 0.7), (4.0, 0.05)]
BANDS = {
    "flanks as wide as the rounding": RingForm(
        inside_diameter_mm=17.0,
        width_mm=8.0,
        thickness_mm=2.2,
        outside=Free.model_validate(
            {"form": "free", "points": [{"z_mm": z, "rise_mm": rise} for z, rise in FLANKS]}
        ),
        inside=FlatFace(),
        edge_mm=0.3,
        taper=Taper(
            width=Eased((0.0, pi / 2), (8.0, 3.0)), thickness=Eased((0.0, pi / 2), (2.2, 1.8))
        ),
    ),
    "an oval over rounded edges of the bore": RingForm(
        inside_diameter_mm=15.0,
        width_mm=5.79,
        thickness_mm=1.67,
        outside=Oval(form="oval", rise_mm=1.09),
        inside=FlatFace(),
        edge_mm=0.3,
        taper=Taper(
            width=Eased((0.0, pi / 4, pi / 2, pi), (5.79, 4.9, 4.66, 4.13)),
            thickness=Eased((0.0, pi / 4, pi), (1.67, 1.54, 1.33)),
        ),
    ),
}


def outline(frame: Frame) -> shapely.LinearRing:
    """The section of a band, (r, z), its arcs as chords within a tenth of a micrometre."""
    faces = []
    for chain in (frame.bore, frame.outside):
        points: list[tuple[float, float]] = []
        for curve, low, high in chain.pieces():
            z = np.linspace(low, high, 150)
            points += zip(np.broadcast_to(curve.r(z), z.shape).tolist(), z.tolist(), strict=True)
        faces.append(points)
    return shapely.LinearRing([*faces[0], *reversed(faces[1])])


@pytest.mark.parametrize(("name", "stocked"), [(name, "oval" in name) for name in BANDS])
def test_edges_that_pass_corners_as_the_band_narrows(name: str, stocked: bool) -> None:
    """Closed as a file holds it, and no point further from the section of there than the chord."""
    laid = ring(BANDS[name], (), STOCK)
    grid = facets(laid, CHORD_MM, with_stock=stocked)
    groups = laid.sections(grid.angles, with_stock=stocked)
    assert len(groups) > 1
    (mesh,) = solids(laid, chord_mm=CHORD_MM, with_stock=stocked).values()
    assert is_closed(mesh)
    read = trimesh.Trimesh(mesh.vertices.astype("f4").astype(float), mesh.faces)
    assert read.is_watertight
    assert read.is_winding_consistent
    (exact,) = volumes(laid, with_stock=stocked).values()
    assert abs(read.volume - exact.volume_mm3) < CHORD_MM * read.area
    # the outline has other points beside the ends of the groups: the middles of all edges there
    corners = mesh.corners
    middles = np.concatenate([0.5 * (corners[:, i] + corners[:, i - 1]) for i in range(3)])
    turn = np.round(np.arctan2(middles[:, 1], middles[:, 0]) % (2 * pi), 8)
    ends = grid.angles[np.concatenate([which[[0, -1]] for which, _ in groups])]
    beside = np.abs(turn[:, None] - ends).min(axis=1) < 1.01 * grid.step
    for angle in np.unique(turn[beside]):
        rim = outline(laid.at(float(angle)).frame(with_stock=stocked))
        some = middles[turn == angle]
        points = shapely.points(np.hypot(some[:, 0], some[:, 1]), some[:, 2])
        assert float(shapely.distance(points, rim).max()) < CHORD_MM
