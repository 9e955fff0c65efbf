"""Binary STL: read back byte by byte and by trimesh; closed, outward, scaled once."""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import trimesh
from judging.checks import judged
from judging.programs import TRIMESH

import ringgeom as rg
from ringgeom.form.mesh import Mesh
from ringgeom.form.solid import solids
from ringgeom.making.wax import Wax, waxes
from ringgeom.output.stl import stl_bytes

JobOf = Callable[[Path], rg.Job]
MadeOf = Callable[[Path], Path]

FLOAT32 = 2.0**-24
"""Half a unit in the last place: the relative error of writing a coordinate in 32 bits."""

FACET = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("spare", "<u2")])


def facets(content: bytes) -> Any:
    """The facets of a binary STL, its layout checked: 80 + 4 + 50 n bytes."""
    count = int.from_bytes(content[80:84], "little")
    assert len(content) == 84 + 50 * count
    assert not content.startswith(b"solid")
    return np.frombuffer(content, FACET, offset=84)


def volume_mm3(corners: Any) -> float:
    """Gauss's theorem, summed in 64 bits."""
    a, b, c = np.moveaxis(corners.astype(float), 1, 0)
    return float(np.einsum("ij,ij->", a, np.cross(b, c)) / 6)


def patterns_of(folder: Path, part: str) -> list[tuple[Path, int]]:
    """The waxes of a part, each with how many of it are needed."""
    paths = sorted((folder / "wax").glob(f"*_{part.replace(' ', '-')}_*.stl"))
    counts = [re.search(r"_(\d+)-of-it_", path.name) for path in paths]
    return [(path, int(n[1]) if n else 1) for path, n in zip(paths, counts, strict=True)]


def wax_of(folder: Path, part: str) -> Path:
    (found,) = (folder / "wax").glob(f"*_{part.replace(' ', '-')}_*.stl")
    return found


@pytest.fixture(scope="session")
def waxes_of(job_of: JobOf) -> Callable[[Path], list[Wax]]:
    """The meshes that were written, in 64 bits."""

    @cache
    def found(path: Path) -> list[Wax]:
        job = job_of(path)
        sprues = {
            part.name: sprue
            for casting in job.castings
            for part, sprue in zip(casting.parts, casting.sprues, strict=True)
        }
        assert job.ring is not None
        return waxes(job.ring, job.parts, sprues, job.shop, job.engraved, job.insets)

    return found


# A body small enough to write down

CORNER = Mesh(
    np.array([[0.0, 0, 0], [1, 0, 0], [0, 2, 0], [0, 0, 3]]),
    np.array([[0, 2, 1], [0, 1, 3], [0, 3, 2], [1, 2, 3]], dtype=np.int32),
)


def test_a_corner_of_a_cube() -> None:
    """Derived by hand: three faces on the planes, one slanted with normal (6, 3, 2) / 7."""
    found = facets(bytes(stl_bytes(CORNER, "corner")))
    assert len(found) == 4
    expected = [[0, 0, -1], [0, -1, 0], [-1, 0, 0], [6 / 7, 3 / 7, 2 / 7]]
    assert found["normal"] == pytest.approx(np.array(expected), abs=4 * FLOAT32)
    assert found["corners"].tolist() == CORNER.corners.tolist()
    assert not found["spare"].any()
    assert volume_mm3(found["corners"]) == pytest.approx(1.0, rel=1e-15)


@pytest.mark.parametrize("title", ["", "solid", "x" * 200, "Кольцо ½ für Zoë", "a\nb"])
def test_any_title(title: str) -> None:
    content = bytes(stl_bytes(CORNER, title))
    assert content[:80].startswith(b"binary STL in mm")
    assert content[:80].isascii()
    assert len(facets(content)) == 4


def test_the_same_mesh_gives_the_same_bytes() -> None:
    assert stl_bytes(CORNER, "a") == stl_bytes(CORNER, "a")
    assert stl_bytes(CORNER, "a") != stl_bytes(CORNER, "b")


# Every file of every design


def test_what_each_file_says(design_file: Path, job_of: JobOf, made_of: MadeOf) -> None:
    """The header: mm, the part, the scale it carries and what it measures."""
    for part in job_of(design_file).parts:
        for path, count in patterns_of(made_of(design_file), part.name):
            header = path.read_bytes()[:80].decode("ascii")
            assert header.startswith("binary STL in mm: ")
            assert f" {part.name} " in header
            assert f"x{part.scale.scale:.4f} " in header
            if part.plate is None:
                assert f" {part.wax.bore_mm:.2f}/{part.wax.outside_mm:.2f}/" in header
            else:
                plate = part.plate
                assert f" {count}pcs {plate.long_mm:.2f}/{plate.wide_mm:.2f}/" in header


def test_normals_are_unit_and_outward(design_file: Path, made_of: MadeOf) -> None:
    for path in made_of(design_file).rglob("*.stl"):
        found = facets(path.read_bytes())
        normals = found["normal"].astype(float)
        # three coordinates, each rounded, under a root
        assert np.linalg.norm(normals, axis=1) == pytest.approx(1.0, abs=4 * FLOAT32)
        a, b, c = np.moveaxis(found["corners"].astype(float), 1, 0)
        true = np.cross(b - a, c - a)
        area = np.linalg.norm(true, axis=1)
        assert area.min() > 0
        # on facets a micrometre wide, 32 bits blur the direction by a few degrees at most
        assert ((true * normals).sum(axis=1) / area).min() > 0.99
        # outward, and not merely wound alike: the enclosed volume is positive
        assert volume_mm3(found["corners"]) > 0


