"""Solids where the section changes its order round the ring: swept reaches, parted by booleans.

A waving inlay that crosses the boundary of the stripes under it is the usual case. Every
reach alone keeps its order, so each is swept on the shared angle grid and the ring is
shared out in the order written, in 64-bit.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from ringgeom.errors import ShapeError
from ringgeom.form.claim import Claim, Reach
from ringgeom.form.curve import Flat, Whole
from ringgeom.form.frame import Chain, Frame, whole
from ringgeom.form.frame import frame as framed
from ringgeom.form.grid import Facets, all_round, grid_run
from ringgeom.form.mesh import Mesh
from ringgeom.form.outline import outlines
from ringgeom.form.partition import sections
from ringgeom.form.pieces import Mark, Piece, parting, regions_of
from ringgeom.form.ring import Ring
from ringgeom.form.section import BODY, RECESS, Owner, Section
from ringgeom.form.sewn import sewn
from ringgeom.form.sweep import Loop, Sampler, swept
from ringgeom.form.tapered import Layout, tapered
from ringgeom.form.weld import FINEST_MM, writable

if TYPE_CHECKING:
    from manifold3d import Manifold


CRUMB_MM3 = 1e-6
"""Splinters below this are rounding, not metal: a billionth of a ring."""

SPLINTER_MM3 = 0.01
"""Facets of two surfaces that nearly coincide leave splinters up to this; a part is larger."""

SKIN_MM = 1e-6

MOST_FACETS = 2_000_000
"""Of one cutting solid: twice as many took 10 GB and a quarter of an hour."""

CLEAR_MM = 0.5
"""How far what cuts reaches past the ring."""

PROBE_MM = 1e-4
"""Size of the probe that tells in which solid a point lies."""


def carved(
    ring: Ring, mesh: Facets, *, with_stock: bool, kinds: tuple[str, ...]
) -> dict[Piece, Mesh]:
    """Every piece of a ring by booleans; same keys as the swept way.

    Raises
    ------
    ShapeError
        A boolean left nothing of a part, or turned it inside out.
    """
    bench = _Bench(ring, mesh, with_stock)
    frame = ring.frame(with_stock=with_stock)
    left = bench.band(lambda frame: frame.top)
    outside = left if frame.top is frame.outside else bench.band(lambda frame: frame.outside)
    shared: dict[Owner, Manifold] = {}
    for index, claim in enumerate(ring.claims):
        if claim.drawn:
            continue
        takes = bench.reach(index, lambda claim: _clear(claim.takes))
        if _higher_floor(claim):
            # one wall from another floor has other facets: the part keeps those of its place
            fills = takes ^ bench.reach(
                index, lambda claim: replace(claim.fills, left=None, right=None)
            )
        elif ring.twist and _narrower(claim):
            # on a screw a narrower floor has other facets: the part keeps those of its place
            fills = takes ^ bench.reach(
                index, lambda claim: replace(claim.fills, floor_mm=None, ceiling_mm=None)
            )
        else:
            fills = bench.reach(index, lambda claim: claim.fills)
        room = left if outside is left else left ^ outside
        shared[Owner("part", index)] = room ^ fills
        if claim.sectors is not None and claim.sectors.gap != 0:
            shared[Owner("joint", index)] = shared[Owner("part", index)]
        shared[Owner("gap", index)] = (room ^ takes) - fills
        left = left - takes
    body = left if frame.top is frame.body_top else left ^ bench.band(lambda frame: frame.body_top)
    shared[BODY], shared[RECESS] = body, left - body
    found: dict[Piece, Mesh] = {}
    for owner, solid in shared.items():
        if owner.kind in kinds:
            for sector, ends in ring.stretches(owner):
                if ends is not None and ends[0] >= ends[1]:
                    continue
                part = solid if ends is None or all_round(ends) else solid ^ bench.wedge(*ends)
                known = parting(ring, owner, ends, with_stock=with_stock)
                marks = [known.mark(number) for number in range(known.count)]
                for number, piece in _apart(part, marks, ring.twist).items():
                    found[Piece(owner, number, sector)] = piece
    return found


def _higher_floor(claim: Claim) -> bool:
    """Whether a part ends at the walls of its place and above its floor."""
    takes, fills = claim.takes, claim.fills
    low, high = takes.floor_mm, fills.floor_mm
    same = bool(fills.walls) and fills.walls == takes.walls
    return same and low is not None and high is not None and high > low


def _narrower(claim: Claim) -> bool:
    """Whether a part ends at the floor of its place and within its walls, which are upright."""
    takes, fills = claim.takes, claim.fills
    same = (takes.floor_mm, takes.ceiling_mm) == (fills.floor_mm, fills.ceiling_mm)
    within = any(wall.inset_mm > 0 for wall in fills.walls)
    plain = all(wall.inset_mm >= 0 and wall.undercut_mm == 0 for wall in fills.walls)
    return same and within and plain


def _clear(reach: Reach) -> Reach:
    """A reach a nanometre fuller, so that two cylinders of one radius leave no skin between."""
    return replace(
        reach,
        floor_mm=None if reach.floor_mm is None else reach.floor_mm - SKIN_MM,
        ceiling_mm=None if reach.ceiling_mm is None else reach.ceiling_mm + SKIN_MM,
    )


def _apart(solid: Manifold, marks: Sequence[Mark], twist: float) -> dict[int, Mesh]:
    """The separate solids by the number of their piece, crumbs dropped.

    Raises
    ------
    ShapeError
        There are more or fewer solids than pieces.
    """
    from manifold3d import Manifold

    parts = [part for part in solid.decompose() if abs(part.volume()) > CRUMB_MM3]
    if any(part.volume() < 0 for part in parts):
        raise ShapeError("a part came out inside out")
    found: dict[int, Mesh] = {}
    for part in parts:
        held = []
        for number, mark in enumerate(marks):
            turn = mark.angle + twist * mark.z_mm
            where = [mark.r_mm * np.cos(turn), mark.r_mm * np.sin(turn), mark.z_mm]
            probe = Manifold.cube([PROBE_MM] * 3, True).translate([float(v) for v in where])
            if not (part ^ probe).is_empty():
                held.append(number)
        if not held and part.volume() < SPLINTER_MM3:
            continue
        if len(held) != 1 or held[0] in found:
            raise ShapeError("a part falls into other pieces as a solid than in its section")
        found[held[0]] = mesh_of(part.simplify(FINEST_MM))
    return found


def mesh_of(solid: Manifold) -> Mesh:
    """A boolean's solid as a closed mesh, its shortest edges closed up."""
    plain = solid.to_mesh64()
    return writable(
        Mesh(
            np.asarray(plain.vert_properties[:, :3], dtype=np.float64),
            np.asarray(plain.tri_verts, dtype=np.int32),
        )
    )


