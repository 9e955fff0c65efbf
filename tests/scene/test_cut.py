"""Solids cut for the eye: what is left is closed by the cut faces, which measure as derived."""

from __future__ import annotations

from math import pi, radians

import numpy as np
import pytest
from form import rings
from form.mixed import MIXED
from hypothesis import given, settings
from hypothesis import strategies as st

from ringgeom.form.mesh import Mesh, is_closed, joined
from ringgeom.form.ring import ring
from ringgeom.form.solid import solids
from ringgeom.form.weld import welded
from ringgeom.scene.cut import Opened, opened, outline, within


def area(mesh: Mesh) -> float:
    a, b, c = np.moveaxis(mesh.corners, 1, 0)
    return float(np.linalg.norm(np.cross(b - a, c - a), axis=1).sum() / 2)


def closed_again(one: Opened) -> Mesh:
    return welded(joined([one.outer, one.faces]), 1e-7)


@settings(max_examples=20, deadline=None)
@given(st.floats(0, 2 * pi), st.floats(0.3, 6.0))
def test_a_flat_band_opened(start: float, sector: float) -> None:
    """Two cut faces of 6.0 x 1.9; what is left is the turn's share of the band."""
    (band,) = solids(ring(rings.FLAT, ())).values()
    (left,) = opened([band], start, start + sector)
    # chords lie up to 0.005 within circles: 0.005 of 1.9 and less
    assert area(left.faces) == pytest.approx(2 * 6.0 * 1.9, rel=3e-3)
    edges = outline(left.faces)
    length = np.linalg.norm(edges[:, 1] - edges[:, 0], axis=1).sum()
    assert length == pytest.approx(2 * 2 * (6.0 + 1.9), rel=3e-3)
    whole = closed_again(left)
    assert is_closed(whole)
    share = 1 - sector / (2 * pi)
    # a polygon's sectors are not all alike: at both ends up to 0.005 of 9 are missing or over
    assert whole.volume_mm3() == pytest.approx(share * band.volume_mm3(), abs=0.2)


@pytest.mark.parametrize("name", MIXED)
def test_every_solid_is_parted_into_surface_and_cut(name: str) -> None:
    meshes = list(solids(ring(*MIXED[name]), kinds=("part", "body", "gap", "joint")).values())
    start, end = radians(100), radians(250)
    for left in opened(meshes, start, end):
        angle = np.arctan2(left.outer.vertices[:, 1], left.outer.vertices[:, 0]) % (2 * pi)
        assert not ((angle > start + 1e-5) & (angle < end - 1e-5)).any()
        if len(left.faces.faces):
            at = np.arctan2(left.faces.vertices[:, 1], left.faces.vertices[:, 0]) % (2 * pi)
            # a corner within a millionth of a millimetre of the plane, at a radius of 8
            assert np.minimum(np.abs(at - start), np.abs(at - end)).max() < 1e-6


def test_what_lies_within() -> None:
    """A band of 1.9 within one of 1.5: the part up to 1.5 is left; a ring outside is not."""
    thin = solids(ring(rings.form(out=0, into=0, thickness=1.5), ()))
    thick = solids(ring(rings.FLAT, ()))
    (room,), (band,) = thin.values(), thick.values()
    (kept,) = within([band, band.moved((50.0, 0.0, 0.0))], room)
    # the two have facets of their own: chords of 0.005 in a bore that is 1.5 from the outside
    assert kept.volume_mm3() == pytest.approx(room.volume_mm3(), rel=3e-3)
