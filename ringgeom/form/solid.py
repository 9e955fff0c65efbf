"""Solids of every piece of a ring: swept where the section keeps its order, carved where not."""

from __future__ import annotations

from collections.abc import Iterable

from ringgeom.form.grid import CHORD_MM, all_round, facets, grid_run
from ringgeom.form.mesh import Mesh
from ringgeom.form.outline import outlines
from ringgeom.form.pieces import Piece, parting, regions_of
from ringgeom.form.ring import Ring
from ringgeom.form.sweep import Sampler, runs_together, swept
from ringgeom.form.volume import owners
from ringgeom.form.weld import writable


def solids(
    ring: Ring,
    *,
    chord_mm: float = CHORD_MM,
    with_stock: bool = False,
    kinds: Iterable[str] = ("part", "body"),
) -> dict[Piece, Mesh]:
    """A closed, outward mesh of every piece of the named kinds.

    Parameters
    ----------
    chord_mm : float
        Largest distance of a facet from the true surface [mm].
    with_stock : bool
        The ring with finishing stock instead of the finished ring.
    kinds : iterable of str
        Any of part, body, gap, joint, recess.

    Raises
    ------
    ShapeError
        A piece cannot be meshed as designed.
    """
    mesh = facets(ring, chord_mm, with_stock=with_stock)
    groups = ring.sections(mesh.angles, with_stock=with_stock)
    wanted = tuple(kinds)
    if len(groups) > 1:
        from ringgeom.form.carve import carved

        return carved(ring, mesh, with_stock=with_stock, kinds=wanted)
    _, section = groups[0]
    edges = outlines(section)
    sampler = Sampler(section, chord_mm=chord_mm / 2, step=mesh.step, twist=ring.twist)
    found: dict[Piece, Mesh] = {}
    for owner in owners(ring, groups):
        if owner.kind not in wanted:
            continue
        for k, region in enumerate(regions_of(section, owner.metal)):
            loops = edges.loops(region, section.seen)
            merges = runs_together(loops, sampler)
            for sector, ends in ring.stretches(owner):
                if ends is not None and ends[0] >= ends[1]:
                    continue
                known = parting(ring, owner, ends, with_stock=with_stock)
                # the gap under a strip with a seam goes all round: it has no ends
                run = None if ends is None or all_round(ends) else grid_run(mesh.angles, *ends)
                number = known.number(float(mesh.angles[0 if run is None else run[0]]), k)
                piece = swept(loops, sampler, mesh.angles, part_turn=run)
                found[Piece(owner, number, sector)] = writable(piece) if merges else piece
    return {piece: found[piece] for piece in sorted(found)}
