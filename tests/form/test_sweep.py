"""Swept solids: closed, within the chord error, and mating walls that share every facet."""

from __future__ import annotations

from math import cos, hypot, pi, sin

import numpy as np
import pytest
from form import rings
from form.mixed import MIXED, Asked
from form.plain import PlainRing
from form.surface import beyond, random_points
from manifold3d import Manifold, Mesh64

from ringgeom.form.grid import facets
from ringgeom.form.mesh import Mesh
from ringgeom.form.pieces import Piece
from ringgeom.form.ring import NO_STOCK, ring
from ringgeom.form.section import BODY, Owner
from ringgeom.form.solid import solids
from ringgeom.form.volume import volumes

KINDS = ("part", "body", "gap", "joint", "recess")
WAVY = rings.wave(0.5, 5, 30)
HALVES: dict[str, Asked] = {
    "straight": (rings.form(edge=0.2), [rings.stripe(-3.0, 0.3), rings.stripe(0.3, 3.0)]),
    "waving": (
        rings.form(edge=0.2),
        [rings.stripe(-3.0, 0.3, wave=WAVY), rings.stripe(0.3, 3.0, wave=WAVY)],
    ),
    "slanted": (
        rings.form(edge=0.2),
        [rings.stripe(-3.0, 0.3), rings.segments(5, slant_deg=35)],
    ),
    "waving and slanted": (
        rings.form(edge=0.2),
        [rings.stripe(-3.0, 0.3, wave=WAVY), rings.segments(5, slant_deg=35)],
    ),
}
SLANTED: dict[str, Asked] = {
    "through": (rings.form(), [rings.segments(6, slant_deg=30)]),
    "steep": (rings.FLAT, [rings.segments(6, slant_deg=-60)]),
    "rounded, under an inlay": (
        rings.form(out=0.0, into=0.0, edge=0.23, width=8.0),
        [rings.channel(1.5, 0.6), rings.segments(12, slant_deg=35, gap_mm=0.03)],
    ),
    "beside a wave": MIXED["segments let in beside a wave"],
    "between rails": MIXED["waving rails, slanted segments"],
}


def manifold(mesh: Mesh) -> Manifold:
    return Manifold(Mesh64(vert_properties=mesh.vertices, tri_verts=mesh.faces.astype("u8")))


def directed(faces: np.ndarray) -> list[tuple[int, int]]:
    return [(int(t[i]), int(t[(i + 1) % 3])) for t in faces for i in range(3)]


@pytest.mark.parametrize("stocked", [False, True], ids=["finished", "cast"])
@pytest.mark.parametrize("name", MIXED)
def test_every_solid_is_closed_and_plain(name: str, stocked: bool) -> None:
    """Each edge has two faces that run along it in opposite ways; one shell of the right kind."""
    made = ring(*MIXED[name], rings.STOCK if stocked else NO_STOCK)
    found = solids(made, chord_mm=0.005, with_stock=stocked, kinds=KINDS)
    assert found
    for piece, mesh in found.items():
        edges = directed(mesh.faces)
        assert len(set(edges)) == len(edges), piece
        assert {(b, a) for a, b in edges} == set(edges), piece
        assert set(mesh.faces.ravel()) == set(range(len(mesh.vertices))), piece
        assert mesh.volume_mm3() > 0, piece
        a, b, c = np.moveaxis(mesh.corners, 1, 0)
        assert (np.linalg.norm(np.cross(b - a, c - a), axis=1) > 0).all(), piece
        shortest = min(np.linalg.norm(side, axis=1).min() for side in (a - b, b - c, c - a))
        # 32-bit numbers step by 1e-6 mm out here: corners must stay apart in a file
        assert shortest > 5e-6, piece
        euler = len(mesh.vertices) - len(edges) // 2 + len(mesh.faces)
        whole_turn = piece.sector is None
        assert euler == (0 if whole_turn else 2), piece
        assert len(manifold(mesh).decompose()) == 1, piece


@pytest.mark.parametrize("stocked", [False, True], ids=["finished", "cast"])
@pytest.mark.parametrize("name", MIXED)
def test_the_same_pieces_as_are_weighed(name: str, stocked: bool) -> None:
    made = ring(*MIXED[name], rings.STOCK if stocked else NO_STOCK)
    found = solids(made, chord_mm=0.005, with_stock=stocked, kinds=KINDS)
    weighed = volumes(made, with_stock=stocked)
    assert found.keys() == {piece for piece in weighed if piece.owner.kind in KINDS}
    for piece, mesh in found.items():
        a, b, c = np.moveaxis(mesh.corners, 1, 0)
        surface = 0.5 * float(np.linalg.norm(np.cross(b - a, c - a), axis=1).sum())
        # no point of the surface is further off than the chord error
        assert abs(mesh.volume_mm3() - weighed[piece].volume_mm3) < 0.005 * surface, piece


