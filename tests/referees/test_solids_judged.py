"""Other programs judge the solids of every design: closed, apart, and together the band.

manifold3d unites and cuts, trimesh looks at every mesh; neither is asked by the program
for the swept kind of ring.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations
from pathlib import Path

import numpy as np
import pytest
import trimesh
from judging.checks import judged
from judging.programs import MANIFOLD, TRIMESH
from manifold3d import Manifold, Mesh64, OpType

import ringgeom as rg
from ringgeom.form.mesh import Mesh
from ringgeom.form.pieces import Piece
from ringgeom.form.ring import Ring, ring
from ringgeom.form.solid import solids
from ringgeom.form.volume import volumes

DESIGNS = sorted((Path(__file__).parents[2] / "designs").glob("*.toml"))
KINDS = ("part", "body", "gap", "joint", "recess")


@pytest.fixture(
    scope="module",
    params=[(p, s) for p in DESIGNS for s in (False, True)],
    ids=lambda one: f"{one[0].stem}-{'cast' if one[1] else 'finished'}",
)
def meshed(request: pytest.FixtureRequest) -> tuple[Ring, bool, dict[Piece, Mesh]]:
    path, with_stock = request.param
    made = rg.job(rg.read_design(path)).ring
    assert made is not None
    return made, with_stock, solids(made, with_stock=with_stock, kinds=KINDS)


def manifold(mesh: Mesh) -> Manifold:
    solid = Manifold(Mesh64(vert_properties=mesh.vertices, tri_verts=mesh.faces.astype("u8")))
    assert not solid.is_empty(), solid.status()
    return solid


def test_every_piece_is_closed_and_outward(meshed: tuple[Ring, bool, dict[Piece, Mesh]]) -> None:
    _, _, meshes = meshed
    for piece, mesh in meshes.items():
        seen = trimesh.Trimesh(mesh.vertices, mesh.faces, process=True)
        assert seen.is_watertight, piece
        assert seen.is_winding_consistent, piece
        assert seen.volume > 0, piece
        assert seen.body_count == 1, piece


def test_volumes_are_those_weighed(meshed: tuple[Ring, bool, dict[Piece, Mesh]]) -> None:
    """A mesh lies inside its convex faces and outside its hollow ones by the chord error.

    So its volume differs by less than its surface times the chord.
    """
    made, with_stock, meshes = meshed
    weighed = volumes(made, with_stock=with_stock)
    assert set(meshes) == {piece for piece in weighed if piece.owner.kind in KINDS}
    for piece, mesh in meshes.items():
        seen = trimesh.Trimesh(mesh.vertices, mesh.faces, process=False)
        exact = weighed[piece].volume_mm3
        judged(
            TRIMESH,
            "volume weighed less that of the mesh, over its surface [mm]",
            (exact - seen.volume) / seen.area,
            0.0,
            abs=0.005,
            why="facets lie within the chord of the surface",
        )


def test_no_two_overlap(meshed: tuple[Ring, bool, dict[Piece, Mesh]]) -> None:
    """Every part and body against every other: below 1e-4 mm3, a ten-thousandth of a milligram."""
    _, _, meshes = meshed
    metal = {p: manifold(m) for p, m in meshes.items() if p.owner.kind in ("part", "body")}
    for one, two in combinations(metal.values(), 2):
        what, why = "metal that two parts share [mm3]", "a ten-thousandth of a milligram or two"
        judged(MANIFOLD, what, (one ^ two).volume(), 0.0, abs=1e-4, why=why)


def test_parts_and_gaps_make_the_band(meshed: tuple[Ring, bool, dict[Piece, Mesh]]) -> None:
    """United, parts and gaps and recess are the band in one piece; nothing lost or doubled."""
    made, with_stock, meshes = meshed
    total = sum(mesh.volume_mm3() for mesh in meshes.values())
    union = Manifold.batch_boolean([manifold(mesh) for mesh in meshes.values()], OpType.Add)
    what, why = "parts, gaps and recess united, against their sum", "it rounds corners as it unites"
    judged(MANIFOLD, what, total, union.volume(), rel=1e-6, why=why)
    proud = made.form.proud_mm
    if proud > 0:
        pytest.fail("no example has a proud body; measure its band too when one has")
    whole = ring(replace(made.form, proud_mm=0.0), (), made.stock)
    (exact,) = volumes(whole, with_stock=with_stock).values()
    by_quadrature = sum(v.volume_mm3 for v in volumes(made, with_stock=with_stock).values())
    assert by_quadrature == pytest.approx(exact.volume_mm3, rel=1e-9)
    # the united mesh differs from the exact band by its facets only
    surface = 2 * np.pi * (made.form.band.crest_mm + made.form.band.bore_mm) * made.form.width_mm
    assert abs(union.volume() - exact.volume_mm3) < 0.005 * 1.5 * surface
