"""A solid's surface for the eye: smooth where it bends, sharp at its edges.

Corners of neighbouring facets share one normal where the facets meet flatter than
SHARP_DEG, and have their own on both sides of a sharper edge.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ringgeom.form.curve import Array
from ringgeom.form.mesh import Faces, Mesh

SHARP_DEG = 32.0
"""Facets of a rounding of 0.1 mm and more turn by less; the flattest edge of a band by more."""

SPLINTER_MM2 = 1e-9

UPWARDS = np.array([0.0, 0.0, 1.0])
"""Normal of a point that has none, because its facets have shrunk to lines."""


@dataclass(frozen=True, slots=True, eq=False)
class Skin:
    """points and normals, each (n, 3), points in mm; faces (m, 3) seen from outside."""

    points: Array
    normals: Array
    faces: Faces

    def inwards(self) -> Array:
        """How far every point looks to the finger's axis, from -1 outwards to 1, shape (n,)."""
        x, y = self.points[:, 0], self.points[:, 1]
        out = self.normals[:, 0] * x + self.normals[:, 1] * y
        turned: Array = -out / np.maximum(np.hypot(x, y), 1e-9)
        return turned

    def patches(self) -> NDArray[np.int32]:
        """Number of the smooth face that every facet belongs to, shape (m,)."""
        from scipy.sparse import coo_matrix
        from scipy.sparse.csgraph import connected_components

        a, b, c = self.faces.T
        links = (np.ones(2 * len(a), dtype=np.int8), (np.tile(a, 2), np.concatenate([b, c])))
        size = len(self.points)
        _, which = connected_components(coo_matrix(links, shape=(size, size)), directed=False)
        found: NDArray[np.int32] = which[a].astype(np.int32)
        return found

    def some(self, which: NDArray[np.bool_]) -> Skin:
        """Some of its facets, with the points that they need."""
        used, faces = np.unique(self.faces[which], return_inverse=True)
        return Skin(self.points[used], self.normals[used], faces.reshape(-1, 3).astype(np.int32))


def skin(mesh: Mesh) -> Skin:
    """The surface of a closed mesh with one normal per point, points parted at sharp edges."""
    from scipy.sparse import coo_matrix
    from scipy.sparse.csgraph import connected_components

    flat, weights = _facets(mesh)
    corners = mesh.faces.ravel()
    count = corners.size
    here, there = _smooth_pairs(mesh.faces, flat)
    links = coo_matrix((np.ones(here.size, dtype=np.int8), (here, there)), shape=(count, count))
    groups, which = connected_components(links, directed=False)
    facet = np.arange(count) // 3
    summed = np.column_stack(
        [
            np.bincount(which, weights=weights * flat[facet, axis], minlength=groups)
            for axis in range(3)
        ]
    )
    length = np.linalg.norm(summed, axis=1, keepdims=True)
    points = np.empty((groups, 3))
    points[which] = mesh.vertices[corners]
    return Skin(
        points=points,
        normals=np.where(length > 0, summed / np.where(length > 0, length, 1.0), UPWARDS),
        faces=which.reshape(-1, 3).astype(np.int32),
    )


def _facets(mesh: Mesh) -> tuple[Array, Array]:
    """Normal of every facet (m, 3), and the weight of it at every corner (3 m,)."""
    corners = mesh.corners
    along = np.roll(corners, -1, axis=1) - corners
    length = np.linalg.norm(along, axis=2)
    normal = np.cross(along[:, 0], along[:, 1])
    area = np.linalg.norm(normal, axis=1, keepdims=True)
    back = np.roll(along, 1, axis=1)
    inner = -np.einsum("fij,fij->fi", along, back)
    inner /= np.maximum(length * np.roll(length, 1, axis=1), 1e-300)
    # a splinter's normal is rounding: it counts where there is nothing else
    weight = np.where(area > SPLINTER_MM2, 1.0, 1e-9)
    angle = weight * np.arccos(np.clip(inner, -1.0, 1.0))
    return normal / np.where(area > 0, area, 1.0), angle.ravel()


def _smooth_pairs(faces: Faces, flat: Array) -> tuple[Faces, Faces]:
    """Pairs of corners, as indices into the raveled faces, that lie on one smooth surface."""
    start, end = faces.ravel().astype(np.int64), np.roll(faces, -1, axis=1).ravel()
    key = np.minimum(start, end) * (start.max() + 1) + np.maximum(start, end)
    order = np.argsort(key, kind="stable")
    twins = np.flatnonzero(key[order][1:] == key[order][:-1])
    one, other = order[twins], order[twins + 1]
    turn = np.einsum("ij,ij->i", flat[one // 3], flat[other // 3])
    smooth = turn > np.cos(np.radians(SHARP_DEG))
    one, other = one[smooth], other[smooth]
    # the two run along the edge in opposite ways: start meets end
    return (
        np.concatenate([one, _after(one)]).astype(np.int32),
        np.concatenate([_after(other), other]).astype(np.int32),
    )


def _after(corner: Faces) -> Faces:
    """The next corner of the same facet."""
    following: Faces = corner - corner % 3 + (corner + 1) % 3
    return following
