"""The light that metals reflect: a bright tent, drawn in code, the same for every picture.

It is grey and nowhere brighter than 1, where a mirror of the metal shows its predicted
colour: no reflection is brighter than the prediction.

    x to the right of the picture, y up, z towards the eye
"""

from __future__ import annotations

import numpy as np

from ringgeom.form.curve import Array

FACE_DOTS = 128
"""Dots along one face of the cube of light."""

HEIGHTS_DEG = (-90.0, -55.0, -25.0, -8.0, -2.0, 6.0, 22.0, 34.0, 90.0)
LIGHT = (0.56, 0.72, 0.70, 0.57, 0.47, 0.52, 0.80, 1.0, 1.0)
"""Brightness by height above the horizon: table, horizon, lamp overhead."""

LEAN = 0.3
"""The lamp leans to the left by this angle [rad], so that reflections run aslant."""

FRONT, FRONT_FROM, FRONT_TO = 0.9, 0.5, 1.0
"""What lies behind the eye: a face turned to it shows this share of its colour."""

BEHIND, BEHIND_FROM, BEHIND_TO = 0.5, 0.35, 1.0
"""What is taken from the light behind the ring, so that its outline stands off the paper."""


def studio() -> Array:
    """Brightness of the six faces of a cube round the ring, shape (6, dots, dots), float32.

    Faces in the order +x, -x, +y, -y, and what is behind and before the ring: a cube of light
    is stored as it is seen from within, which turns its depth about.
    """
    run = (np.arange(FACE_DOTS) + 0.5) / FACE_DOTS * 2 - 1
    u, v = np.meshgrid(run, run)
    one = np.ones_like(u)
    faces = ((one, -v, -u), (-one, -v, u), (u, one, v), (u, -one, -v), (u, -v, one), (-u, -v, -one))
    mirrored = np.array([1.0, 1.0, -1.0])
    found: Array = np.array(
        [brightness(np.stack(face, axis=-1) * mirrored) for face in faces], dtype="f4"
    )
    return found


def brightness(towards: Array) -> Array:
    """Brightness that comes from directions of shape (..., 3), 0 to 1."""
    x, y, z = np.moveaxis(towards / np.linalg.norm(towards, axis=-1, keepdims=True), -1, 0)
    height = np.arcsin(np.clip(y * np.cos(LEAN) - x * np.sin(LEAN), -1.0, 1.0))
    light = np.interp(np.degrees(height), HEIGHTS_DEG, LIGHT)
    light = light + (FRONT - light) * _rise(z, FRONT_FROM, FRONT_TO)
    found: Array = light * (1 - BEHIND * _rise(-z, BEHIND_FROM, BEHIND_TO))
    return found


def _rise(value: Array, start: float, end: float) -> Array:
    """0 up to `start`, 1 from `end` on, smooth between."""
    share = np.clip((value - start) / (end - start), 0.0, 1.0)
    risen: Array = share * share * (3 - 2 * share)
    return risen
