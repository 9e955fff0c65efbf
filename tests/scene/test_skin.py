"""The surface for the eye: normals smooth where the metal bends, parted at its edges."""

from __future__ import annotations

import numpy as np
import pytest
from form import rings
from form.mixed import MIXED

from ringgeom.form.mesh import Mesh
from ringgeom.form.ring import ring
from ringgeom.form.solid import solids
from ringgeom.scene.skin import SHARP_DEG, Skin, skin


def only(**measures: float) -> Mesh:
    """The solid of a band in one piece."""
    (mesh,) = solids(ring(rings.form(**measures), ())).values()
    return mesh


def flat_normals(surface: Skin) -> tuple[np.ndarray, np.ndarray]:
    """Normal and twice the area of every facet."""
    a, b, c = np.moveaxis(surface.points[surface.faces], 1, 0)
    across = np.cross(b - a, c - a)
    area = np.linalg.norm(across, axis=1)
    return across / np.maximum(area, 1e-300)[:, None], area


def test_a_plain_band_has_four_smooth_faces_square_to_each_other() -> None:
    """Outside, bore and two sides; each normal is exact: radial, or along the axis."""
    surface = skin(only(out=0.0, into=0.0))
    assert surface.patches().max() + 1 == 4
    r = np.hypot(surface.points[:, 0], surface.points[:, 1])
    radial = np.column_stack([surface.points[:, :2] / r[:, None], np.zeros(len(r))])
    out = np.einsum("ij,ij->i", surface.normals, radial)
    up = np.abs(surface.normals[:, 2])
    # facets lie on both sides of a point alike, so their mean is the true normal, but for the
    # one diagonal that a square has: a hundredth of the step from facet to facet
    assert np.all((np.abs(out) > 1 - 1e-6) | (up > 1 - 1e-6))
    assert surface.inwards() == pytest.approx(-out, abs=1e-12)


def test_a_rounded_edge_is_one_face_with_what_it_rounds() -> None:
    """Rounding of 0.3 on all four edges of a flat band: nothing is sharp, one face."""
    assert skin(only(out=0.0, into=0.0, edge=0.3)).patches().max() + 1 == 1


def test_the_surface_is_the_mesh_corner_for_corner() -> None:
    mesh = only()
    surface = skin(mesh)
    assert np.array_equal(surface.points[surface.faces], mesh.corners)
    assert len(surface.points) > len(mesh.vertices)


@pytest.mark.parametrize("name", MIXED)
def test_normals_look_the_way_of_their_facets(name: str) -> None:
    """Unit normals, none farther from a facet of size than two steps of the sharpest bend."""
    for mesh in solids(ring(*MIXED[name]), kinds=("part", "body", "gap", "joint")).values():
        surface = skin(mesh)
        assert np.linalg.norm(surface.normals, axis=1) == pytest.approx(1.0, abs=1e-9)
        normals, area = flat_normals(surface)
        looks = np.einsum("fcj,fj->fc", surface.normals[surface.faces], normals)
        assert looks[area > 1e-4].min() > np.cos(np.radians(2 * SHARP_DEG))


def test_some_facets_keep_their_points() -> None:
    surface = skin(only())
    which = surface.inwards()[surface.faces].min(axis=1) > 0.5
    bore = surface.some(which)
    assert np.array_equal(bore.points[bore.faces], surface.points[surface.faces[which]])
    assert len(np.unique(bore.faces)) == len(bore.points)
    # the bore of the reference ring: 17.35 across at mid-width, 0.25 lower at the edges
    r = np.hypot(bore.points[:, 0], bore.points[:, 1])
    assert r.min() >= 8.675 - 1e-9
    assert r.max() <= 8.675 + 0.25 + 1e-9
