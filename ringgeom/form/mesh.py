"""A closed triangle mesh, as small as it can be: corners and triples of corners."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ringgeom.form.curve import Array

Faces = NDArray[np.int32]


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
