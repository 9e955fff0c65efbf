"""A closed triangle mesh, as small as it can be: corners and triples of corners."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ringgeom.errors import ShapeError
from ringgeom.form.curve import Array

Faces = NDArray[np.int32]

FINEST_MM = 2e-5
"""Edges shorter than this are closed up: a file in 32-bit numbers could not hold them."""

WELDS_MM = (FINEST_MM, 1.3e-5, 0.7e-5, 0.3e-5, 3.1e-5, 4.7e-5, 7.3e-5)
"""Distances at which a mesh is welded, one after the other, until one leaves it closed."""


@dataclass(frozen=True, slots=True, eq=False)
class Mesh:
    """vertices (n, 3) [mm], faces (m, 3), counter-clockwise seen from outside."""

    vertices: Array
    faces: Faces

    @property
    def corners(self) -> Array:
        """The three corners of every face, shape (m, 3, 3) [mm]."""
        return self.vertices[self.faces]

    def volume_mm3(self) -> float:
        """Enclosed volume [mm3]; a check only, weights never come from it."""
        a, b, c = np.moveaxis(self.corners, 1, 0)
        return float(np.einsum("ij,ij->", a, np.cross(b, c)) / 6)

    def scaled(self, by: float) -> Mesh:
        """The same mesh larger by a factor, about the ring's axis and mid-width."""
        return self if by == 1.0 else Mesh(self.vertices * by, self.faces)

    def moved(self, by_mm: Sequence[float]) -> Mesh:
        """The same mesh, moved by x, y and z [mm]."""
        return Mesh(self.vertices + np.asarray(by_mm, dtype=float), self.faces)

    def bounds_mm(self) -> tuple[Array, Array]:
        """Lowest and highest corner of the bounding box [mm]."""
        return self.vertices.min(axis=0), self.vertices.max(axis=0)


def is_closed(mesh: Mesh) -> bool:
    """Whether every edge is shared by exactly two faces that run along it in opposite ways."""
    size = np.int64(len(mesh.vertices))
    a, b = (np.concatenate([mesh.faces[:, i] for i in order]) for order in ((0, 1, 2), (1, 2, 0)))
    there = np.sort(a * size + b)
    back = np.sort(b * size + a)
    return bool(np.array_equal(there, back) and (np.diff(there) > 0).all())


def welded(mesh: Mesh, within_mm: float) -> Mesh:
    """The mesh with corners no further apart than `within_mm` made one, each to the first of its
    crowd, and faces that vanish left out."""
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components
    from scipy.spatial import cKDTree

    near = cKDTree(mesh.vertices).query_pairs(within_mm, output_type="ndarray")
    count = len(mesh.vertices)
    crowds = coo_array((np.ones(len(near), dtype=bool), tuple(near.T)), shape=(count, count))
    _, crowd = connected_components(crowds, directed=False)
    _, first, which = np.unique(crowd, return_index=True, return_inverse=True)
    faces = which.reshape(-1)[mesh.faces].astype(np.int32)
    a, b, c = faces.T
    return Mesh(mesh.vertices[first], faces[(a != b) & (b != c) & (c != a)])


def closed_by_welding(mesh: Mesh, within_mm: Sequence[float] = WELDS_MM) -> Mesh | None:
    """The mesh welded at the first of some distances that leaves it closed; None if none does."""
    for distance in within_mm:
        found = welded(mesh, distance)
        if is_closed(found):
            return found
    return None


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


def joined(meshes: Sequence[Mesh]) -> Mesh:
    """Several meshes as one list of faces; nothing is united."""
    if len(meshes) == 1:
        return meshes[0]
    starts = np.cumsum([0, *(len(mesh.vertices) for mesh in meshes[:-1])])
    return Mesh(
        np.concatenate([mesh.vertices for mesh in meshes]),
        np.concatenate(
            [mesh.faces + np.int32(start) for mesh, start in zip(meshes, starts, strict=True)]
        ),
    )
