"""CIEDE2000, the colour difference in which verdicts are given."""

from __future__ import annotations

import numpy as np

from ringgeom.colour.cie import Array

SEVENTH = 25.0**7


def delta_e_00(first: Array, second: Array) -> Array:
    """CIEDE2000 between CIELAB colours of shape (..., 3), kL = kC = kH = 1.

    Source
    ------
    Sharma, Wu and Dalal, "The CIEDE2000 color-difference formula", Color Research and
    Application 30(1), 2005, eqs 2 to 22.
    """
    l1, a1, b1 = np.moveaxis(np.asarray(first, dtype=float), -1, 0)
    l2, a2, b2 = np.moveaxis(np.asarray(second, dtype=float), -1, 0)
    mean_c = 0.5 * (np.hypot(a1, b1) + np.hypot(a2, b2))
    g = 0.5 * (1 - np.sqrt(mean_c**7 / (mean_c**7 + SEVENTH)))
    a1, a2 = (1 + g) * a1, (1 + g) * a2
    c1, c2 = np.hypot(a1, b1), np.hypot(a2, b2)
    h1, h2 = (np.degrees(np.arctan2(b, a)) % 360 for a, b in ((a1, b1), (a2, b2)))
    grey = c1 * c2 == 0
    turn = (h2 - h1 + 180) % 360 - 180
    # exactly opposite hues keep the sign of h2 - h1, as in the paper
    turn = np.where(np.abs(h2 - h1) == 180, h2 - h1, turn)
    dh = np.where(grey, 0.0, turn)
    d_l, d_c = l2 - l1, c2 - c1
    d_h = 2 * np.sqrt(c1 * c2) * np.sin(np.radians(dh) / 2)
    mean_l, mean_c = 0.5 * (l1 + l2), 0.5 * (c1 + c2)
    total = h1 + h2
    near = np.abs(h1 - h2) <= 180
    mean_h = np.where(
        near, 0.5 * total, np.where(total < 360, 0.5 * total + 180, 0.5 * total - 180)
    )
    mean_h = np.where(grey, total, mean_h)
    t = (
        1
        - 0.17 * np.cos(np.radians(mean_h - 30))
        + 0.24 * np.cos(np.radians(2 * mean_h))
        + 0.32 * np.cos(np.radians(3 * mean_h + 6))
        - 0.20 * np.cos(np.radians(4 * mean_h - 63))
    )
    bend = 30 * np.exp(-(((mean_h - 275) / 25) ** 2))
    r_c = 2 * np.sqrt(mean_c**7 / (mean_c**7 + SEVENTH))
    s_l = 1 + 0.015 * (mean_l - 50) ** 2 / np.sqrt(20 + (mean_l - 50) ** 2)
    s_c, s_h = 1 + 0.045 * mean_c, 1 + 0.015 * mean_c * t
    r_t = -np.sin(np.radians(2 * bend)) * r_c
    lightness, chroma, hue = d_l / s_l, d_c / s_c, d_h / s_h
    found: Array = np.sqrt(lightness**2 + chroma**2 + hue**2 + r_t * chroma * hue)
    return found


def hue_deg(values: Array) -> Array:
    """CIELAB hue angle [deg], 0 to 360: 90 is yellow, more is greener."""
    _, a, b = np.moveaxis(np.asarray(values, dtype=float), -1, 0)
    hue: Array = np.degrees(np.arctan2(b, a)) % 360
    return hue
