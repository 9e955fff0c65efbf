"""Outlines swept round the finger: closed solids whose mating walls share every facet.

    loop of the section (P points)  x  angles (N)  ->  P x N corners, two triangles a square

A pair of neighbouring angles and points makes a square; it is halved along the diagonal
from the edge's own start, whichever part runs along the edge, so both sides agree.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil

import numpy as np
from numpy.typing import NDArray

from ringgeom.errors import ShapeError
from ringgeom.form.curve import Array, Whole
from ringgeom.form.mesh import Faces, Mesh, joined
from ringgeom.form.outline import Edge
from ringgeom.form.section import Section
from ringgeom.form.slope import Slope
from ringgeom.form.weld import FINEST_MM

STRETCH = 100.0
"""How much longer a slanted section is made before it is triangulated: more changes nothing."""

Loop = Sequence[tuple[Edge, bool]]
Skein = tuple[Array, Array, NDArray[np.bool_]]
"""Sampled loop: r and z of shape (points, angles or 1), and the way each square is halved."""


class Sampler:
    """Samples every edge once, to a chord error, and hands the same points to both its sides."""

    def __init__(self, section: Section, *, chord_mm: float, step: float, twist: float) -> None:
        self.section, self.chord_mm, self.step, self.twist = section, chord_mm, step, twist
        self._known: dict[int, tuple[Array, Array]] = {}

    def points(self, edge: Edge) -> tuple[Array, Array]:
        """(r, z) along an edge, each of shape (points, angles or 1) [mm]."""
        if id(edge) not in self._known:
            self._known[id(edge)] = self._sampled(edge)
        return self._known[id(edge)]

    def _sampled(self, edge: Edge) -> tuple[Array, Array]:
        start, end = edge.start, edge.end
        drift = max(_drift(start.z), _drift(end.z))
        if edge.curve is None:
            steps = self._radial_steps(edge, drift)
            share = np.arange(steps + 1)[:, None] / steps
            r, z = (a + (b - a) * share for a, b in ((start.r, end.r), (start.z, end.z)))
            r[-1], z[-1] = end.r, end.z
            return r, z
        steps = edge.curve.steps(start.z, end.z, self.chord_mm, drift)
        if isinstance(edge.curve, Slope):
            steps = max(steps, self._radial_steps(edge, drift))
        turn = abs(self.twist) * float(np.abs(end.z - start.z).max())
        steps = max(steps, ceil(turn / self.step - 1e-9), self._joint_steps(turn))
        r, z = edge.curve.points(start.z, end.z, steps)
        if r.shape != z.shape:
            r = np.array(np.broadcast_to(r, np.broadcast_shapes(r.shape, z.shape)))
        # a corner where two curves meet takes one value, so that neighbours close
        r[0], r[-1] = start.r, end.r
        return r, z

    def _joint_steps(self, turn: float) -> int:
        """Steps along a slanted joint: across its height a facet leaves it by turn x height / 4."""
        heights = [self.section.middle_r(i, 0) for i in (0, 1)]
        return ceil(turn * abs(heights[1] - heights[0]) / (4 * self.chord_mm) - 1e-9)

    def _radial_steps(self, edge: Edge, drift: float) -> int:
        """Steps up a waving wall: a square's diagonal leaves the wall by drift x height / 4r."""
        height = float(np.abs(edge.end.r - edge.start.r).max())
        least = float(min(edge.start.r.min(), edge.end.r.min()))
        return max(1, ceil(drift * height / (4 * least * self.chord_mm) - 1e-9))

    def loop(self, loop: Loop) -> Skein:
        """(r, z, flip) round a loop; flip says which way the square after each point is halved."""
        width = 1
        pieces = []
        for edge, forwards in loop:
            r, z = self.points(edge)
            width = max(width, r.shape[1], z.shape[1])
            pieces.append((r[:-1], z[:-1]) if forwards else (r[:0:-1], z[:0:-1]))
        flips = np.repeat([not way for _, way in loop], [len(r) for r, _ in pieces])
        r, z = (np.concatenate([_wide(p[i], width) for p in pieces]) for i in (0, 1))
        return r, z, flips


def _wide(values: Array, width: int) -> Array:
    """Values of shape (points, 1 or width) as (points, width)."""
    return values if values.shape[1] == width else np.broadcast_to(values, (len(values), width))


def _drift(z: Array) -> float:
    """How far a corner moves along the axis from one angle to the next [mm]."""
    return float(np.abs(np.diff(z)).max()) if z.size > 1 else 0.0


