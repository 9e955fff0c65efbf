"""Solids cut for the eye: a ring opened by a sector, its cut faces, a gap kept below a surface."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, pi, sin
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ringgeom.form.curve import Array
from ringgeom.form.mesh import Mesh

if TYPE_CHECKING:
    from manifold3d import Manifold

ON_PLANE_MM = 1e-6
"""A corner nearer than this to the plane of a cut lies on it; booleans are exact to less."""

ARC = pi / 8
"""The sector that is taken away is a fan of triangles no wider than this [rad]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Opened:
    """What is left of one solid: its own surface, and apart from it the faces of the cut."""

    outer: Mesh
    faces: Mesh


def opened(meshes: Sequence[Mesh], start: float, end: float) -> list[Opened]:
    """Every solid without the metal between two angles, counter-clockwise [rad]."""
    from manifold3d import CrossSection

    reach = 2 * max(float(np.abs(mesh.vertices).max()) for mesh in meshes)
    turns = np.linspace(start, end, 2 + int((end - start) / ARC))
    fan = np.vstack([[0.0, 0.0], reach * np.column_stack([np.cos(turns), np.sin(turns)])])
    sector = CrossSection([fan]).extrude(2 * reach).translate([0.0, 0.0, -reach])
    planes = np.array([(-sin(start), cos(start), 0.0), (sin(end), -cos(end), 0.0)])
    found = []
    for mesh in meshes:
        left = _plain(_solid(mesh) - sector)
        on = np.zeros(len(left.faces), dtype=bool)
        for normal in planes:
            on |= _on_plane(left, normal)
        found.append(Opened(outer=_some(left, ~on), faces=_some(left, on)))
    return found


def within(meshes: Sequence[Mesh], whole: Mesh) -> list[Mesh]:
    """What of some solids lies within another; those that are outside are left away."""
    room = _solid(whole)
    cut = [_plain(room ^ _solid(mesh)) for mesh in meshes]
    return [mesh for mesh in cut if len(mesh.faces)]


def outline(faces: Mesh) -> Array:
    """The edges round flat facets, shape (k, 2, 3) [mm]: those that only one facet has."""
    ends = np.concatenate([faces.faces[:, [i, (i + 1) % 3]] for i in range(3)])
    _, first, times = np.unique(np.sort(ends), axis=0, return_index=True, return_counts=True)
    found: Array = faces.vertices[ends[first[times == 1]]]
    return found


def _solid(mesh: Mesh) -> Manifold:
    from manifold3d import Manifold, Mesh64

    return Manifold(Mesh64(vert_properties=mesh.vertices, tri_verts=mesh.faces.astype("u8")))


def _plain(solid: Manifold) -> Mesh:
    found = solid.to_mesh64()
    return Mesh(
        # copies: what the kernel hands out cannot be handed back to it
        np.array(found.vert_properties[:, :3], dtype=np.float64),
        np.array(found.tri_verts, dtype=np.int32),
    )


def _on_plane(mesh: Mesh, normal: Array) -> NDArray[np.bool_]:
    """Which facets lie on the plane through the axis that has a normal, and look along it."""
    flat = np.all((np.abs(mesh.vertices @ normal) < ON_PLANE_MM)[mesh.faces], axis=1)
    a, b, c = np.moveaxis(mesh.corners, 1, 0)
    found: NDArray[np.bool_] = flat & (np.cross(b - a, c - a) @ normal > 0)
    return found


def _some(mesh: Mesh, which: NDArray[np.bool_]) -> Mesh:
    """Some facets as a mesh of their own corners."""
    corners, faces = np.unique(mesh.faces[which], return_inverse=True)
    return Mesh(mesh.vertices[corners], faces.reshape(-1, 3).astype(np.int32))
