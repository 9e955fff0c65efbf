"""Solids of every form with every kind of place: closed, positive, apart, and as weighed.

Read back in 32-bit numbers, as a file holds them. manifold3d and trimesh are the judges.
"""

from __future__ import annotations

from itertools import combinations
from typing import Any

import numpy as np
import pytest
import trimesh
from form import rings
from form.outlines import FORMS, band
from form.test_forms import outsides
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from manifold3d import Manifold, Mesh

from ringgeom.form.places import AnyPlace
from ringgeom.form.ring import ring
from ringgeom.form.solid import solids
from ringgeom.form.volume import volumes

CHORD_MM = 0.02
"""Coarser than the waxes, for speed: what can go wrong with an outline does not depend on it."""

GAP: dict[str, Any] = {"gap_mm": {"side": 0.04, "floor": 0.05}}
WAVE = rings.wave(0.4, 3, 20)

PLACES: dict[str, list[AnyPlace]] = {
    "nothing": [],
    "a channel": [rings.channel(1.4, 0.5, centre_mm=0.3, **GAP)],
    "an undercut wire": [rings.channel(1.0, 0.5, undercut_mm=0.1, **GAP)],
    "a waving channel": [rings.channel(1.0, 0.5, wave=WAVE, **GAP)],
    "a liner": [rings.liner(0.7, gap_mm=0.03)],
    "waving halves": [rings.stripe(-3.0, 0.2, wave=WAVE), rings.stripe(0.2, 3.0, wave=WAVE)],
    "rails": [rings.edges(0.9, gap_mm=0.03)],
    "slanted segments": [rings.segments(5, slant_deg=25, gap_mm=0.05)],
    "segments let in": [rings.segments(4, depth_mm=0.9, gap_mm=0.05)],
    "a step at the edge": [rings.channel(1.2, 1.1, centre_mm=2.4, **GAP)],
}


@pytest.mark.parametrize("stocked", [False, True], ids=["finished", "cast"])
@pytest.mark.parametrize("places", PLACES)
@pytest.mark.parametrize("outside", FORMS)
def test_closed_positive_apart_and_as_weighed(outside: str, places: str, stocked: bool) -> None:
    form = band(outside, "eased" if places != "a liner" else "domed", edge_mm=0.12)
    made = ring(form, PLACES[places], rings.STOCK)
    found = solids(made, chord_mm=CHORD_MM, with_stock=stocked)
    weighed = volumes(made, with_stock=stocked)
    assert set(found) == {p for p in weighed if p.owner.kind in ("part", "body")}
    metal = {}
    for piece, mesh in found.items():
        read = mesh.vertices.astype(np.float32)
        seen = trimesh.Trimesh(read, mesh.faces, process=True)
        assert seen.is_watertight, piece
        assert seen.is_winding_consistent, piece
        assert seen.volume > 0, piece
        assert seen.body_count == 1, piece
        # inside convex and outside hollow faces by the chord at most
        assert abs(seen.volume - weighed[piece].volume_mm3) <= CHORD_MM * seen.area, piece
        solid = Manifold(Mesh(vert_properties=read, tri_verts=mesh.faces.astype(np.uint32)))
        assert not solid.is_empty(), solid.status()
        metal[piece] = solid
    for (a, one), (b, two) in combinations(metal.items(), 2):
        # neighbours share their points, which 32 bits round alike
        assert abs((one ^ two).volume()) < 1e-4, (a, b)


@settings(max_examples=40, deadline=None, derandomize=True)
@given(data=st.data())
def test_any_measures_with_any_places(data: st.DataObject) -> None:
    """Random measures of a random form, random places: all adds up to the band, and is closed."""
    like, places = data.draw(rings.rings(waves=data.draw(st.booleans())))
    kind = data.draw(st.sampled_from(sorted({one["form"] for one in FORMS.values()})))
    form = band(
        data.draw(outsides(kind, like.width_mm / 2)),
        data.draw(st.sampled_from(["flat", "eased", "domed"])),
        width_mm=like.width_mm,
        thickness_mm=2.4,
        edge_mm=0.05,
    )
    z = np.linspace(-like.width_mm / 2, like.width_mm / 2, 301)
    outside, bore = form.drawn
    # what the rules would stop: an outside that comes down to the floors
    assume(float((outside.r(z) - bore.r(z)).min()) > 0.9)
    stocked = data.draw(st.booleans())
    made, empty = ring(form, places, rings.STOCK), ring(form, [], rings.STOCK)
    weighed = volumes(made, with_stock=stocked)
    (whole,) = volumes(empty, with_stock=stocked).values()
    # quadrature over the kinks of a wave that passes corners: 1e-12; bends to 2000 mm: 1e-8
    together = sum(volume.volume_mm3 for volume in weighed.values())
    assert together == pytest.approx(whole.volume_mm3, rel=1e-7)
    for piece, mesh in solids(made, chord_mm=CHORD_MM, with_stock=stocked).items():
        seen = trimesh.Trimesh(mesh.vertices.astype(np.float32), mesh.faces, process=True)
        assert seen.is_watertight, piece
        assert seen.volume > 0, piece
        if piece in weighed:
            off = abs(seen.volume - weighed[piece].volume_mm3)
            assert off <= CHORD_MM * seen.area + 1e-3, piece


CROSSING: dict[str, tuple[str, list[AnyPlace]]] = {
    "over the risers of steps": ("stepped", [rings.channel(3.6, 0.9, wave=rings.wave(0.7, 2))]),
    "over both domes": ("twin dome", [rings.channel(1.0, 0.7, wave=rings.wave(1.6, 2))]),
    "over bevels, undercut": (
        "bevelled",
        [rings.channel(1.0, 0.9, undercut_mm=0.1, wave=rings.wave(1.7, 2))],
    ),
    "over a ridge": ("knife edge", [rings.stripe(-3.0, 0.1, wave=rings.wave(1.5, 3))]),
    "over an outline": ("free", [rings.channel(1.0, 0.9, wave=rings.wave(1.6, 2))]),
}


@pytest.mark.parametrize("name", CROSSING)
def test_walls_that_wave_over_the_corners_of_a_form(name: str) -> None:
    """What a boolean parts and what is weighed by quadrature agree, and parts plus gaps are all."""
    outside, places = CROSSING[name]
    form = band(outside, "flat", edge_mm=0.1)
    made, empty = ring(form, places), ring(form, [])
    weighed = volumes(made)
    (whole,) = volumes(empty).values()
    assert sum(v.volume_mm3 for v in weighed.values()) == pytest.approx(whole.volume_mm3, rel=1e-9)
    found = solids(made, chord_mm=CHORD_MM)
    assert set(found) == {p for p in weighed if p.owner.kind in ("part", "body")}
    for piece, mesh in found.items():
        seen = trimesh.Trimesh(mesh.vertices.astype(np.float32), mesh.faces, process=True)
        assert seen.is_watertight, piece
        assert abs(seen.volume - weighed[piece].volume_mm3) <= CHORD_MM * seen.area, piece
