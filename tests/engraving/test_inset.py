"""Motif inlays in a ring: exact against closed forms, Green's theorem anew, shapely and solids."""

from __future__ import annotations

from math import pi
from pathlib import Path

import pytest
import trimesh
from engraving.chain_volume import volume_mm3
from engraving.drawn import design_in, inlay, job_in, motif
from manifold3d import Manifold, Mesh64
from shapely import Polygon

import ringgeom as rg
from ringgeom.engraving.flat import polygon_of
from ringgeom.engraving.inset import Inset
from ringgeom.engraving.solid import lettered
from ringgeom.form.mesh import Mesh
from ringgeom.form.solid import solids
from ringgeom.making.wax import waxes

DOMED = 'outside = { form = "domed", rise_mm = 0.3 }\nedge_mm = 0.2'
REED = (
    '[[part]]\nname = "reed"\nplace = "channel"\nalloy = "gold-750-white-pd-15"\nwidth_mm = 0.7\n'
    "depth_mm = 0.6\ncentre_mm = -1.7\ngap_mm = 0.04\n"
    "wave = { amplitude_mm = 0.25, count = 3 }\n"
)
TIGHT = "gap_mm = { side = 0.0, floor = 0.0 }"
RINGS = {
    "flat": ("", inlay(count=8)),
    "domed": (DOMED, inlay(count=8, mirrored="across", centre_mm=0.6)),
    "flat-floor": (DOMED, inlay(count=6, floor="flat", centre_mm=0.4)),
    "cast-in": (DOMED, inlay(count=6, made="cast")),
    "cutter": ("", inlay(file="square.svg", count=6, cutter_mm=0.4)),
    "relieved": ("", inlay(file="square.svg", count=6, cutter_mm=0.3, corners="relieved")),
    "tight": (DOMED, inlay(count=3, height_mm=1.6, floor="flat", gap_mm=TIGHT)),
    "tight-at-its-walls": (
        DOMED,
        inlay(
            file="blade.svg",
            count=3,
            height_mm=1.4,
            centre_mm=-0.78,
            floor="flat",
            cutter_mm=0.3,
            corners="relieved",
            gap_mm="gap_mm = { side = 0.0, floor = 0.03 }",
        ),
    ),
    "tight-on-its-floor": (
        DOMED,
        inlay(count=4, gap_mm="gap_mm = { side = 0.04, floor = 0.0 }"),
    ),
    "waving": (DOMED, REED + inlay(count=9, follows="reed", centre_mm=0.9, height_mm=1.2)),
    "in-an-inlay": (
        "",
        '[[part]]\nname = "belt"\nplace = "channel"\nalloy = "gold-750-white-pd-15"\n'
        "width_mm = 4.0\ndepth_mm = 1.4\ngap_mm = 0.04\n" + inlay(count=8, depth_mm=0.5),
    ),
    "engraved-beside": (
        "",
        inlay(count=8, centre_mm=-1.2, height_mm=1.4)
        + motif(on="outside", count=8, centre_mm=1.8, height_mm=1.0, depth_mm=0.15),
    ),
}


def one_of(job: rg.Job) -> Inset:
    assert not job.stopped, job.findings
    (found,) = job.insets
    return found


@pytest.mark.parametrize("name", RINGS)
def test_parts_gaps_and_what_is_engraved_are_the_band(name: str, tmp_path: Path) -> None:
    """Derived: nothing is lost or doubled; every integral is good to rounding, 1e-6 is wanted."""
    ring, rest = RINGS[name]
    job = job_in(tmp_path, rest, ring)
    one_of(job)
    (band,) = job_in(tmp_path, "", ring).parts
    gaps = sum(v.volume_mm3 for p, v in job.volumes if p.owner.kind not in ("part", "body"))
    engraved = sum(part.engraved_mm3 for part in job.parts)
    assert job.volume_mm3 + gaps + engraved == pytest.approx(band.volume_mm3, abs=1e-6)


