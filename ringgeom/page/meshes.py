"""The ring's solids for the screen: corners and normals in binary, no corner shared over an edge.

u32 length of the head | head (JSON, UTF-8, padded to 4) | f32 positions and normals
"""

from __future__ import annotations

import json
import struct
from typing import Any

import numpy as np

from ringgeom.engraving.solid import lettered
from ringgeom.form.mesh import Mesh
from ringgeom.form.solid import solids
from ringgeom.sketch import Sketch

SHARP_COS = 0.82
"""Faces that meet at more than about 35 degrees have an edge between them."""

FULL_CHORD_MM, QUICK_CHORD_MM = 0.01, 0.06


def ring_bytes(sketch: Sketch, *, quick: bool) -> bytes:
    """Every part's triangles with smooth normals that break at edges; empty for no ring."""
    blocks: list[bytes] = []
    parts: list[dict[str, Any]] = []
    if sketch.ring is not None:
        chord = QUICK_CHORD_MM if quick else FULL_CHORD_MM
        meshes = solids(sketch.ring, chord_mm=chord)
        if not quick:
            # under the hand the ring is shown plain; its letters come when it is let go
            meshes = lettered(meshes, sketch.engraved, sketch.insets, chord_mm=chord)
        colours = {alloy.name: found for alloy, found in sketch.colours}
        for part in sketch.parts:
            if part.piece not in meshes:
                continue  # an insert, under the hand
            positions, normals = _shaded(meshes[part.piece])
            blocks += [positions.tobytes(), normals.tobytes()]
            r = np.hypot(positions[:, 0], positions[:, 1])
            parts.append(
                {
                    "name": part.name,
                    "corners": len(positions),
                    "hex": colours[part.alloy.name].hex,
                    "radius_mm": float(r.mean()),
                    "z_mm": float(np.ptp(positions[:, 2]) / 2 + positions[:, 2].min()),
                    "middle": positions[:, :2].mean(axis=0).tolist(),
                }
            )
    head = json.dumps({"parts": parts, "outside_mm": sketch.outside_diameter_mm}).encode()
    head += b" " * (-len(head) % 4)
    return b"".join([struct.pack("<I", len(head)), head, *blocks])


def _shaded(mesh: Mesh) -> tuple[Any, Any]:
    """Corners and normals of every triangle, float32 of shape (3 m, 3).

    A corner's normal is the mean of those of its faces, by area, that lie within the
    sharp angle of the face itself: arcs are smooth, edges stay edges.
    """
    corners = mesh.corners
    normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    length = np.linalg.norm(normals, axis=1, keepdims=True)
    unit = normals / np.where(length > 0, length, 1.0)
    # three directions of faces at every vertex are told apart by their nearest axis of the section
    angle = np.arctan2(corners.mean(axis=1)[:, 1], corners.mean(axis=1)[:, 0])
    radial = unit[:, 0] * np.cos(angle) + unit[:, 1] * np.sin(angle)
    across = -unit[:, 0] * np.sin(angle) + unit[:, 1] * np.cos(angle)
    bearing = np.stack([radial, across, unit[:, 2]])
    group = 2 * np.argmax(np.abs(bearing), axis=0)
    group += np.take_along_axis(bearing, group[None] // 2, axis=0)[0] < 0
    key = mesh.faces.astype(np.int64) * 6 + group[:, None]
    summed = np.zeros((len(mesh.vertices) * 6, 3))
    for corner in range(3):
        np.add.at(summed, key[:, corner], normals)
    smooth = summed[key]
    size = np.linalg.norm(smooth, axis=2, keepdims=True)
    smooth = smooth / np.where(size > 0, size, 1.0)
    flat = np.broadcast_to(unit[:, None, :], smooth.shape)
    sharp = np.einsum("ijk,ijk->ij", smooth, flat) < SHARP_COS
    shown = np.where(sharp[..., None], flat, smooth)
    return (
        corners.reshape(-1, 3).astype("<f4"),
        shown.reshape(-1, 3).astype("<f4"),
    )