class _Bench:
    """Sweeps frames, reaches and wedges on the ring's angle grid."""

    def __init__(self, ring: Ring, mesh: Facets, with_stock: bool) -> None:
        self.ring, self.mesh, self.with_stock = ring, mesh, with_stock
        frame = ring.frame(with_stock=with_stock)
        reach = max((abs(wave.amplitude_mm) for wave in ring.waves), default=0.0)
        half = frame.half_mm + reach + CLEAR_MM
        # no higher than it must be: facets of a screw are the finer the higher it is
        self.room = framed(
            outside=whole(Flat(frame.top.extremes_mm()[1] + CLEAR_MM), half),
            bore=whole(Flat(frame.bore.extremes_mm()[0] - CLEAR_MM), half),
            half_mm=half,
        )

    def band(self, top: Callable[[Frame], Chain]) -> Manifold:
        """The whole band under a given top."""

        def plain(ring: Ring) -> Layout:
            frame = ring.frame(with_stock=self.with_stock)
            over = top(frame)
            only = Frame(bore=frame.bore, outside=over, body_top=over, half_mm=frame.half_mm)
            return Layout(only, ring.finished, ())

        return self._solid(plain, BODY, None)

    def reach(self, index: int, of: Callable[[Claim], Reach]) -> Manifold:
        """A reach, carried on past the ring wherever it has no wall of its own."""

        def alone(ring: Ring) -> Layout:
            reach = of(ring.claims[index])
            return Layout(self.room, ring.finished, (Claim(takes=reach, fills=reach),))

        return self._solid(alone, Owner("part", 0), None)

    def wedge(self, start: float, end: float) -> Manifold:
        """Everything between two angles of the cut."""
        run = grid_run(self.mesh.angles, start, end)
        return self._solid(lambda ring: Layout(self.room, ring.finished, ()), BODY, run)

    def _solid(self, laid: Callable[[Ring], Layout], owner: Owner, run: Whole | None) -> Manifold:
        from manifold3d import Manifold, Mesh64

        angles = self.mesh.angles
        if self.ring.form.taper is not None:
            layouts = [laid(self.ring.at(angle)) for angle in angles.tolist()]
            groups = tapered(layouts, angles, {})
        else:
            frame, finished, claims = laid(self.ring)
            groups = sections(
                frame=frame,
                finished=finished,
                claims=claims,
                angles=angles,
                twist=self.ring.twist,
            )
        runs = [(which, *self._outline(section, owner)) for which, section in groups]
        if len(runs) == 1:
            ((_, loops, sampler),) = runs
            skin = swept(loops, sampler, angles, part_turn=run)
        elif run is None:
            skin = sewn(runs, angles)
        else:
            raise ShapeError("a place crosses itself round the ring")
        if len(skin.faces) > MOST_FACETS:
            raise ShapeError(
                f"waves and joints so steep take {len(skin.faces) / 1e6:.1f} million facets for "
                f"one cut, at most {MOST_FACETS / 1e6:g}: a larger [mesh] chord_mm, a lower wave "
                "or less slant"
            )
        solid = Manifold(Mesh64(vert_properties=skin.vertices, tri_verts=skin.faces.astype("u8")))
        if solid.is_empty():
            raise ShapeError(f"a swept reach is not closed ({solid.status()})")
        return solid

    def _outline(self, section: Section, owner: Owner) -> tuple[Sequence[Loop], Sampler]:
        """The outline of one owner's only region, and what samples it."""
        regions = regions_of(section, owner)
        if len(regions) != 1:
            raise ShapeError("a place crosses itself round the ring")
        sampler = Sampler(
            section, chord_mm=self.mesh.chord_mm / 2, step=self.mesh.step, twist=self.ring.twist
        )
        return outlines(section).loops(regions[0], section.seen), sampler
