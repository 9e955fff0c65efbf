"""The metal of a sprue: a round or oval post on a part's surface, and the fillet round its foot.

      |    |      post, flat at its end
      |    |
    _/      \\_    fillet
   ( saddle   )   the part's surface

Volumes at several finger sizes at once: the surface keeps its shape and only moves outwards.
"""

from __future__ import annotations

from math import pi

import numpy as np

from ringgeom.form.curve import Array
from ringgeom.form.stand import Stand

RINGS, SPOKES = 24, 48
"""Points of the disc rule; the saddle is smooth, so this is far below 1e-9 of it."""

DISC_NODES, DISC_WEIGHTS = np.polynomial.legendre.leggauss(RINGS)
ARC_NODES, ARC_WEIGHTS = np.polynomial.legendre.leggauss(SPOKES)


def posts_mm3(
    stand: Stand, radii_mm: Array, across_mm: Array, along_mm: Array, length_mm: float
) -> Array:
    """Volumes of round or oval sprues standing on a part, saddle included, shape (sizes,) [mm3].

    At several radii of the same surface. A sprue ends flat, `length_mm` above the surface at
    its axis; below, it follows the part's surface.
    """
    rho = 0.5 * (DISC_NODES + 1)[:, None]
    turn = 2 * pi * (np.arange(SPOKES) + 0.5) / SPOKES
    radius, across, along = (a[:, None, None] for a in (radii_mm, across_mm, along_mm))
    z = stand.z_mm + 0.5 * across * rho * np.sin(turn)
    y = 0.5 * along * rho * np.cos(turn)
    # how far the surface lies above its middle is the same at every size
    rises = stand.curve.r(z) - stand.radius_mm
    surface = np.sqrt(np.maximum((radius + rises) ** 2 - y**2, 0.0))
    height = radius + length_mm - surface
    rings = 0.5 * DISC_WEIGHTS * rho[:, 0]
    found: Array = (height.sum(axis=2) @ rings) * (across_mm * along_mm / 4) * 2 * pi / SPOKES
    return found


def fillets_mm3(across_mm: Array, along_mm: Array, radius_mm: Array, *, run_mm: float) -> Array:
    """Volumes of fillets round sprues' feet, cut off at the sides of their run, (sizes,) [mm3].

    0 where the radius is none. Round an oval foot it is a round one pressed together across,
    as the oval itself is.

    Source
    ------
    Integral over rings of the height r - sqrt(r^2 - (r - t)^2) at t from the foot, times what
    of each ring lies on the run; closed form for a round foot derived in the tests.
    """
    if not radius_mm.any():
        return np.zeros_like(radius_mm)
    press, foot, radius = across_mm / along_mm, along_mm[:, None] / 2, radius_mm[:, None]
    half_run = run_mm / 2 / press[:, None]
    # sin^2 spreads the nodes so that neither end of the arc is a root
    turn = pi / 4 * (ARC_NODES + 1)
    out = radius * np.sin(turn) ** 2
    step = radius * np.sin(2 * turn) * pi / 4 * ARC_WEIGHTS
    height = radius - np.sqrt(radius**2 - (radius - out) ** 2)
    ring = foot + out
    share = np.where(ring > half_run, 4 * np.arcsin(np.minimum(half_run / ring, 1.0)), 2 * pi)
    found: Array = press * (step * height * ring * share).sum(axis=1)
    return found
