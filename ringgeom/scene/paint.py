"""The colour of a surface, point by point, and what its finish does to the light."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ringgeom.colour import colour
from ringgeom.colour.predict import Finish
from ringgeom.form.curve import Array
from ringgeom.scene.shown import ShownPart
from ringgeom.scene.skin import Skin

ROUGH = {"polished": 0.10, "brushed": 0.38}
"""How far a finish scatters the light, 0 to 1: chosen by eye."""

DARK = (0.020, 0.017, 0.013)
"""Linear red, green and blue of an open gap: what falls in does not come out."""

DEEPER = 0.5
"""In the bore about half of the light has met the metal once more: our judgement."""

TWICE_FROM, TWICE_TO = 0.1, 0.7
"""Turned to the finger's axis by so much, a face shows light that met the metal twice."""


GRAIN_MM, GRAIN_DOTS, GRAIN_TILT = 6.0, 1024, 0.16
"""The strokes of a brush: across how much of the face they repeat, in how many steps, and how
far they tilt the face: chosen by eye."""

GRAIN_SEED = 750


@dataclass(frozen=True, slots=True, eq=False)
class Paint:
    """How a surface takes the light.

    Attributes
    ----------
    rgb : Array
        Linear red, green and blue per point, shape (n, 3).
    edge : (float, float, float)
        Linear red, green and blue of what glances off: it keeps the metal's hue.
    rough : float
        0 for a mirror, 1 for chalk.
    strokes : Array or None
        Way of a brush round the ring at every point, (n, 3), and how far across the strokes
        it lies in repeats of the grain, in a fourth column; None for polished.
    """

    rgb: Array
    edge: tuple[float, float, float]
    rough: float
    strokes: Array | None = None


def paint(part: ShownPart | None, skin: Skin, finish: Finish) -> Paint:
    """The paint of a part's surface; of a gap for None.

    In the bore much of the light has met the metal twice, so the colour there is deeper, as
    in any ring that is looked into.
    """
    if part is None:
        return Paint(np.tile(np.array(DARK), (len(skin.points), 1)), DARK, 1.0)
    share = np.clip((skin.inwards() - TWICE_FROM) / (TWICE_TO - TWICE_FROM), 0.0, 1.0)
    own = colour(part.alloy, finish).linear_rgb
    rgb = np.array(own) ** (1 + DEEPER * share[:, None])
    return Paint(rgb, own, ROUGH[finish], _strokes(skin) if finish == "brushed" else None)


def _strokes(skin: Skin) -> Array:
    """Round the ring, as on a lathe; across, the way along the section."""
    x, y, z = skin.points.T
    round_it = np.column_stack([-y, x, np.zeros_like(x)])
    round_it -= skin.normals * np.einsum("ij,ij->i", round_it, skin.normals)[:, None]
    length = np.linalg.norm(round_it, axis=1, keepdims=True)
    # the end of a segment is square to the way round: there the brush goes along the axis
    way = np.where(length > 0.05 * np.hypot(x, y)[:, None], round_it, [0.0, 0.0, 1.0])
    way /= np.linalg.norm(way, axis=1, keepdims=True)
    return np.column_stack([way, (z + np.hypot(x, y)) / GRAIN_MM])


def grain() -> Array:
    """Tilt of a brushed face across its strokes, shape (steps,), the same for every picture."""
    noise = np.random.default_rng(GRAIN_SEED).standard_normal(GRAIN_DOTS)
    steps = np.fft.rfftfreq(GRAIN_DOTS, GRAIN_MM / GRAIN_DOTS)
    # strokes from a fortieth of a millimetre to half of one
    smooth = np.fft.irfft(np.fft.rfft(noise) * np.exp(-((steps / 12.0) ** 2)), GRAIN_DOTS)
    found: Array = GRAIN_TILT * smooth / smooth.std()
    return found
