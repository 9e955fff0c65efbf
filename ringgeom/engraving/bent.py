"""A shape drawn on the unrolled face as a solid: a flat prism, refined, then bent round the ring.

flat  ____        ,-'-.   bent: angle = x / radius, floor and face as they run across
     |____|      (     )
"""

from __future__ import annotations

from math import sqrt
from typing import TYPE_CHECKING

import numpy as np

from ringgeom.engraving.face import Face, face
from ringgeom.engraving.relief import Relief
from ringgeom.errors import ShapeError
from ringgeom.form.curve import Arc, Array

if TYPE_CHECKING:
    from manifold3d import CrossSection, Manifold

OVER_MM = 0.1
"""How far a cutter stands over the face, and a raised letter is sunk into it."""

THIN_MM = 1e-3
"""Height of the flat prism before it is bent: too low for its sides to be split."""

FILM_MM = 5e-4
"""How far shapes that meet are made to overlap."""


def bent(
    flat: CrossSection,
    finished: Face,
    deep: Relief,
    *,
    chord_mm: float,
    with_stock: bool,
    over_mm: float = OVER_MM,
) -> Manifold:
    """A shape as a solid on its face, from its floor to over the face.

    Parameters
    ----------
    over_mm : float
        How far it stands over the face, or what is raised is sunk into it; 0 for what fills it.

    Raises
    ------
    ShapeError
        It came out inside out.
    """
    from manifold3d import Manifold

    _, low, _, high = flat.bounds()
    # sides and floor follow the bend within half a chord
    bends = [finished.radius_mm] + [
        strip.curve.bend_mm for strip in finished.between(low, high) if isinstance(strip.curve, Arc)
    ]
    prism = Manifold.extrude(flat, THIN_MM).refine_to_length(sqrt(4 * min(bends) * chord_mm))
    half = finished.half_mm
    cast = face(finished.ring, finished.side, with_stock=True) if with_stock else finished

    def ends(z: Array) -> tuple[Array, Array]:
        """Lower and upper radius of the letter at some z."""
        skin = cast.r(z)
        rise, level = deep.rise_mm(finished), deep.flat_mm(finished)
        floor = finished.r(z) + rise if level is None else np.full_like(z, level)
        if deep.raised and with_stock:
            floor = floor + (skin - finished.r(z))
        away = finished.out * (-over_mm if deep.raised else over_mm)
        beyond = skin + away
        if level is not None and over_mm > 0:
            # where the face lies beyond a flat floor, as beside a step, the floor goes on level
            further = np.maximum if away > 0 else np.minimum
            beyond = further(beyond, floor + away)
        return np.minimum(floor, beyond), np.maximum(floor, beyond)

    def on_face(points: Array) -> Array:
        x, z, up = points.T
        under, over = ends(np.clip(z, -half, half))
        # what ends on the ring's side goes beyond it, or a film would be left
        if not with_stock:
            z = np.where(np.abs(z) > half - 2 * FILM_MM, np.copysign(half + OVER_MM, z), z)
        r = under + (over - under) * (up / THIN_MM)
        angle = x / finished.radius_mm
        return np.column_stack([r * np.cos(angle), r * np.sin(angle), z])

    found: Manifold = prism.warp_batch(on_face)
    if found.volume() <= 0:
        raise ShapeError("what is drawn on the face came out inside out")
    return found