def measured(asked: Asked, chord_mm: float, *, points: int = 1000) -> dict[Piece, np.ndarray]:
    """Points of each solid's surface that lie beyond one chord error, and beyond a tenth of it."""
    plain = PlainRing(*asked)
    found = {}
    for piece, mesh in solids(ring(*asked), chord_mm=chord_mm).items():
        if piece.sector in (None, 0):
            spread = random_points(mesh, points, seed=7)
            found[piece] = np.array(
                [beyond(plain, piece, *spread, chord_mm * by).sum() for by in (1.0, 0.1)]
            )
    return found


@pytest.mark.parametrize("chord_mm", [0.02, 0.005, 0.001])
@pytest.mark.parametrize("name", [name for name in MIXED if "segments" not in name])
def test_the_surface_keeps_the_chord(name: str, chord_mm: float) -> None:
    for piece, (beyond_it, beyond_a_tenth) in measured(MIXED[name], chord_mm).items():
        assert beyond_it == 0, piece
        # and is not ten times as fine: the measure sees chords, and the setting is used
        assert beyond_a_tenth > 0, piece


@pytest.mark.parametrize("name", ["straight", "waving"])
def test_stripes_through_the_band_keep_the_chord(name: str) -> None:
    for piece, (beyond_it, _) in measured(HALVES[name], 0.005).items():
        assert beyond_it == 0, piece


@pytest.mark.parametrize(("amplitude", "count"), [(1.0, 6), (1.5, 3)])
def test_a_steep_wave_through_the_band_keeps_the_chord(amplitude: float, count: int) -> None:
    """A facet between bore and outside turns with the wave: its diagonal strays from the wall."""
    asked = (rings.form(into=0.0), [rings.stripe(-3.0, 0.0, wave=rings.wave(amplitude, count))])
    for piece, (beyond_it, _) in measured(asked, 0.005, points=4000).items():
        assert beyond_it == 0, piece


@pytest.mark.parametrize("name", SLANTED)
def test_slanted_segments_keep_the_chord(name: str) -> None:
    """The joint turns along the axis, so its face is no plane."""
    for piece, (beyond_it, _) in measured(SLANTED[name], 0.005).items():
        assert beyond_it == 0, piece


@pytest.mark.parametrize("chord_mm", [0.05, 0.005])
@pytest.mark.parametrize("edge", [0.0, 0.3])
def test_the_n_gon_law(edge: float, chord_mm: float) -> None:
    """V_mesh = V_Pappus(polygon) sin(a)/a, a = 2 pi/N: derived, verified elsewhere to 1e-14."""
    made = ring(rings.form(edge=edge), [])
    (mesh,) = solids(made, chord_mm=chord_mm).values()
    angles = facets(made, chord_mm).angles
    corners = mesh.vertices.reshape(-1, angles.size, 3)[:, 0]
    r, z = np.hypot(corners[:, 0], corners[:, 1]), corners[:, 2]
    r1, z1 = np.roll(r, -1), np.roll(z, -1)
    pappus = pi / 3 * abs(float(((r * r + r * r1 + r1 * r1) * (z1 - z)).sum()))
    a = 2 * pi / angles.size
    # ten thousand facets of some 10 mm3, summed
    assert mesh.volume_mm3() == pytest.approx(pappus * sin(a) / a, rel=1e-12)


def test_angles_are_shared_and_hold_every_joint() -> None:
    made = ring(*MIXED["waving rails, slanted segments"])
    grid = facets(made, 0.005)
    steps = np.diff([*grid.angles, 2 * pi])
    assert (steps > 0).all()
    assert steps.max() <= grid.step * (1 + 1e-9)
    for knot in made.knots():
        assert np.abs(grid.angles - knot % (2 * pi)).min() < 1e-12


def triangles(meshes: list[Mesh], *, turned: bool = False) -> set[tuple[bytes, ...]]:
    """Facets by the exact bytes of their corners, the first being the least."""
    found = set()
    for mesh in meshes:
        for corners in mesh.corners[:, ::-1] if turned else mesh.corners:
            a, b, c = (corner.tobytes() for corner in corners)
            found.add(min((a, b, c), (b, c, a), (c, a, b)))
    return found


def area(shared: set[tuple[bytes, ...]]) -> float:
    a, b, c = np.array([[np.frombuffer(x) for x in t] for t in shared]).transpose(1, 0, 2)
    return 0.5 * float(np.linalg.norm(np.cross(b - a, c - a), axis=1).sum())