def test_square_inserts_on_a_cylinder(tmp_path: Path) -> None:
    """Derived: angle x height x (R^2 - r^2) / 2, each side less by the gap."""
    job = job_in(tmp_path, inlay(file="square.svg", count=5, height_mm=1.5))
    one, (part, body) = one_of(job), job.parts
    r = job.form.band.crest_mm
    pocket = 3.0 / r * 1.5 * (r**2 - (r - 0.7) ** 2) / 2
    insert = (3.0 - 0.08) / r * (1.5 - 0.08) * (r**2 - (r - 0.7 + 0.03) ** 2) / 2
    assert one.pocket_mm3 == pytest.approx(5 * pocket, rel=1e-12)
    assert part.volume_mm3 == pytest.approx(5 * insert, rel=1e-12)
    assert part.each_mm3 == pytest.approx((insert,) * 5, rel=1e-12)
    whole = pi * 6.0 * (r**2 - job.form.band.bore_mm**2)
    assert body.volume_mm3 == pytest.approx(whole - 5 * pocket, rel=1e-12)
    # with 0.1 mm of stock outside; the casting of the body has no pockets yet
    taller = (3.0 - 0.08) / r * (1.5 - 0.08) * ((r + 0.1) ** 2 - (r - 0.67) ** 2) / 2
    assert part.cast_mm3 == pytest.approx(5 * taller, rel=1e-12)
    assert body.cast_mm3 > whole


@pytest.mark.parametrize("name", ["domed", "flat", "waving"])
def test_volumes_by_another_way(name: str, tmp_path: Path) -> None:
    """All copies at once between two chains of curves, against one after the other by strips."""
    ring, rest = RINGS[name]
    one = one_of(job_in(tmp_path, rest, ring))
    outside = one.face.ring.finished.outside
    for relief, shapes, volume in (
        (one.deep, one.cut.pockets, one.pocket_mm3),
        (one.bed, [p for copy in one.cut.pieces for p in copy], one.insert_mm3),
    ):
        floor = outside.raised(-relief.depth_mm)
        exact = sum(volume_mm3(s, outside, floor, one.face.around_mm) for s in shapes)
        assert volume == pytest.approx(exact, rel=1e-11)


def test_unrolled_areas_by_shapely(tmp_path: Path) -> None:
    """Derived: offset inwards by the gap; outlines are drawn within half a micrometre."""
    one = one_of(job_in(tmp_path, inlay(count=7)))
    for pocket, pieces in zip(one.cut.pockets, one.cut.pieces, strict=True):
        drawn = polygon_of(pocket, 1e-4)
        (piece,) = pieces
        off = 2 * 5e-4 * drawn.length
        assert piece.area_mm2 == pytest.approx(drawn.buffer(-0.04, quad_segs=64).area, abs=off)


def manifold(mesh: Mesh) -> Manifold:
    solid = Manifold(Mesh64(vert_properties=mesh.vertices, tri_verts=mesh.faces.astype("u8")))
    assert not solid.is_empty(), solid.status()
    return solid


@pytest.mark.parametrize("name", RINGS)
@pytest.mark.parametrize("with_stock", [False, True], ids=["finished", "cast"])
def test_solids_are_closed_apart_and_as_large_as_weighed(
    name: str, with_stock: bool, tmp_path: Path
) -> None:
    """manifold3d and trimesh judge; closed in 32 bits too, and off by the facets alone."""
    ring, rest = RINGS[name]
    job = job_in(tmp_path, rest, ring)
    one = one_of(job)
    assert job.ring is not None
    plain = solids(job.ring, with_stock=with_stock)
    meshes = lettered(plain, job.engraved, job.insets, chord_mm=0.005, with_stock=with_stock)
    for part in job.parts:
        mesh = meshes[part.piece]
        written = trimesh.Trimesh(mesh.vertices.astype("f4"), mesh.faces, process=True)
        assert written.is_watertight
        assert written.is_winding_consistent
        exact = part.cast_mm3 if with_stock else part.volume_mm3
        # floor and face are off by a chord, as in the judging of every design
        assert abs(mesh.volume_mm3() - exact) <= 0.005 * written.area
        if part.piece == one.piece:
            assert written.body_count == one.count == part.count
    insert = manifold(meshes[one.piece])
    for part in job.parts:
        if part.piece != one.piece and (not with_stock or one.asked.cast_in):
            assert abs((insert ^ manifold(meshes[part.piece])).volume()) < 1e-4


def test_a_gap_finer_than_its_facets_is_drawn_closed(tmp_path: Path) -> None:
    """Its floor and the pocket's would cross so often that no file could hold the insert."""
    asked = {"file": "blade.svg", "count": 2, "height_mm": 1.84, "depth_mm": 0.52}
    asked |= {"cutter_mm": 0.2, "corners": "relieved"}
    gap = "gap_mm = { side = 0.0, floor = 0.0017 }"
    job = job_in(tmp_path, inlay(**asked, centre_mm=0.17, gap_mm=gap), DOMED)
    assert job.ring is not None
    meshes = lettered(solids(job.ring, chord_mm=0.002), (), job.insets, chord_mm=0.002)
    insert, body = (manifold(meshes[part.piece]) for part in job.parts)
    assert abs((insert ^ body).volume()) < 1e-4
    assert insert.volume() == pytest.approx(
        one_of(job).insert_mm3, abs=0.002 * insert.surface_area()
    )


