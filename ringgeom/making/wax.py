"""Patterns for the printer: each part as cast, with stock, scaled once, its sprue on if asked."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import ceil, degrees, pi, sqrt
from typing import TYPE_CHECKING

import numpy as np

from ringgeom.engraving.engraved import Engraved
from ringgeom.engraving.inset import Inset
from ringgeom.engraving.inset_measures import middle_of, stand_of
from ringgeom.engraving.inset_solid import pattern_solid
from ringgeom.engraving.solid import lettered
from ringgeom.errors import ShapeError
from ringgeom.form.carve import mesh_of
from ringgeom.form.curve import Array, chord_angle
from ringgeom.form.mesh import Mesh
from ringgeom.form.ring import Ring
from ringgeom.form.solid import solids
from ringgeom.form.weld import FINEST_MM, closed_by_welding
from ringgeom.making.part import Part
from ringgeom.making.sprue import Sprue
from ringgeom.shop import Shop

if TYPE_CHECKING:
    from manifold3d import Manifold


@dataclass(frozen=True, slots=True, kw_only=True)
class Wax:
    """A pattern ready to print: `mesh` is scaled already and measures what its part says.

    Attributes
    ----------
    count : int
        How many of it are needed.
    number : int
        Which of its part's patterns it is; 0 where the part has but one.
    """

    part: Part
    mesh: Mesh
    with_sprue: bool
    count: int = 1
    number: int = 0


def waxes(
    ring: Ring,
    parts: Sequence[Part],
    sprues: Mapping[str, Sprue],
    shop: Shop,
    engraved: Sequence[Engraved] = (),
    insets: Sequence[Inset] = (),
) -> list[Wax]:
    """The patterns of all parts, in their order, with the letters that are cast in.

    Inserts of a motif that are alike are one pattern, lying with their outside up.

    Raises
    ------
    ShapeError
        A part cannot be meshed as designed.
    """
    chord = shop.mesh.chord_mm
    plain = solids(ring, chord_mm=chord, with_stock=True)
    cast = lettered(plain, engraved, insets, chord_mm=chord, with_stock=True)
    inlaid = {one.piece: one for one in insets}
    found: list[Wax] = []
    for part in parts:
        if part.piece in inlaid:
            found += _inserts(part, inlaid[part.piece], sprues[part.name], shop)
            continue
        if part.cast_piece not in cast:
            raise ShapeError(f"{part.name} comes out of the carving in other pieces than it has")
        mesh = cast[part.cast_piece]
        if shop.casting.sprue_on_wax:
            mesh = with_sprue(mesh, sprues[part.name], shop.mesh.chord_mm, part.name)
        scaled = mesh.scaled(part.scale.scale)
        found.append(Wax(part=part, mesh=scaled, with_sprue=shop.casting.sprue_on_wax))
    return found


def _inserts(part: Part, inlay: Inset, sprue: Sprue, shop: Shop) -> Iterator[Wax]:
    """Every pattern of a motif inlay, once."""
    chord, on = shop.mesh.chord_mm, shop.casting.sprue_on_wax
    for number, alike in enumerate(inlay.alike):
        mesh = mesh_of(pattern_solid(inlay, alike, chord, with_stock=True).simplify(FINEST_MM))
        stand = stand_of(inlay, alike, with_stock=True)
        if on:
            mesh = with_sprue(mesh, sprue.standing(stand), chord, part.name)
        yield Wax(
            part=part,
            mesh=_lying(mesh, middle_of(inlay, alike)).scaled(part.scale.scale),
            with_sprue=on,
            count=alike.count,
            number=number + 1 if len(inlay.alike) > 1 else 0,
        )


def _lying(mesh: Mesh, angle: float) -> Mesh:
    """A piece turned so that what points away from the finger points up, on z = 0."""
    x, y, z = mesh.vertices.T
    out, along = x * np.cos(angle) + y * np.sin(angle), y * np.cos(angle) - x * np.sin(angle)
    return Mesh(np.column_stack([along, z, out - out.min()]), mesh.faces)


def with_sprue(mesh: Mesh, sprue: Sprue, chord_mm: float, name: str) -> Mesh:
    """A part united with its sprue or sprues, one closed solid.

    Raises
    ------
    ShapeError
        They do not make one closed solid.
    """
    from manifold3d import Manifold, Mesh64

    solid = Manifold(Mesh64(vert_properties=mesh.vertices, tri_verts=mesh.faces.astype("u8")))
    for place in sprue.places:
        solid = solid + _post(sprue, sprue.stand.angle + place, chord_mm)
    plain = solid.to_mesh64()
    united = Mesh(
        np.asarray(plain.vert_properties[:, :3], dtype=np.float64),
        np.asarray(plain.tri_verts, dtype=np.int32),
    )
    closed = closed_by_welding(united)
    if closed is None or len(solid.decompose()) != 1:
        raise ShapeError(
            f"the sprue of {name}, {sprue.across_mm:.2f} x {sprue.along_mm:.2f} mm, does not join "
            f"its wax as one closed solid where {sprue.stand.width_mm:.2f} mm are there to stand "
            "on; set [casting] sprue_on_wax = false and put it on by hand"
        )
    return closed


def _post(sprue: Sprue, angle: float, chord_mm: float) -> Manifold:
    """A round or oval rod from inside the part to the sprue's end, along the radius."""
    from manifold3d import Manifold

    stand, half = sprue.stand, sprue.along_mm / 2
    # deep enough for the saddle under a long foot, never through the part
    saddle = stand.radius_mm - sqrt(max(stand.radius_mm**2 - half**2, 0.0))
    sunk = min(0.8 * stand.depth_mm, max(0.5 * stand.depth_mm, 1.2 * saddle))
    sides = 4 * max(6, ceil(pi / 2 / chord_angle(half, chord_mm)))
    rod = Manifold.cylinder(sunk + sprue.length_mm, half, half, sides)
    rod = (
        rod.scale([sprue.across_mm / sprue.along_mm, 1.0, 1.0])
        .rotate([0.0, 90.0, 0.0])
        .translate([stand.radius_mm - sunk, 0.0, stand.z_mm])
    )
    if sprue.fillet_mm > 0:
        rod = rod + _fillet(sprue, sides, chord_mm)
    return rod.rotate([0.0, 0.0, degrees(angle)])