def wall_area(asked: Asked, steep: float) -> float:
    """Of a wall near mid-width that waves as `steep` cos(angle), from bore to outside [mm2]."""
    band, z = PlainRing(*asked), 0.3 + (0.5 if steep else 0.0) * np.sin(np.linspace(0, 2 * pi, 401))
    low, high = band.bore.r(z), band.outside.r(z)
    slope = steep * np.cos(np.linspace(0, 2 * pi, 401))
    r = low + (high - low) * np.linspace(0, 1, 201)[:, None]
    element = np.hypot(r, slope)  # r sqrt(1 + (slope / r)^2)
    return float(np.trapezoid(np.trapezoid(element, r, axis=0), np.linspace(0, 2 * pi, 401)))


@pytest.mark.parametrize("name", HALVES)
def test_two_parts_without_a_gap_share_their_wall(name: str) -> None:
    """Same corners to the last bit, same diagonals, turned the other way: nothing can overlap."""
    made = solids(ring(*HALVES[name]))
    left = [mesh for piece, mesh in made.items() if piece.owner == Owner("part", 0)]
    right = [mesh for piece, mesh in made.items() if piece.owner == Owner("part", 1)]
    shared = triangles(left) & triangles(right, turned=True)
    expected = wall_area(HALVES[name], 2.5 if "waving" in name else 0.0)
    # chords are short by (step)^2/24 of the turn, 1e-4, as on the whole N-gon
    assert area(shared) == pytest.approx(expected, rel=1e-3)
    both = sum(((manifold(a) ^ manifold(b)).volume() for a in left for b in right), 0.0)
    assert abs(both) < 1e-9  # nothing but rounding of 1e-12 of some 300 mm3


@pytest.mark.parametrize("name", ["through", "steep"])
def test_neighbouring_segments_share_their_caps(name: str) -> None:
    found = [mesh for _, mesh in sorted(solids(ring(*SLANTED[name])).items())]
    for one, two in zip(found, found[1:] + found[:1], strict=True):
        shared = triangles([one]) & triangles([two], turned=True)
        r0, r1 = 17.35 / 2, 17.35 / 2 + 1.9
        # a joint is some 6 x 1.9 mm, longer by its slant, less by the domes
        assert area(shared) > 0.8 * 6 * (r1 - r0)
        assert abs((manifold(one) ^ manifold(two)).volume()) < 1e-9


def test_a_designed_gap_stays_open_round_a_wave() -> None:
    """0.02 mm along the axis is 0.02/sqrt(1 + (z'/r)^2) square to the wall where it is steepest.

    Of a mesh that may lose a chord error on either side. It does not, because both walls are
    sampled at the same angles and so sag alike: what is left is the twist of a facet between
    floor and outside, (0.8/9.8)/4 of the wave's step of 5.6 x 0.02 mm, twice.
    """
    gap = {"side": 0.02, "floor": 0.5}  # the floor is kept away: only the walls are measured
    asked = (rings.form(), [rings.channel(gap_mm=gap, wave=rings.wave(0.7, 8))])
    made = ring(*asked)
    found = solids(made, chord_mm=0.005)
    steep = 0.7 * 8 / (made.form.band.crest_mm - 0.8)
    true = 0.02 / hypot(1, steep)
    apart = manifold(found[Piece(Owner("part", 0))]).min_gap(manifold(found[Piece(BODY)]), 0.1)
    assert apart >= true - 2 * 0.005
    assert apart >= true * 0.9
    assert apart <= 0.02


def test_independent_angles_would_close_the_gap() -> None:
    """Why the grid is shared: the same inlay turned by half a step comes nearer than designed."""
    asked = (rings.form(), [rings.channel(gap_mm=0.02, wave=rings.wave(0.7, 8))])
    made = ring(*asked)
    chord = 0.05
    found = solids(made, chord_mm=chord)
    inlay, body = (manifold(found[Piece(owner)]) for owner in (Owner("part", 0), BODY))
    half = facets(made, chord).step / 2
    back = np.array([[cos(half), -sin(half), 0, 0], [sin(half), cos(half), 0, 0], [0, 0, 1, 0]])
    moved = inlay.transform(back)
    assert (moved ^ body).volume() > 1e-3
    assert abs((inlay ^ body).volume()) < 1e-9


def test_an_inside_out_part_is_refused() -> None:
    from ringgeom.errors import ShapeError
    from ringgeom.form.outline import outlines
    from ringgeom.form.sweep import Sampler, swept

    made = ring(rings.form(), [])
    grid = facets(made, 0.02)
    ((_, section),) = made.sections(grid.angles)
    (loop,) = outlines(section).loops(frozenset(range(len(section.cells))), section.seen)
    turned = [(edge, not forwards) for edge, forwards in reversed(loop)]
    sampler = Sampler(section, chord_mm=0.01, step=grid.step, twist=0.0)
    assert swept([loop], sampler, grid.angles).volume_mm3() > 0
    with pytest.raises(ShapeError, match="inside out"):
        swept([turned], sampler, grid.angles)
