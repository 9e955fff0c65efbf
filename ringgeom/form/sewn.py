"""Outlines of different points round one ring, sewn to one closed skin.

angles of one outline      step      angles of the next one
o---o---o---o---o---o----------o---o---o---o
|   |   |   |   |   |  \\    /  |   |   |   |     each run is swept by itself; over the
o---o---o---o---o---o---o--o---o---o---o---o     step between two runs every point of one
|   |   |   |   |   |    \\  |  |   |   |   |     side goes to the nearest of the other,
o---o---o---o---o---o------o---o---o---o---o     in the order of the outline
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from ringgeom.errors import ShapeError
from ringgeom.form.curve import Array, Whole
from ringgeom.form.mesh import Faces, Mesh
from ringgeom.form.sweep import Loop, Sampler, skin


def sewn(outlines: Sequence[tuple[Whole, Sequence[Loop], Sampler]], angles: Array) -> Mesh:
    """The solid of one region all round, whose outline has other points over some angles.

    Parameters
    ----------
    outlines : sequence of tuple
        Indices of the angles of each outline, rising; its loops, and what samples them. Together
        they are every angle once, and more than one outline.
    angles : Array
        The grid, shape (N,) [rad].

    Raises
    ------
    ShapeError
        The region has a hole, or touches itself.
    """
    runs: list[tuple[int, Array, Array, Mesh]] = []
    for which, loops, sampler in outlines:
        if len(loops) != 1:
            raise ShapeError("a place crosses itself round the ring")
        r, z, flip = sampler.loop(loops[0])
        if r.shape[1] == 1:
            r, z = (np.repeat(one, which.size, axis=1) for one in (r, z))
        breaks = np.flatnonzero(np.diff(which) > 1) + 1
        for some in np.split(np.arange(which.size), breaks):
            mine = skin(r[:, some], z[:, some], flip, angles[which[some]], sampler.twist, False)
            runs.append((int(which[some[0]]), r[:, some], z[:, some], mine))
    runs.sort(key=lambda run: run[0])
    starts = np.cumsum([0, *(len(mesh.vertices) for *_, mesh in runs)])
    faces = [mesh.faces + np.int32(start) for (*_, mesh), start in zip(runs, starts, strict=False)]
    for at, (_, r, z, _) in enumerate(runs):
        to = (at + 1) % len(runs)
        _, other_r, other_z, _ = runs[to]
        seam = _seam(
            np.column_stack([r[:, -1], z[:, -1]]),
            np.column_stack([other_r[:, 0], other_z[:, 0]]),
        )
        last = starts[at] + np.arange(len(r)) * r.shape[1] + r.shape[1] - 1
        first = starts[to] + np.arange(len(other_r)) * other_r.shape[1]
        faces.append(np.concatenate([last, first])[seam].astype(np.int32))
    return Mesh(np.concatenate([mesh.vertices for *_, mesh in runs]), np.concatenate(faces))


def _seam(here: Array, there: Array) -> Faces:
    """Triangles between two closed outlines, the second one an angle further on.

    Of all ways to go round both at once, the one whose links are shortest, their squares summed.
    Points of the second are numbered on from those of the first.
    """
    m, n = len(here), len(there)
    apart = ((here[:, None] - there) ** 2).sum(axis=2)
    i0, j0 = divmod(int(apart.argmin()), n)
    round_here, round_there = (i0 + np.arange(m + 1)) % m, (j0 + np.arange(n + 1)) % n
    apart = apart[np.ix_(round_here, round_there)]
    least = np.empty_like(apart)
    least[0] = np.cumsum(apart[0])
    for i in range(1, m + 1):
        along = np.cumsum(apart[i])
        least[i] = along + np.minimum.accumulate(least[i - 1] - along + apart[i])
    i, j = m, n
    faces = []
    while i or j:
        link = round_here[i], m + round_there[j]
        if j == 0 or (i > 0 and least[i - 1, j] <= least[i, j - 1]):
            i -= 1
            faces.append((round_here[i], link[1], link[0]))
        else:
            j -= 1
            faces.append((link[0], m + round_there[j], link[1]))
    return np.array(faces, dtype=np.int32)
