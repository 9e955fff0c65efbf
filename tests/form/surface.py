"""How far a mesh lies from the true surface of a part, judged by the contract alone.

A point is within c of a part's surface exactly when the ball of radius c around it holds both
points inside the part and points outside it.
"""

from __future__ import annotations

import numpy as np
from form.plain import Array, Mask, PlainRing

from ringgeom.form.mesh import Mesh
from ringgeom.form.pieces import Piece


def random_points(mesh: Mesh, count: int, seed: int) -> tuple[Array, Array]:
    """Points spread evenly over a mesh's surface, and the normals there, both (count, 3)."""
    random = np.random.default_rng(seed)
    a, b, c = np.moveaxis(mesh.corners, 1, 0)
    cross = np.cross(b - a, c - a)
    area = np.linalg.norm(cross, axis=1)
    which = random.choice(len(area), count, p=area / area.sum())
    u, v = random.random((2, count, 1))
    u, v = np.where(u + v > 1, 1 - u, u), np.where(u + v > 1, 1 - v, v)
    points = a[which] + u * (b - a)[which] + v * (c - a)[which]
    return points, cross[which] / area[which, None]


def balls(within_mm: float) -> Array:
    """A hundred points well spread in a ball, (100, 3) [mm]."""
    golden = np.arange(100) * np.pi * (3 - np.sqrt(5))
    z = (2 * np.arange(100) + 1) / 100 - 1
    ring = np.sqrt(1 - z**2)
    shell = np.column_stack([ring * np.cos(golden), ring * np.sin(golden), z])
    return shell * within_mm * np.where(np.arange(100) % 4, 1.0, 0.6)[:, None]


def beyond(plain: PlainRing, piece: Piece, points: Array, normals: Array, within_mm: float) -> Mask:
    """Which points lie further than `within_mm` from the true surface of a piece."""

    def inside(at: Array) -> Mask:
        return plain.holds(piece.owner.kind, piece.owner.claim, piece.sector, at)

    missed = ~inside(points - within_mm * normals) | inside(points + within_mm * normals)
    # beside a corner the normal leads into the next face: look all round
    doubtful = np.flatnonzero(missed)
    around = inside(points[doubtful, None] + balls(within_mm))
    missed[doubtful] = around.all(axis=1) | ~around.any(axis=1)
    return missed
