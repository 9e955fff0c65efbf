"""What the eye sees at every dot, by parallel sight: which facet is nearest. No GL is needed.

Facets are cut into rows of dots, and of all facets on a dot the nearest is kept.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ringgeom.form.curve import Array
from ringgeom.scene.view import View

NOTHING = -1

AT_ONCE = 2_000_000
"""Dots that are worked on together: bounds the memory."""

FARTHEST_MM, DEPTHS_PER_MM = 400.0, 5e6
"""Depth is kept in whole numbers that fit into 32 bits: no ring is larger, none finer."""

Whole = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class Seen:
    """Top row first, each of shape (rows, dots).

    Attributes
    ----------
    facet : Array of int
        Number of the facet seen, over all shapes of the view; -1 for paper.
    depth_mm : Array
        Towards the eye, from the middle of the picture; the paper lies far behind.
    """

    facet: NDArray[np.int32]
    depth_mm: NDArray[np.float32]


def seen(view: View, finer: int) -> Seen:
    """What is seen of a view.

    Parameters
    ----------
    finer : int
        Dots each way for a dot of the picture.
    """
    wide, high = (n * finer for n in view.size)
    nearest = np.zeros(wide * high, dtype=np.uint64)
    first = 1
    for shape, turn in zip(view.shapes, view.turns, strict=True):
        spots = shape.skin.points @ turn[:3, :3].T + turn[:3, 3]
        spots[:, :2] = spots[:, :2] * (view.px_per_mm * finer) + (wide / 2, high / 2)
        for where, depth, which in _covered(spots[shape.skin.faces], wide, high):
            level = np.clip((depth + FARTHEST_MM) * DEPTHS_PER_MM, 1, 2**32 - 1).astype(np.uint64)
            facet = (which + first).astype(np.uint64)
            np.maximum.at(nearest, where, (level << np.uint64(32)) | facet)
        first += len(shape.skin.faces)
    nearest = nearest.reshape(high, wide)[::-1]
    facet_seen = (nearest & np.uint64(2**32 - 1)).astype(np.int64) - 1
    depth_seen = (nearest >> np.uint64(32)) / DEPTHS_PER_MM - FARTHEST_MM
    return Seen(facet=facet_seen.astype(np.int32), depth_mm=depth_seen.astype(np.float32))


def _covered(corners: Array, wide: int, high: int) -> Iterator[tuple[Whole, Array, Whole]]:
    """Dots on facets (m, 3, 3) that face the eye: place, depth and number of the facet."""
    normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    facing = np.flatnonzero(normal[:, 2] > 0)
    corners, normal = corners[facing], normal[facing]
    # a dot counts by its middle
    up = corners[..., 1]
    bottom = np.clip(np.ceil(up.min(axis=1) - 0.5), 0, high).astype(np.int64)
    top = np.clip(np.floor(up.max(axis=1) - 0.5), -1, high - 1).astype(np.int64)
    which, row = _runs(bottom, np.maximum(top - bottom + 1, 0))
    left, right = _row_ends(corners[which], row.astype(np.float64) + 0.5)
    start = np.clip(np.ceil(left - 0.5), 0, wide).astype(np.int64)
    end = np.clip(np.floor(right - 0.5), -1, wide - 1).astype(np.int64)
    count = np.maximum(end - start + 1, 0)
    for some in _portions(count):
        index, x = _runs(start[some], count[some])
        facet, y = which[some][index], row[some][index]
        lean = normal[facet]
        across = x + 0.5 - corners[facet, 0, 0], y + 0.5 - corners[facet, 0, 1]
        depth = (
            corners[facet, 0, 2] - (lean[:, 0] * across[0] + lean[:, 1] * across[1]) / lean[:, 2]
        )
        yield y * wide + x, depth, facing[facet]


def _runs(start: Whole, count: Whole) -> tuple[Whole, Whole]:
    """start, start + 1, ... for every run: the number of its run, and the value."""
    which = np.repeat(np.arange(count.size), count)
    before = np.cumsum(count) - count
    return which, np.arange(which.size) - before[which] + start[which]


def _row_ends(corners: Array, height: Array) -> tuple[Array, Array]:
    """Where a row enters and leaves a facet that runs counter-clockwise [dots]."""
    left, right = np.full(height.size, -np.inf), np.full(height.size, np.inf)
    for one in range(3):
        a, b = corners[:, one], corners[:, (one + 1) % 3]
        rise = b[:, 1] - a[:, 1]
        share = (height - a[:, 1]) / np.where(rise == 0, 1.0, rise)
        at = a[:, 0] + share * (b[:, 0] - a[:, 0])
        right = np.where(rise > 0, np.minimum(right, at), right)
        left = np.where(rise < 0, np.maximum(left, at), left)
    return left, right


def _portions(count: Whole) -> Iterator[slice]:
    """Slices of rows that hold about so many dots as are worked on at once."""
    total = np.cumsum(count)
    if not total.size:
        return
    stops = np.searchsorted(total, np.arange(AT_ONCE, int(total[-1]), AT_ONCE), side="right")
    edges = np.unique([0, *stops.tolist(), count.size])
    for start, end in zip(edges[:-1].tolist(), edges[1:].tolist(), strict=True):
        yield slice(start, end)
