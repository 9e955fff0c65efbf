"""Volumes over a shape between two faces of the ring, exact on the cylinder.

The face is unrolled at r0 = round / 2 pi, so dV = r dr dz dx / r0. A shape that is cut open at
the seam counts rightly: both sides of the seam are the same curve and cancel.
"""

from __future__ import annotations

from collections.abc import Callable
from math import pi

import numpy as np

from ringgeom.engraving.shape import Shape
from ringgeom.form.curve import Array
from ringgeom.form.frame import Chain


def volume_mm3(shape: Shape, upper: Chain, lower: Chain, round_mm: float) -> float:
    """Volume over a shape between two faces, exact on the cylinder [mm3]."""
    over, under = half_r2(upper), half_r2(lower)
    stops = sorted({*upper.stops_mm[1:-1], *lower.stops_mm[1:-1]})
    share = 2 * pi / round_mm
    return share * shape.integral(lambda y: over(y) - under(y), stops)


def half_r2(chain: Chain) -> Callable[[Array], Array]:
    """Antiderivative of r^2 / 2 along a face of several curves, without jumps at their stops."""
    pieces = list(chain.pieces())
    inner = np.array(chain.stops_mm[1:-1])
    shifts, total = [], 0.0
    for curve, low, high in pieces:
        ends = curve.half_r2(np.array([low, high]))
        shifts.append(total - float(ends[0]))
        total += float(ends[1] - ends[0])

    def under(y: Array) -> Array:
        which = np.searchsorted(inner, y)
        return np.choose(
            which, [curve.half_r2(y) + by for (curve, _, _), by in zip(pieces, shifts, strict=True)]
        )

    return under
