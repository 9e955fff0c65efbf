"""Carved solids: the same pieces and volumes as the sections say, and as swept where both can."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
from form import rings
from form.mixed import MIXED, Asked
from form.plain import PlainRing
from form.surface import beyond, random_points
from manifold3d import Manifold, Mesh64

from ringgeom.errors import ShapeError
from ringgeom.form import carve
from ringgeom.form.carve import carved
from ringgeom.form.grid import facets
from ringgeom.form.mesh import Mesh, is_closed
from ringgeom.form.ring import NO_STOCK, Ring, ring
from ringgeom.form.solid import solids
from ringgeom.form.volume import volumes

KINDS = ("part", "body", "gap", "joint", "recess")
PLAIN = (
    "waving, undercut, gaps",
    "undercut start in the rounding",
    "segments let in beside a wave",
    "recessed",
    "proud",
)
"""Rings that are swept by right, and can be carved too."""

CROSSING: dict[str, Asked] = {
    "narrow undercut over a boundary": (
        rings.form(edge=0.1),
        [
            rings.channel(0.8, 0.5, undercut_mm=0.12, wave=rings.wave(0.7, 3)),
            rings.stripe(-3.0, 0.0),
        ],
    ),
    "islands over a liner": (
        rings.form(width=7.0, thickness=2.4, out=0.0, into=0.0),
        [
            rings.liner(0.8, gap_mm=0.03),
            rings.channel(1.2, 1.6, gap_mm=0.04, wave=rings.wave(1.4, 3)),
            rings.stripe(-3.5, 0.0),
        ],
    ),
    "segments under a wave that crosses the rails": (
        rings.form(edge=0.2),
        [
            rings.channel(1.6, 0.8, gap_mm=0.03, wave=rings.wave(1.0, 2)),
            rings.edges(1.5, gap_mm=0.03),
            rings.segments(5, slant_deg=20, gap_mm=0.04),
        ],
    ),
    "pressed over a boundary": (
        rings.form(),
        [
            rings.channel(1.2, 0.8, gap_mm=-0.02, wave=rings.wave(1.4, 3)),
            rings.stripe(-3.0, 0.0),
        ],
    ),
    "recessed": (
        rings.form(proud=-0.2),
        [rings.channel(1.2, 0.8, gap_mm=0.04, wave=rings.wave(1.4, 3)), rings.stripe(-3.0, 0.0)],
    ),
}


def surface_mm2(mesh: Mesh) -> float:
    a, b, c = np.moveaxis(mesh.corners, 1, 0)
    return 0.5 * float(np.linalg.norm(np.cross(b - a, c - a), axis=1).sum())


def manifold(mesh: Mesh) -> Manifold:
    return Manifold(Mesh64(vert_properties=mesh.vertices, tri_verts=mesh.faces.astype("u8")))


def laid(asked: Asked, stocked: bool) -> Ring:
    return ring(*asked, rings.STOCK if stocked else NO_STOCK)


@pytest.mark.parametrize("name", PLAIN)
def test_carved_and_swept_agree(name: str) -> None:
    """On one angle grid both ways make the same solids, facet by facet."""
    made = laid(MIXED[name], False)
    swept = solids(made, kinds=("part", "body"))
    cut = carved(made, facets(made), with_stock=False, kinds=("part", "body"))
    assert cut.keys() == swept.keys()
    for piece, mesh in swept.items():
        # an arc cut through by a wall keeps its chords, whole in the one way, parted in the other
        assert abs(cut[piece].volume_mm3() - mesh.volume_mm3()) < 0.0025 * surface_mm2(mesh), piece


def test_a_plain_ring_is_carved_to_the_bit() -> None:
    """Nothing but flat faces: the two ways differ by the joining of corners 2e-5 mm apart."""
    made = ring(rings.FLAT, [rings.channel(gap_mm=0.05)])
    swept = solids(made, kinds=KINDS)
    cut = carved(made, facets(made), with_stock=False, kinds=KINDS)
    assert {p for p in cut if p.owner.kind != "recess"} == set(swept)
    for piece, mesh in swept.items():
        assert abs(cut[piece].volume_mm3() - mesh.volume_mm3()) < 2e-5 * surface_mm2(mesh)


@pytest.mark.parametrize("stocked", [False, True], ids=["finished", "cast"])
@pytest.mark.parametrize("name", CROSSING)
def test_carved_pieces_are_those_weighed(name: str, stocked: bool) -> None:
    made = laid(CROSSING[name], stocked)
    assert len(made.sections(facets(made).angles, with_stock=stocked)) > 1  # else it is swept
    found = solids(made, with_stock=stocked)
    weighed = volumes(made, with_stock=stocked)
    assert found.keys() == {p for p in weighed if p.owner.kind in ("part", "body")}
    for piece, mesh in found.items():
        assert is_closed(mesh), piece
        # no point is further off than the chord error
        off = mesh.volume_mm3() - weighed[piece].volume_mm3
        assert abs(off) < 0.005 * surface_mm2(mesh), piece


@pytest.mark.parametrize("name", [name for name in CROSSING if "pressed" not in name])
def test_carved_parts_lie_apart(name: str) -> None:
    found = {piece: manifold(mesh) for piece, mesh in solids(ring(*CROSSING[name])).items()}
    for one, two in combinations(found, 2):
        # asked of every ring: below 1e-4 mm3
        assert abs((found[one] ^ found[two]).volume()) < 1e-4, (one, two)


@pytest.mark.parametrize("name", CROSSING)
def test_carved_surfaces_keep_the_chord(name: str) -> None:
    plain = PlainRing(*CROSSING[name])
    for piece, mesh in solids(ring(*CROSSING[name])).items():
        # islands of one part all lie in it; what is asked is whether a point lies on its surface
        if piece.sector in (None, 0):
            assert not beyond(plain, piece, *random_points(mesh, 1500, 3), 0.005).any(), piece


def test_what_takes_too_many_facets_is_refused_with_a_way_out(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(carve, "MOST_FACETS", 1000)
    places = [
        rings.channel(1.2, 0.6, wave=rings.wave(0.9, 3)),
        rings.stripe(-0.5, 0.5),
    ]
    with pytest.raises(ShapeError, match=r"million facets .*chord_mm"):
        solids(ring(rings.FLAT, places))
