"""Solids of every piece of a ring: swept where the section keeps its order, carved where not."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ringgeom.errors import ShapeError
from ringgeom.form.curve import Array
from ringgeom.form.grid import angle_grid, largest_step
from ringgeom.form.mesh import Mesh
from ringgeom.form.outline import outlines
from ringgeom.form.ring import Ring, sector_ends
from ringgeom.form.section import Owner
from ringgeom.form.sweep import Sampler, swept
from ringgeom.form.volume import Piece, owners, pieces

Run = NDArray[np.intp]
"""Indices into the angle grid."""

CHORD_MM = 0.005
"""Default chord error of every mesh; a twentieth of a finishing stock."""


@dataclass(frozen=True, slots=True)
class Facets:
    """How fine a ring is meshed: the chord error allowed and the angle grid that keeps it."""

    chord_mm: float
    step: float
    angles: Array


def facets(ring: Ring, chord_mm: float = CHORD_MM, *, with_stock: bool = False) -> Facets:
    """The angle grid of a ring. Chord errors round and across add, so each has half."""
    frame = ring.frame(with_stock=with_stock)
    step = largest_step(
        radius_mm=float(frame.top.r(np.zeros(1))[0]), waves=ring.waves, chord_mm=chord_mm / 2
    )
    return Facets(chord_mm, step, angle_grid(step=step, knots=ring.knots()))


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
        Any of part, body, gap, recess.

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
    for owner in owners(groups):
        if owner.kind not in wanted:
            continue
        for number, region in enumerate(pieces(section, owner)):
            loops = edges.loops(region, section.seen)
            for sector, run in _runs(ring, owner, mesh):
                found[Piece(owner, number, sector)] = swept(
                    loops, sampler, mesh.angles, part_turn=run
                )
    return found


def _runs(ring: Ring, owner: Owner, mesh: Facets) -> list[tuple[int | None, Run | None]]:
    """Runs of the angle grid that an owner covers: the whole turn, or one per segment."""
    claim = ring.claims[owner.claim] if owner.kind in ("part", "gap") else None
    if claim is None or claim.sectors is None:
        return [(None, None)]
    return [
        (number, grid_run(mesh, *sector_ends(claim, number)))
        for number in range(claim.sectors.count)
    ]


def grid_run(mesh: Facets, start: float, end: float) -> Run:
    """Indices of the grid from one knot to the next, first and last included."""
    size = mesh.angles.size
    first, last = (_nearest(mesh.angles, angle) for angle in (start, end))
    return np.arange(first, last + 1 if last > first else last + size + 1) % size


def _nearest(angles: Array, angle: float) -> int:
    """Index of a knot in the grid.

    Raises
    ------
    ShapeError
        The angle is not a knot.
    """
    away = np.abs((angles - angle + np.pi) % (2 * np.pi) - np.pi)
    index = int(np.argmin(away))
    if away[index] > 1e-9:
        raise ShapeError(f"no facet joint at {np.degrees(angle):.6f} degrees")
    return index
