"""Meshes made fit for a file of 32-bit numbers: short edges closed up, touching walls apart.

welded         corners closer than a file tells apart are one
fins           two faces back to back on the same three corners are none
drawn apart    walls that touch in a line get corners of their own, a hair apart
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from ringgeom.errors import ShapeError
from ringgeom.form.curve import Whole
from ringgeom.form.mesh import Mesh, is_closed

FINEST_MM = 2e-5
"""Edges shorter than this are closed up: a file in 32-bit numbers could not hold them."""

WELDS_MM = (FINEST_MM, 1.3e-5, 0.7e-5, 0.3e-5, 3.1e-5, 4.7e-5, 7.3e-5)
"""Distances at which a mesh is welded, one after the other, until one leaves it closed."""

HAIR_MM = 5e-5
"""How far a corner is drawn back where walls touch: some ten steps of a file's numbers."""


def welded(mesh: Mesh, within_mm: float) -> Mesh:
    """The mesh with corners no further apart than `within_mm` made one, each to the first of its
    crowd, and faces that vanish left out."""
    return _made_one(mesh, _crowds(len(mesh.vertices), _near(mesh, within_mm)))


def closed_by_welding(mesh: Mesh, within_mm: Sequence[float] = WELDS_MM) -> Mesh | None:
    """The mesh welded at the first of some distances that leaves it closed; None if none does."""
    for distance in within_mm:
        found = welded(mesh, distance)
        closed = is_closed(found) or is_closed(found := _without_fins(found))
        if closed and _holds(found, mesh):
            return found
    for distance in within_mm:
        found = _drawn_apart(mesh, distance)
        if is_closed(_as_read(found)) and _holds(found, mesh):
            return found
    return None


def _holds(found: Mesh, whole: Mesh) -> bool:
    """Whether a part is still there: one thinner than a weld would be left without its metal."""
    return found.faces.size > 0 and found.volume_mm3() > 0.5 * whole.volume_mm3()


def writable(mesh: Mesh) -> Mesh:
    """The mesh as a file of 32-bit numbers holds it: closed, its shortest edges closed up.

    Raises
    ------
    ShapeError
        No weld leaves it closed.
    """
    closed = closed_by_welding(mesh)
    if closed is None:
        raise ShapeError(
            "a part has walls thinner than a file can hold, or that touch in a line: "
            "a few hundredths more or less of a depth, a height or a place mostly mend that"
        )
    return closed


def _near(mesh: Mesh, within_mm: float) -> Whole:
    """Pairs of corners no further apart than a distance, shape (n, 2)."""
    from scipy.spatial import cKDTree

    pairs: Whole = cKDTree(mesh.vertices).query_pairs(within_mm, output_type="ndarray")
    return pairs


def _crowds(count: int, pairs: Whole) -> Whole:
    """For every corner the number of the crowd that pairs join it to."""
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components

    ones = np.ones(len(pairs), dtype=bool)
    crowd: Whole = connected_components(
        coo_array((ones, tuple(pairs.T)), shape=(count, count)), directed=False
    )[1]
    return crowd


def _made_one(mesh: Mesh, crowd: Whole) -> Mesh:
    _, first, which = np.unique(crowd, return_index=True, return_inverse=True)
    faces = which.reshape(-1)[mesh.faces].astype(np.int32)
    a, b, c = faces.T
    return Mesh(mesh.vertices[first], faces[(a != b) & (b != c) & (c != a)])


def _without_fins(mesh: Mesh) -> Mesh:
    """The mesh without faces that lie back to back on the same three corners."""
    order = np.argsort(mesh.faces, axis=1)
    rows = np.take_along_axis(mesh.faces, order, axis=1)
    turned = np.where((order[:, 1] - order[:, 0]) % 3 == 1, 1, -1)
    which = np.unique(rows, axis=0, return_inverse=True)[1].reshape(-1)
    return Mesh(mesh.vertices, mesh.faces[np.bincount(which, weights=turned)[which] != 0])


def _drawn_apart(mesh: Mesh, within_mm: float) -> Mesh:
    """The mesh welded, but along its own edges only where more than two faces would share one;
    there each wall's corner is drawn back towards its own neighbours."""
    near = _near(mesh, within_mm)
    count = len(mesh.vertices)
    crowd = _crowds(count, near)
    touches = np.isin(crowd, _shared(crowd[mesh.faces]))
    edges = np.concatenate([mesh.faces[:, [0, 1]], mesh.faces[:, [1, 2]], mesh.faces[:, [2, 0]]])
    own = edges[(crowd[edges[:, 0]] == crowd[edges[:, 1]]) & touches[edges[:, 0]]]
    wall = _crowds(count, np.concatenate([near[~touches[near[:, 0]]], own]))
    found = _made_one(mesh, wall)
    moved = touches[np.unique(wall, return_index=True)[1]]
    vertices = found.vertices.copy()
    way, sides = np.zeros_like(vertices), found.faces[moved[found.faces].any(axis=1)]
    for here, there in ((0, 1), (1, 2), (2, 0), (1, 0), (2, 1), (0, 2)):
        steps = found.vertices[sides[:, there]] - found.vertices[sides[:, here]]
        np.add.at(way, sides[:, here], steps)
    far = np.linalg.norm(way, axis=1)
    moved &= far > 0
    vertices[moved] += HAIR_MM * way[moved] / far[moved, None]
    return Mesh(vertices, found.faces)


def _shared(faces: Whole) -> Whole:
    """Corners of edges along which more than one face runs the same way."""
    size = np.int64(faces.max() + 1)
    ends = np.concatenate([faces[:, [0, 1]], faces[:, [1, 2]], faces[:, [2, 0]]])
    ends = ends[ends[:, 0] != ends[:, 1]]
    edge, times = np.unique(ends[:, 0] * size + ends[:, 1], return_counts=True)
    return np.unique(np.divmod(edge[times > 1], size))


def _as_read(mesh: Mesh) -> Mesh:
    """The mesh as a program that reads 32-bit numbers joins it."""
    _, crowd = np.unique(mesh.vertices.astype(np.float32), axis=0, return_inverse=True)
    return _made_one(mesh, crowd.reshape(-1))