def test_closed_in_32_bits_by_trimesh(
    design_file: Path, job_of: JobOf, made_of: MadeOf, waxes_of: Callable[[Path], list[Wax]]
) -> None:
    """Read by another program, corners joined only where they are the same to the bit."""
    inlaid = {one.piece: one for one in job_of(design_file).insets}
    for wax in waxes_of(design_file):
        paths = [path for path, _ in patterns_of(made_of(design_file), wax.part.name)]
        path = paths[max(wax.number - 1, 0)]
        read = trimesh.load_mesh(path, process=False)
        read.merge_vertices(digits_vertex=12)
        assert read.is_watertight
        assert read.is_winding_consistent
        assert read.body_count == 1
        assert len(read.faces) == len(wax.mesh.faces)
        # derived: a ring has a hole (Euler number 0), a segment has none (2); an insert its own
        holes = 1 if wax.part.piece.sector is None else 0
        if wax.part.piece in inlaid:
            holes = len(inlaid[wax.part.piece].alike[max(wax.number - 1, 0)].shape.loops) - 1
        assert read.euler_number == 2 - 2 * holes
        judged(
            TRIMESH,
            "volume of every wax read back",
            wax.mesh.volume_mm3(),
            read.volume,
            rel=1e-6,
            why="a thousand times the rounding of one coordinate; corners round both ways",
        )


def test_the_try_on_ring(design_file: Path, job_of: JobOf, made_of: MadeOf) -> None:
    """Not scaled and without stock: it measures what the finished ring will."""
    job = job_of(design_file)
    (path,) = made_of(design_file).glob("*.stl")
    corners = facets(path.read_bytes())["corners"].astype(float).reshape(-1, 3)
    radii = np.hypot(corners[:, 0], corners[:, 1])
    # a dome's crest may lie between two corners: facets stay within 5 micrometre of it
    assert 2 * radii.min() == pytest.approx(job.made.inside_diameter_mm, abs=0.01)
    assert 2 * radii.max() == pytest.approx(job.outside_diameter_mm, abs=0.01)
    assert np.ptp(corners[:, 2]) == pytest.approx(job.form.width_mm, rel=4 * FLOAT32)
    read = trimesh.load_mesh(path, process=False)
    read.merge_vertices(digits_vertex=12)
    assert read.is_watertight


# The scale


def test_the_scale_is_applied_once(design_file: Path, job_of: JobOf, made_of: MadeOf) -> None:
    """Every measure of the file is that of the unscaled casting times the scale: bore too."""
    job = job_of(design_file)
    assert job.ring is not None
    cast = solids(job.ring, chord_mm=job.shop.mesh.chord_mm, with_stock=True)
    for part in job.parts:
        if part.plate is not None:
            continue  # inserts lie flat on the plate: tests/engraving/test_inset.py
        plain = cast[part.piece].vertices
        content = wax_of(made_of(design_file), part.name).read_bytes()
        scaled = facets(content)["corners"].astype(float).reshape(-1, 3)
        k = part.scale.scale
        assert k > 1
        for axis in range(3):
            ratio = np.ptp(scaled[:, axis]) / np.ptp(plain[:, axis])
            # both ends are rounded, and a segment may be short beside its distance
            assert ratio == pytest.approx(k, rel=64 * FLOAT32)
        bores = (np.hypot(mesh[:, 0], mesh[:, 1]).min() for mesh in (scaled, plain))
        assert next(bores) / next(bores) == pytest.approx(k, rel=8 * FLOAT32)


def test_heron_in_numbers(designs: Path, made_of: MadeOf) -> None:
    """Derived from the design file, the printed US scale and the default shop.

    US 7 is 17.3228 mm across (Wikipedia, "Ring size"). Stock 0.10 on bore and outside, 0.15
    on each edge; shrink 1.25 %: common practice, no source.
    """
    k = 1 / (1 - 0.0125)
    bore = 25.4 * (0.458 + 0.032 * 7)
    content = wax_of(made_of(designs / "heron.toml"), "body").read_bytes()
    corners = facets(content)["corners"].astype(float).reshape(-1, 3)
    radii = np.hypot(corners[:, 0], corners[:, 1])
    assert 2 * radii.min() == pytest.approx((bore - 0.2) * k, rel=8 * FLOAT32)
    assert np.ptp(corners[:, 2]) == pytest.approx((6.0 + 0.3) * k, rel=8 * FLOAT32)
    # the channel is cut through the crest: the body is highest at the channel's walls, 1.2 mm
    # out, on the dome of rise 0.35 over half width 3, moved out by the stock
    bend = (9 + 0.35**2) / 0.7
    crest = bore / 2 + 1.9
    wall = crest - bend + np.sqrt((bend + 0.1) ** 2 - 1.2**2)
    assert 2 * radii.max() == pytest.approx(2 * wall * k, rel=8 * FLOAT32)


def test_what_is_weighed_is_the_casting_not_the_wax(
    design_file: Path, job_of: JobOf, made_of: MadeOf
) -> None:
    """The wax shrunk back is the casting that is weighed, less what the facets cut off.

    Facets stay within 5 micrometre of the surface: on parts a millimetre thick that is below
    1 % of the volume, while the scale's cube would be 3.8 %.
    """
    for part in job_of(design_file).parts:
        shrunk = sum(
            count * volume_mm3(facets(path.read_bytes())["corners"]) / part.scale.scale**3
            for path, count in patterns_of(made_of(design_file), part.name)
        )
        assert shrunk == pytest.approx(part.cast_mm3, rel=0.01)
