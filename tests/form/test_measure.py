"""Measures for casting: modulus, heaviest section, where a sprue stands, what a calliper reads."""

from __future__ import annotations

from math import pi

import numpy as np
import pytest
from form import rings
from form.mixed import MIXED, Asked
from form.plain import PlainRing
from form.plain_volume import moments
from hypothesis import given, settings

from ringgeom.form.measure import build, extent
from ringgeom.form.mesh import Mesh
from ringgeom.form.pieces import Piece
from ringgeom.form.ring import NO_STOCK, ring
from ringgeom.form.section import BODY, Owner
from ringgeom.form.solid import solids
from ringgeom.form.volume import volumes

EXAMPLES = settings(max_examples=25, deadline=None, derandomize=True)
INLAY, BAND = Piece(Owner("part", 0)), Piece(BODY)
CREST = 17.35 / 2 + 1.9


@pytest.mark.parametrize(
    ("width", "thickness", "sprue_mm"),
    [(4.0, 1.5, 2.62), (6.0, 2.0, 3.60), (8.0, 2.0, 3.84), (10.0, 2.5, 4.80)],
)
def test_modulus_of_flat_bands(width: float, thickness: float, sprue_mm: float) -> None:
    """M = w t / (2 (w + t)): Chvorinov's volume over surface; d = 4 x 1.2 M, computed examples.

    The factor 1.2 is from memory of foundry textbooks.
    """
    made = ring(rings.form(width=width, thickness=thickness, out=0.0, into=0.0), [])
    found = build(made, BAND, with_stock=False)
    # a handful of products of exact numbers
    assert found.modulus_mm == pytest.approx(
        width * thickness / (2 * (width + thickness)), rel=1e-13
    )
    assert 4.8 * found.modulus_mm == pytest.approx(sprue_mm, abs=0.005)  # printed to 0.01
    assert found.ends == 0
    assert found.length_mm == pytest.approx(pi * (17.35 + thickness), rel=1e-13)


def test_modulus_of_a_segment_counts_its_two_ends() -> None:
    made = ring(rings.FLAT, [rings.segments(6)])
    found = build(made, Piece(Owner("part", 0), 0, 2), with_stock=False)
    area, around, long = 6 * 1.9, 2 * (6 + 1.9), pi * (17.35 + 1.9) / 6
    assert found.ends == 2
    assert found.length_mm == pytest.approx(long, rel=1e-13)
    assert found.modulus_mm == pytest.approx(area * long / (around * long + 2 * area), rel=1e-13)


def test_modulus_of_a_half_round_ring() -> None:
    """A half disc of radius 2: area 2 pi, round it 2 pi + 4."""
    made = ring(rings.form(bore=18.0, width=4.0, thickness=2.0, out=2.0, into=0.0), [])
    found = build(made, BAND, with_stock=False)
    # the area comes by Gauss's rule, which at the upright end of an arc is good to 4e-5 of it
    assert found.modulus_mm == pytest.approx(2 * pi / (2 * pi + 4), rel=1e-4)
    # Pappus: the centroid lies 4 R / (3 pi) above the flat
    assert found.length_mm == pytest.approx(pi * (18 + 16 / (3 * pi)), rel=1e-4)


@EXAMPLES
@given(asked=rings.rings(waves=False))
def test_area_and_perimeter_are_those_of_the_outline(asked: Asked) -> None:
    """Against the polygon of a fine mesh's first section; length x area is the volume."""
    made = ring(*asked)
    if made.twist:  # the first angle of a mesh is no plane then
        return
    whole = volumes(made)
    for piece, mesh in solids(made, chord_mm=0.001).items():
        if piece.sector is not None:
            continue
        found = build(made, piece, with_stock=False)
        assert found.area_mm2 * found.length_mm == pytest.approx(whole[piece].volume_mm3, rel=1e-9)
        # half the chord error is the section's own, all along the outline at most
        area, around = outline(mesh)
        assert found.area_mm2 == pytest.approx(area, abs=0.0005 * around)
        # chords of sagitta s on a bend R are short by 4 s/(3 R): 0.7 % on the least rounding
        assert found.perimeter_mm == pytest.approx(around, rel=7e-3)