def swept(
    loops: Sequence[Loop],
    sampler: Sampler,
    angles: Array,
    *,
    part_turn: Whole | None = None,
) -> Mesh:
    """The solid of one region: swept all round, or over a run of the grid and capped.

    Parameters
    ----------
    angles : Array
        The grid, shape (N,) [rad].
    part_turn : Array, optional
        Indices into the grid for a piece of the ring, first and last being its faces.

    Raises
    ------
    ShapeError
        The mesh does not enclose metal.
    """
    rings = [sampler.loop(loop) for loop in loops]
    if not sum(_area(r, z) for r, z, _ in rings) > 0:
        raise ShapeError("a part encloses no metal: its outline is turned inside out")
    if part_turn is not None:
        angles = angles[part_turn]
        rings = [
            (
                r if r.shape[1] == 1 else r[:, part_turn],
                z if z.shape[1] == 1 else z[:, part_turn],
                f,
            )
            for r, z, f in rings
        ]
    closed = part_turn is None
    mesh = joined([skin(r, z, flip, angles, sampler.twist, closed) for r, z, flip in rings])
    if not closed:
        caps = _caps(rings, angles.size, stretch=1.0 if sampler.twist == 0.0 else STRETCH)
        mesh = Mesh(mesh.vertices, np.concatenate([mesh.faces, *caps]))
    return mesh


def runs_together(loops: Sequence[Loop], sampler: Sampler) -> bool:
    """Whether corners of an outline are one at some angle of the grid, but for the last digits."""
    for loop in loops:
        r, z, _ = sampler.loop(loop)
        near = np.hypot(r - np.roll(r, 1, axis=0), z - np.roll(z, 1, axis=0)) < FINEST_MM
        if near.any():
            return True
    return False


def _area(r: Array, z: Array) -> float:
    """Signed area of a sampled loop at its first angle [mm2]; positive with metal on the left."""
    x, y = r[:, 0], z[:, 0]
    return float(0.5 * (x[:-1] @ y[1:] - y[:-1] @ x[1:] + x[-1] * y[0] - y[-1] * x[0]))


def skin(
    r: Array, z: Array, flip: NDArray[np.bool_], angles: Array, twist: float, closed: bool
) -> Mesh:
    """The skin of one sampled loop over some angles [rad]; where they are all, it closes."""
    turn = angles if twist == 0.0 else angles + twist * z
    x, y = r * np.cos(turn), r * np.sin(turn)
    count, wide = x.shape
    vertices = np.empty((count, wide, 3))
    vertices[..., 0], vertices[..., 1], vertices[..., 2] = x, y, z
    here = np.arange(0, count * wide, wide, dtype=np.int32)[:, None]
    along = np.concatenate([here[1:], here[:1]])
    angle = np.arange(wide, dtype=np.int32)
    start, after = (angle, (angle + 1) % wide) if closed else (angle[:-1], angle[1:])
    a, b, c, d = here + start, along + start, along + after, here + after
    # on a slant the diagonal that spans the smaller angle lies closer to the surface
    mask = np.logical_xor(flip, twist > 0)[:, None]
    faces = np.empty((*a.shape, 2, 3), dtype=np.int32)
    faces[..., 0, 0], faces[..., 0, 1], faces[..., 0, 2] = a, d, np.where(mask, b, c)
    faces[..., 1, 0], faces[..., 1, 1], faces[..., 1, 2] = np.where(mask, d, a), c, b
    return Mesh(vertices.reshape(-1, 3), faces.reshape(-1, 3))


def _caps(rings: list[Skein], wide: int, stretch: float) -> list[Faces]:
    """Triangles that close the first and the last angle.

    A slanted joint is a screw face: its triangles go straight across, from bore to outside, and
    not along it; so the section is triangulated stretched along the axis.
    """
    from manifold3d import triangulate

    caps = []
    for column, reverse in ((0, False), (-1, True)):
        polygons = [
            np.column_stack(
                [
                    r[:, column if r.shape[1] > 1 else 0],
                    stretch * z[:, column if z.shape[1] > 1 else 0],
                ]
            )
            for r, z, _ in rings
        ]
        corners = np.concatenate(
            [
                start + np.arange(len(r), dtype=np.int32) * wide + (0 if column == 0 else wide - 1)
                for start, (r, _, _) in zip(_starts(rings, wide), rings, strict=True)
            ]
        )
        faces = corners[np.asarray(triangulate(polygons), dtype=np.int32)].astype(np.int32)
        caps.append(faces[:, ::-1] if reverse else faces)
    return caps


def _starts(rings: list[Skein], wide: int) -> list[int]:
    return [0, *np.cumsum([len(r) * wide for r, _, _ in rings[:-1]]).tolist()]
