"""Parts set apart as they would be taken apart: along the axis, segments outwards."""

from __future__ import annotations

from collections.abc import Sequence
from math import pi

import numpy as np

from ringgeom.form.curve import Array
from ringgeom.scene.shown import ShownPart

BETWEEN = 0.34
"""Room between two parts along the axis, as a share of the ring's outside radius."""

LET_IN = ("channel", "motif")
"""Places that are let into the outside."""

OUTWARDS = 0.28
"""How far segments move outwards, as a share of the ring's outside radius."""


def shifts_mm(parts: Sequence[ShownPart]) -> Array:
    """How far every part moves, shape (parts, 3) [mm].

    A liner comes out on one side of the ring and an inlay on the side it is nearer to;
    stripes, rails and body part along the axis; segments move outwards where they are.
    """
    found = np.zeros((len(parts), 3))
    if len(parts) < 2:
        return found
    outside = max(_radius(part) for part in parts)
    for number, part in enumerate(parts):
        if part.segment:
            angle = _middle_angle(part)
            found[number, :2] = OUTWARDS * outside * np.array([np.cos(angle), np.sin(angle)])
    at = 0.0
    for group in _rows(parts):
        low = min(_heights(parts[n])[0] for n in group)
        high = max(_heights(parts[n])[1] for n in group)
        for number in group:
            found[number, 2] = at - low
        at += high - low + BETWEEN * outside
    middle = 0.5 * (at - BETWEEN * outside)
    found[:, 2] -= middle
    return found


def _rows(parts: Sequence[ShownPart]) -> list[list[int]]:
    """Parts by number, in groups that keep together, in their order along the axis."""
    segments = [n for n, part in enumerate(parts) if part.segment]
    whole = [n for n, part in enumerate(parts) if not part.segment]
    # a stripe, a rail or the body is where it is; what lies in another comes out beside it
    inner = [n for n in whole if parts[n].place in ("liner", *LET_IN)]
    core = [[n] for n in whole if n not in inner]
    bodies = [n for n in whole if parts[n].place == "body"]
    if segments:
        if len(core) == 1 and bodies:
            core[0] = [*core[0], *segments]
        else:
            core.append(segments)
    core.sort(key=lambda group: sum(sum(_heights(parts[n])) for n in group) / len(group))
    below = [n for n in inner if parts[n].place == "liner"]
    above: list[int] = []
    for n in (n for n in inner if parts[n].place in LET_IN):
        middle = sum(_heights(parts[n]))
        (below if middle < -1e-6 else above).append(n)
    below.sort(key=lambda n: (parts[n].place != "liner", _heights(parts[n])))
    above.sort(key=lambda n: _heights(parts[n]))
    return [*([n] for n in below), *core, *([n] for n in above)]


def _heights(part: ShownPart) -> tuple[float, float]:
    z = part.mesh.vertices[:, 2]
    return float(z.min()), float(z.max())


def _radius(part: ShownPart) -> float:
    return float(np.hypot(part.mesh.vertices[:, 0], part.mesh.vertices[:, 1]).max())


def _middle_angle(part: ShownPart) -> float:
    """Angle at which a segment stands: the way from the axis to its middle [rad]."""
    x, y = part.mesh.vertices[:, :2].mean(axis=0)
    return float(np.arctan2(y, x)) % (2 * pi)
