"""Letters cut into the solids of a ring, or set on to them, by booleans.

    unrolled letter   -> prism, its sides split small -> bent on to the face
    ___/\\___              from floor to over the face, angle = x / radius

A cutter turned inside out would add metal and report nothing: what every part loses is held
against the exact volume, and anything else is an error.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from ringgeom.engraving.bent import FILM_MM, OVER_MM, bent
from ringgeom.engraving.engraved import Engraved
from ringgeom.engraving.inset import Inset
from ringgeom.engraving.inset_solid import insert_solid, pockets_solid, slack_mm3
from ringgeom.engraving.shape import Shape
from ringgeom.errors import ShapeError
from ringgeom.form.carve import mesh_of
from ringgeom.form.mesh import Mesh
from ringgeom.form.pieces import Piece
from ringgeom.form.weld import FINEST_MM

if TYPE_CHECKING:
    from manifold3d import CrossSection, Manifold

LAP_MM = 0.05
"""How far the halves of what runs all round overlap: less would leave steps too thin to write."""

CRUMB_MM3 = 1e-5


def lettered(
    meshes: Mapping[Piece, Mesh],
    found: Sequence[Engraved],
    insets: Sequence[Inset] = (),
    *,
    chord_mm: float,
    with_stock: bool = False,
) -> dict[Piece, Mesh]:
    """The solids of a ring with everything that is engraved on them or set into them.

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
        if not taken:
            continue
        solid = Manifold.batch_boolean(
            [
                bent(flat, one.face, carved.relief, chord_mm=chord_mm, with_stock=with_stock)
                for carved in one.carved
                for shape in carved.shapes
                for flat in _flat(shape, one, chord_mm)
            ],
            OpType.Add,
        )
        off = _slack(one, chord_mm)
        for piece, volume in taken.items():
            if piece in kept:
                (adds if one.raised else cuts).setdefault(piece, []).append(solid)
                exact[piece] = exact.get(piece, 0.0) + volume
                slack[piece] = slack.get(piece, 0.0) + off
    for inlay in insets:
        solid = pockets_solid(inlay, chord_mm, with_stock)
        off = slack_mm3(inlay, chord_mm)
        for piece, volume in inlay.cast_taken if with_stock else inlay.taken:
            cuts.setdefault(piece, []).append(solid)
            exact[piece] = exact.get(piece, 0.0) + volume
            slack[piece] = slack.get(piece, 0.0) + off
        inserts = insert_solid(inlay, solid, chord_mm, with_stock)
        kept[inlay.piece] = mesh_of(inserts.simplify(FINEST_MM))
    for piece, volume in exact.items():
        mesh = kept[piece]
        whole = Manifold(Mesh64(vert_properties=mesh.vertices, tri_verts=mesh.faces.astype("u8")))
        cut = whole
        for solid in cuts.get(piece, ()):
            cut = cut - solid
        if piece in adds:
            # letters that stand on the parts beside it come loose
            set_on = Manifold.batch_boolean([cut, *adds[piece]], OpType.Add).decompose()
            cut = max(set_on, key=lambda solid: solid.volume())
        lost = whole.volume() - cut.volume()
        if abs(lost - volume) > slack[piece] + CRUMB_MM3 or cut.is_empty():
            raise ShapeError(
                f"cuts take {lost:.4f} mm3 from a part as a solid, and {volume:.4f} by measure"
            )
        kept[piece] = mesh_of(cut.simplify(FINEST_MM))
    return kept


def _slack(one: Engraved, chord_mm: float) -> float:
    """How far the volume of faceted letters may be from the exact one [mm3]."""
    off = 0.0
    for carved in one.carved:
        area = sum(shape.area_mm2 for shape in carved.shapes)
        around = sum(shape.outline_mm for shape in carved.shapes)
        # floor and face are off by a chord each, the sides by another; stock makes them deeper
        off += chord_mm * (2 * area + around * (carved.relief.depth_mm + OVER_MM))
    return off


def _flat(shape: Shape, one: Engraved, chord_mm: float) -> list[CrossSection]:
    """A shape with straight sides; one that runs all round in two halves that overlap a little."""
    from manifold3d import CrossSection, FillRule, OpType

    flat = CrossSection(shape.polylines(chord_mm / 4), FillRule.NonZero).simplify(chord_mm / 4)
    if len(one.carved) > 1:
        # neighbours of another depth: no film may be left standing between them
        flat = flat.offset(FILM_MM)
    if one.figures is None or not one.figures.wraps:
        return [flat]
    around = one.face.around_mm
    x0, x1, low, high = shape.bounds_mm
    if x1 - x0 < around - 0.1:
        return [flat]
    turns = CrossSection.batch_boolean(
        [flat.translate((n * around, 0.0)) for n in (-1, 0, 1)], OpType.Add
    )
    # the two sides of the seam meet to rounding only
    turns = turns.offset(FILM_MM).offset(-FILM_MM).simplify(chord_mm / 4)
    found = []
    for start in (x0, x0 + around / 2):
        window = CrossSection.square((around / 2 + LAP_MM, high - low + 2)).translate(
            (start, low - 1)
        )
        found.append(turns ^ window)
    return found
