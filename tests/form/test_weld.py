"""Meshes that touch themselves, as trimesh and manifold read them from a file."""

from __future__ import annotations

import io

import manifold3d
import numpy as np
import pytest
import trimesh

from ringgeom.errors import ShapeError
from ringgeom.form.mesh import Mesh, is_closed, joined
from ringgeom.form.weld import closed_by_welding, welded, writable
from ringgeom.output.stl import stl_bytes


def block(low: tuple[float, float, float], high: tuple[float, float, float]) -> Mesh:
    box = trimesh.creation.box(bounds=np.array([low, high]))
    return Mesh(np.asarray(box.vertices), np.asarray(box.faces, dtype=np.int32))


def read(mesh: Mesh) -> trimesh.Trimesh:
    return trimesh.load(io.BytesIO(bytes(stl_bytes(mesh, "part"))), file_type="stl")


def test_blocks_that_touch_along_an_edge_are_drawn_apart() -> None:
    """Four faces meet in a line: joined there they are no solid, a hair apart they are two."""
    two = joined([block((10, 0, 0), (11, 1, 2)), block((11, 1, 0), (12, 2, 2))])
    assert not is_closed(welded(two, 2e-5))
    made = writable(two)
    assert is_closed(made)
    again = read(made)
    assert again.is_watertight
    assert again.is_winding_consistent
    assert len(again.split()) == 2
    assert made.volume_mm3() == pytest.approx(4.0, abs=1e-3)
    assert np.abs(np.sort(made.vertices, axis=0) - np.sort(two.vertices, axis=0)).max() < 1e-4


def test_a_slit_that_closes_to_a_line_is_opened_a_hair() -> None:
    """The same, metal and air changed: a neck of no thickness between two notches."""
    whole = block((10, 0, 0), (12, 2, 2))
    solid = manifold3d.Manifold(
        manifold3d.Mesh64(vert_properties=whole.vertices, tri_verts=whole.faces.astype("u8"))
    )
    for corner in ((10.0, 0.0), (11.0, 1.0)):
        notch = manifold3d.Manifold.cube([1, 1, 4]).translate([*corner, -1.0])
        solid = solid - notch
    plain = solid.to_mesh64()
    cut = Mesh(np.asarray(plain.vert_properties[:, :3]), np.asarray(plain.tri_verts, np.int32))
    again = read(writable(cut))
    assert again.is_watertight
    assert again.volume == pytest.approx(4.0, abs=1e-3)


def test_two_faces_back_to_back_are_none() -> None:
    """A fin on a block: out along a corner's edge and back, a nanometre thick."""
    whole = block((10, 0, 0), (11, 1, 1))
    a, b, c = (int(i) for i in whole.faces[0])
    tip = len(whole.vertices)
    out = 0.5 * (whole.vertices[a] + whole.vertices[b]) + (0.3, 0.4, 0.5)
    vertices = np.vstack([whole.vertices, out])
    # the edge from a to b goes by way of the tip on one side, and comes back on the other
    faces = np.vstack([whole.faces[1:], [[a, tip, c], [tip, b, c], [a, b, tip]]])
    pyramid = Mesh(vertices, faces.astype(np.int32))
    assert is_closed(pyramid)
    fin = Mesh(vertices, np.vstack([whole.faces, [[a, b, tip], [b, a, tip]]]).astype(np.int32))
    assert not is_closed(fin)
    made = closed_by_welding(fin)
    assert made is not None
    assert len(made.faces) == len(whole.faces)
    assert made.volume_mm3() == pytest.approx(1.0, abs=1e-12)


def test_what_no_weld_closes_is_refused_with_a_way_out() -> None:
    open_block = block((10, 0, 0), (11, 1, 1))
    with pytest.raises(ShapeError, match="a few hundredths more or less"):
        writable(Mesh(open_block.vertices, open_block.faces[1:]))


def test_a_plate_too_thin_for_a_file_is_refused_or_kept_but_never_nothing() -> None:
    plate = block((10, 0, 0), (15, 5, 1e-5))
    made = closed_by_welding(plate)
    assert made is None or len(made.faces) == len(plate.faces)