def test_every_pattern_is_one_wax_and_says_how_many(tmp_path: Path) -> None:
    """Scaled once; lying with its outside up on z = 0; together as heavy as the part as cast."""
    job = job_in(tmp_path, inlay(count=8, mirrored="across", centre_mm=0.6), DOMED)
    assert job.ring is not None
    sprues = {p.name: s for c in job.castings for p, s in zip(c.parts, c.sprues, strict=True)}
    found = waxes(job.ring, job.parts, sprues, job.shop, job.engraved, job.insets)
    part = job.parts[0]
    mine = [wax for wax in found if wax.part == part]
    assert [(wax.number, wax.count) for wax in mine] == [(1, 4), (2, 4)]
    scale = part.scale.scale
    total = sum(wax.count * wax.mesh.volume_mm3() / scale**3 for wax in mine)
    assert total == pytest.approx(part.cast_mm3, rel=2e-3)
    assert part.plate is not None
    for wax in mine:
        low, high = wax.mesh.bounds_mm()
        assert low[2] == 0
        long, wide, _ = (high - low).tolist()
        assert long == pytest.approx(part.plate.long_mm, abs=2e-3)
        assert wide == pytest.approx(part.plate.wide_mm, abs=2e-3)
    assert sprues[part.name].count == 8
    (tree,) = [c.tree for c in job.castings if part in c.parts]
    assert tree.waxes == 8


def test_a_sprue_stands_on_every_piece(tmp_path: Path) -> None:
    shop = rg.Shop(casting={"sprue_on_wax": True})
    job = rg.job(design_in(tmp_path, inlay(count=4)), shop)
    assert job.ring is not None
    sprues = {p.name: s for c in job.castings for p, s in zip(c.parts, c.sprues, strict=True)}
    found = waxes(job.ring, job.parts[:1], sprues, shop, (), job.insets)
    (wax,) = found
    _, high = wax.mesh.bounds_mm()
    assert high[2] > shop.casting.sprue_length_mm
    assert trimesh.Trimesh(wax.mesh.vertices, wax.mesh.faces).body_count == 1


def test_joints_measure_floor_and_walls(tmp_path: Path) -> None:
    """Derived: a square pocket's floor, and its four walls between floor and face."""
    job = job_in(tmp_path, inlay(file="square.svg", count=5, height_mm=1.5))
    r, low = job.form.band.crest_mm, job.form.band.crest_mm - 0.7
    floor, wall = job.joints
    assert (floor.kind, wall.kind) == ("floor", "wall")
    assert floor.area_mm2 == pytest.approx(5 * 3.0 * 1.5 * low / r, rel=1e-9)
    ends, sides = 2 * 1.5 * 0.7, 2 * 3.0 / r * (r**2 - low**2) / 2
    assert wall.area_mm2 == pytest.approx(5 * (ends + sides), rel=1e-9)
    assert (floor.gap_mm, wall.gap_mm) == (0.03, 0.04)
    assert floor.use == wall.use == "solder"


def test_the_same_ring_in_other_alloys_keeps_its_volumes(tmp_path: Path) -> None:
    from ringgeom.jobs import refilled

    job = job_in(tmp_path, inlay(count=6))
    parts = tuple(one.model_copy(update={"alloy": "silver-925"}) for one in job.design.parts)
    other = refilled(job, job.design.model_copy(update={"parts": parts}))
    assert other.parts[0].volume_mm3 == job.parts[0].volume_mm3
    assert other.parts[0].alloy.name == "silver-925"


def test_the_cut_section_shows_insert_and_pocket(tmp_path: Path) -> None:
    """Derived: at the middle of a square its profile is height x depth, less the gaps."""
    from ringgeom.drawing.cut import cut_faces

    job = job_in(tmp_path, inlay(file="square.svg", count=4, height_mm=1.5))
    areas = {
        face.part.name: sum(Polygon(loop).area for loop in face.loops) for face in cut_faces(job)
    }
    assert areas["leaves"] == pytest.approx((1.5 - 0.08) * (0.7 - 0.03), rel=1e-6)
    assert areas["body"] == pytest.approx(6.0 * 2.0 - 1.5 * 0.7, rel=1e-6)
