"""Letters cut into the solids of a ring, or set on to them, by booleans.

    unrolled letter   -> prism, its sides split small -> bent on to the face
    ___/\\___              from floor to over the face, angle = x / radius

A cutter turned inside out would add metal and report nothing: what every part loses is held
against the exact volume, and anything else is an error.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import sqrt
from typing import TYPE_CHECKING

import numpy as np

from ringgeom.engraving.engraved import Engraved
from ringgeom.engraving.face import Face, face
from ringgeom.engraving.relief import Relief
from ringgeom.engraving.shape import Shape
from ringgeom.errors import ShapeError
from ringgeom.form.carve import FINEST_MM, mesh_of
from ringgeom.form.curve import Arc, Array
from ringgeom.form.mesh import Mesh
from ringgeom.form.pieces import Piece

if TYPE_CHECKING:
    from manifold3d import Manifold

OVER_MM = 0.1
"""How far a cutter stands over the face, and a raised letter is sunk into it."""

THIN_MM = 1e-3
"""Height of the flat prism before it is bent: too low for its sides to be split."""

CRUMB_MM3 = 1e-5


def lettered(
    meshes: Mapping[Piece, Mesh],
    found: Sequence[Engraved],
    *,
    chord_mm: float,
    with_stock: bool = False,
) -> dict[Piece, Mesh]:
    """The solids of a ring with everything that is engraved on them.

    Parameters
    ----------
    meshes : mapping
        Solids of the plain ring.
    chord_mm : float
        Largest distance of a facet from the true surface [mm].
    with_stock : bool
        The castings: only what is cast in.

    Raises
    ------
    ShapeError
        A part loses or gains another volume than it should.
    """
    from manifold3d import Manifold, Mesh64, OpType

    kept = dict(meshes)
    cuts: dict[Piece, list[Manifold]] = {}
    adds: dict[Piece, list[Manifold]] = {}
    exact: dict[Piece, float] = {}
    slack: dict[Piece, float] = {}
    for one in found:
        taken = dict(one.cast_removed if with_stock else one.removed)
        deep = one.relief
        if not taken or deep is None:
            continue
        solid = Manifold.batch_boolean(
            [
                _bent(shape, one.face, deep, chord_mm, with_stock)
                for copy in one.copies
                for shape in copy
            ],
            OpType.Add,
        )
        off = _slack(one, chord_mm)
        for piece, volume in taken.items():
            if piece in kept:
                (adds if deep.raised else cuts).setdefault(piece, []).append(solid)
                exact[piece] = exact.get(piece, 0.0) + volume
                slack[piece] = slack.get(piece, 0.0) + off
    for piece, volume in exact.items():
        mesh = kept[piece]
        whole = Manifold(Mesh64(vert_properties=mesh.vertices, tri_verts=mesh.faces.astype("u8")))
        cut = whole
        for solid in cuts.get(piece, ()):
            cut = cut - solid
        for solid in adds.get(piece, ()):
            cut = cut + solid
        lost = whole.volume() - cut.volume()
        if abs(lost - volume) > slack[piece] + CRUMB_MM3 or cut.is_empty():
            raise ShapeError(
                f"letters take {lost:.4f} mm3 from a part as a solid, and {volume:.4f} by measure"
            )
        kept[piece] = mesh_of(cut.simplify(FINEST_MM))
    return kept


def _slack(one: Engraved, chord_mm: float) -> float:
    """How far the volume of faceted letters may be from the exact one [mm3]."""
    shapes = [shape for copy in one.copies for shape in copy]
    area = sum(shape.area_mm2 for shape in shapes)
    around = sum(shape.outline_mm for shape in shapes)
    assert one.relief is not None
    # floor and face are off by a chord each, the sides by another; stock makes them deeper
    return chord_mm * (2 * area + around * (one.relief.depth_mm + OVER_MM))


def _bent(
    shape: Shape, finished: Face, deep: Relief, chord_mm: float, with_stock: bool
) -> Manifold:
    """One letter as a solid on its face, from its floor to over the face."""
    from manifold3d import CrossSection, FillRule, Manifold

    *_, low, high = shape.bounds_mm
    flat = CrossSection(shape.polylines(chord_mm / 4), FillRule.NonZero).simplify(chord_mm / 4)
    # sides and floor follow the bend within half a chord
    bends = [finished.radius_mm] + [
        strip.curve.bend_mm for strip in finished.between(low, high) if isinstance(strip.curve, Arc)
    ]
    prism = Manifold.extrude(flat, THIN_MM).refine_to_length(sqrt(4 * min(bends) * chord_mm))
    cast = face(finished.ring, finished.side, with_stock=True) if with_stock else finished

    def ends(z: Array) -> tuple[Array, Array]:
        """Lower and upper radius of the letter at some z."""
        skin = cast.r(z)
        rise, level = deep.rise_mm(finished), deep.flat_mm(finished)
        floor = finished.r(z) + rise if level is None else np.full_like(z, level)
        if deep.raised and with_stock:
            floor = floor + (skin - finished.r(z))
        beyond = skin + finished.out * (-OVER_MM if deep.raised else OVER_MM)
        return np.minimum(floor, beyond), np.maximum(floor, beyond)

    def on_face(points: Array) -> Array:
        x, z, up = points.T
        under, over = ends(z)
        r = under + (over - under) * (up / THIN_MM)
        angle = x / finished.radius_mm
        return np.column_stack([r * np.cos(angle), r * np.sin(angle), z])

    bent: Manifold = prism.warp_batch(on_face)
    if bent.volume() <= 0:
        raise ShapeError("a letter came out inside out")
    return bent