def _fillet(sprue: Sprue, sides: int, chord_mm: float) -> Manifold:
    """The fillet round a sprue's foot, bent on to the part's surface, as wide as the run at most.

    Raising every point by the surface under it keeps the volume.
    """
    from manifold3d import CrossSection, Manifold

    stand, half, r = sprue.stand, sprue.along_mm / 2, sprue.fillet_mm
    steps = max(6, ceil(pi / 2 / chord_angle(r, chord_mm)))
    turn = np.linspace(0.0, pi / 2, steps + 1)
    arc = np.column_stack([half + r - r * np.sin(turn), r - r * np.cos(turn)])
    under = -0.3 * stand.depth_mm
    outline = np.vstack([[0.0, under], [half + r, under], arc, [0.0, r]])
    flare = CrossSection([outline]).revolve(sides)
    press = sprue.across_mm / sprue.along_mm
    flare = flare.scale([press, 1.0, 1.0]).rotate([0.0, 90.0, 0.0]).translate([0, 0, stand.z_mm])
    slab = [3 * stand.radius_mm, 3 * stand.radius_mm, stand.width_mm]
    flare = flare ^ Manifold.cube(slab, True).translate([0.0, 0.0, stand.z_mm])

    def on_surface(points: Array) -> Array:
        x, y, z = points.T
        radius = stand.curve.r(z)
        return np.column_stack([x + np.sqrt(np.maximum(radius**2 - y**2, 0.0)), y, z])

    bent: Manifold = flare.warp_batch(on_surface)
    return bent
