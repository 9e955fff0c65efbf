"""Solids with letters: closed by two judges as written in 32 bits, volumes near the exact ones."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest
import trimesh
from engraving.texts import engraving, made
from manifold3d import Manifold
from manifold3d import Mesh as PlainMesh

import ringgeom as rg
from ringgeom.engraving import solid as solids_of_letters
from ringgeom.engraving.engraved import Engraved
from ringgeom.engraving.shape import Shape
from ringgeom.engraving.solid import lettered
from ringgeom.errors import ShapeError
from ringgeom.form.mesh import Mesh
from ringgeom.form.pieces import Piece
from ringgeom.form.solid import solids
from ringgeom.output.stl import stl_bytes

CHORD_MM = 0.005
ROOT = Path(__file__).parents[2]

DOMED = 'outside = { form = "domed", rise_mm = 0.3 }\nedge_mm = 0.2'
REED = (
    '[[part]]\nname = "reed"\nplace = "channel"\nalloy = "gold-750-green"\nwidth_mm = 2.4\n'
    "depth_mm = 0.8\ngap_mm = 0.04\n"
)
PLANKS = (
    '[[part]]\nname = "plank"\nplace = "segments"\nalloys = ["silver-925", "gold-1000"]\n'
    "count = 6\nslant_deg = 20\ngap_mm = 0.05\n"
)
WAVING = REED + "wave = { amplitude_mm = 0.4, count = 6 }\n"

CASES = {
    "inside": engraving(text="Åg&ß"),
    "outside, flat": engraving(on="outside", floor="flat", centre_mm=1.6, height_mm=1.0),
    "script": engraving(font="script", text="thine own", height_mm=1.8),
    "raised": engraving(on="outside", raised=True, height_mm=2.0, font="bold", depth_mm=0.3),
    "raised on two parts": PLANKS
    + engraving(on="outside", raised=True, text="H   H", at=0, height_mm=1.0, depth_mm=0.2),
    "cast in": engraving(made="cast", repeat=2, font="bold"),
    "over an inlay": REED + engraving(on="outside", centre_mm=1.0, depth_mm=0.1, height_mm=1.2),
    "over planks": PLANKS + engraving(on="outside", text="HHHHHHHHHH", font="sans"),
    "beside a wave": WAVING + engraving(on="inside", text="WAVE"),
}


def closed(mesh: Mesh) -> None:
    """Judged as a reader of the written file would."""
    written = stl_bytes(mesh, "x")
    read = trimesh.load(trimesh.util.wrap_as_stream(bytes(written)), file_type="stl")
    assert read.is_watertight
    assert read.is_winding_consistent
    assert read.volume > 0
    other = Manifold(
        PlainMesh(
            vert_properties=read.vertices.astype(np.float32),
            tri_verts=read.faces.astype(np.uint32),
        )
    )
    assert str(other.status()).endswith("NoError")
    assert other.volume() == pytest.approx(mesh.volume_mm3(), rel=1e-5)


def area_mm2(one: Engraved) -> float:
    return sum(shape.area_mm2 for copy in one.copies for shape in copy)


@pytest.mark.parametrize("name", CASES)
@pytest.mark.parametrize("with_stock", [False, True])
def test_lettered_solids(name: str, with_stock: bool) -> None:
    job = made(CASES[name], DOMED)
    assert not job.stopped, job.findings
    assert job.ring is not None
    plain = solids(job.ring, chord_mm=CHORD_MM, with_stock=with_stock)
    found = lettered(plain, job.engraved, chord_mm=CHORD_MM, with_stock=with_stock)
    assert set(found) == set(plain)
    (one,) = job.engraved
    touched = 0
    for part in job.parts:
        piece = part.cast_piece if with_stock else part.piece
        exact = dict(one.cast_removed if with_stock else one.removed).get(piece, 0.0)
        lost = plain[piece].volume_mm3() - found[piece].volume_mm3()
        if exact == 0:
            assert found[piece] is plain[piece]
            continue
        touched += 1
        closed(found[piece])
        # face and floor are each off by a chord at most, over the letters' area
        assert lost == pytest.approx(exact, abs=2 * CHORD_MM * area_mm2(one))
        assert np.sign(lost) == np.sign(exact)
    cast_in = name in ("raised", "raised on two parts", "cast in")
    assert touched == 0 if with_stock and not cast_in else touched >= 1


def test_finer_facets_come_to_the_exact_volume() -> None:
    job = made(engraving(text="ROBIN"), DOMED)
    assert job.ring is not None
    (part,) = job.parts
    off = []
    for chord in (0.01, 0.001):
        plain = solids(job.ring, chord_mm=chord)
        found = lettered(plain, job.engraved, chord_mm=chord)
        lost = plain[part.piece].volume_mm3() - found[part.piece].volume_mm3()
        off.append(abs(lost / part.engraved_mm3 - 1))
    assert off[1] < min(off[0] / 3, 2e-3)


def test_an_inside_out_cutter_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    """A cutter that misses, or adds, is an error and no file."""
    job = made(engraving())
    assert job.ring is not None
    plain = solids(job.ring, chord_mm=CHORD_MM)
    real = solids_of_letters.bent

    def shifted(shape: Shape, *rest: Any, **keys: Any) -> Any:
        return real(shape, *rest, **keys).translate([0.0, 0.0, 50.0])

    monkeypatch.setattr(solids_of_letters, "bent", shifted)
    with pytest.raises(ShapeError, match="cuts take"):
        lettered(plain, job.engraved, chord_mm=CHORD_MM)


def test_the_files_have_the_letters(tmp_path: Path) -> None:
    """Assembly and page show them, waxes only where they are cast in."""
    from ringgeom.page.meshes import ring_bytes
    from ringgeom.scene.shown import shown

    job = made(engraving())
    assert job.ring is not None
    plain: dict[Piece, Mesh] = solids(job.ring, chord_mm=CHORD_MM)
    (part,) = job.parts
    assert len(shown(job).parts[0].mesh.faces) > len(plain[part.piece].faces)
    assert len(ring_bytes(job, quick=False)) > len(ring_bytes(made(), quick=False))
    assert len(ring_bytes(job, quick=True)) == len(ring_bytes(made(), quick=True))
    stl: list[bytes] = []
    for one in (made(), job, made(engraving(made="cast"))):
        folder = tmp_path / str(len(stl))
        rg.write(one, folder)
        stl.append(next(folder.glob("*/wax/*.stl")).read_bytes())
    assert stl[0] == stl[1]
    assert len(stl[2]) > len(stl[0])