def outline(mesh: Mesh) -> tuple[float, float]:
    """Area and length of the loop of corners at angle 0, found by walking the mesh's edges."""
    x, y, z = mesh.vertices.T
    on = (np.abs(y) < 1e-9) & (x > 0)
    edges = np.concatenate([mesh.faces[:, [i, (i + 1) % 3]] for i in range(3)])
    ends = np.unique(np.sort(edges[on[edges].all(axis=1)], axis=1), axis=0)
    length = np.hypot(x[ends[:, 0]] - x[ends[:, 1]], z[ends[:, 0]] - z[ends[:, 1]]).sum()
    after: dict[int, list[int]] = {}
    for a, b in ends.tolist():
        after.setdefault(a, []).append(b)
        after.setdefault(b, []).append(a)
    first = ends[0, 0]
    walk = [first, after[first][0]]
    while walk[-1] != first:
        one, other = after[walk[-1]]
        walk.append(other if one == walk[-2] else one)
    r, h = x[walk], z[walk]
    return 0.5 * abs(float((r[:-1] * h[1:] - r[1:] * h[:-1]).sum())), float(length)


def test_the_heaviest_section_of_a_waving_inlay() -> None:
    """On a dome the inlay is deepest where it passes mid-width, at the wave's zero."""
    asked = (rings.form(), [rings.channel(gap_mm=0.02, wave=rings.wave(0.7, 8))])
    made = ring(*asked)
    found = build(made, INLAY, with_stock=False)
    around = moments(PlainRing(*asked), np.linspace(0, 2 * pi, 641))["part", 0]
    straight = moments(PlainRing(rings.form(), [rings.channel(gap_mm=0.02)]), np.zeros(1))
    # sections are looked at 64 to a wave, 0 among them
    assert found.area_mm2 * found.length_mm / (2 * pi) == pytest.approx(around.max(), rel=1e-9)
    assert around.max() == pytest.approx(straight["part", 0][0], rel=1e-9)
    assert np.sin(8 * found.stand.angle) == pytest.approx(0.0, abs=1e-9)


def test_where_the_sprue_of_an_inlay_stands() -> None:
    made = ring(rings.form(), [rings.channel(centre_mm=0.5, gap_mm=0.02)])
    stand = build(made, INLAY, with_stock=False).stand
    assert stand.z_mm == pytest.approx(0.5, abs=1e-12)
    assert stand.width_mm == pytest.approx(2.36, abs=1e-12)
    top = float(PlainRing(rings.form(), []).outside.r(np.array(0.5)))
    assert stand.radius_mm == pytest.approx(top, abs=1e-12)
    assert stand.depth_mm == pytest.approx(top - (CREST - 0.78), abs=1e-12)


def test_where_the_sprue_of_a_channelled_body_stands() -> None:
    """On a rail: there the wall is thickest, not in the channel that is wider."""
    made = ring(rings.form(), [rings.channel(gap_mm=0.02)])
    stand = build(made, BAND, with_stock=False).stand
    plain, rail = PlainRing(rings.form(), []), np.array(2.1)
    assert abs(stand.z_mm) == pytest.approx(2.1, abs=1e-12)
    assert stand.width_mm == pytest.approx(1.8, abs=1e-12)
    through = float(plain.outside.r(rail) - plain.bore.r(rail))
    assert stand.depth_mm == pytest.approx(through, abs=1e-12)


@pytest.mark.parametrize("slant", [0.0, 40.0, -40.0])
def test_the_sprue_of_a_segment_stands_on_it(slant: float) -> None:
    asked = (rings.form(), [rings.segments(6, slant_deg=slant, gap_mm=0.05)])
    plain, made = PlainRing(*asked), ring(*asked)
    for number in range(6):
        stand = build(made, Piece(Owner("part", 0), 0, number), with_stock=False).stand
        r = stand.radius_mm - 0.1
        at = np.array([r * np.cos(stand.angle), r * np.sin(stand.angle), stand.z_mm])
        assert plain.holds("part", 0, number, at)


@pytest.mark.parametrize("stocked", [False, True], ids=["finished", "cast"])
@pytest.mark.parametrize("name", MIXED)
def test_what_a_calliper_reads(name: str, stocked: bool) -> None:
    """The extent of the solid itself, to the chord error of its mesh."""
    made = ring(*MIXED[name], rings.STOCK if stocked else NO_STOCK)
    for piece, mesh in solids(made, chord_mm=0.002, with_stock=stocked).items():
        found = extent(made, piece, with_stock=stocked)
        r, z = np.hypot(mesh.vertices[:, 0], mesh.vertices[:, 1]), mesh.vertices[:, 2]
        # diameters, so twice the chord
        assert found.bore_mm == pytest.approx(2 * r.min(), abs=0.004), piece
        assert found.outside_mm == pytest.approx(2 * r.max(), abs=0.004), piece
        assert found.width_mm == pytest.approx(np.ptp(z), abs=0.004), piece
