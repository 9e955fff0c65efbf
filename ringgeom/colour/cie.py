"""From a reflectance to CIE colours: 1931 observer, D65, A or C, 380 to 780 nm at 5 nm.

The convention of ISO 8654:2018: a mirror-polished face, specular light included, D65,
2 degree observer. State the observer: fine gold's a* moves from 1.7 (2 deg) to 6.1 (10 deg).
"""

from __future__ import annotations

from functools import cache
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from ringgeom.facts import table

Array = NDArray[np.float64]
Illuminant = Literal["d65", "a", "c"]

EV_NM = 1239.841984
"""Photon energy [eV] times wavelength [nm]: h c / e."""

LINEAR_RGB = np.array(
    [
        [3.2404542, -1.5371385, -0.4985314],
        [-0.9692660, 1.8760108, 0.0415560],
        [0.0556434, -0.2040259, 1.0572252],
    ]
)
"""XYZ under D65 to linear sRGB (IEC 61966-2-1)."""


@cache
def wavelengths_nm() -> Array:
    """The 81 wavelengths of every spectrum here [nm]."""
    return np.array([float(row["wavelength_nm"]) for row in table("cie_1931_5nm")])


@cache
def _weights(illuminant: Illuminant) -> Array:
    """Observer times illuminant, scaled so that a perfect mirror has Y = 100."""
    rows = table("cie_1931_5nm")
    bars = np.array([[float(row[k]) for k in ("x_bar", "y_bar", "z_bar")] for row in rows])
    light = np.array([float(row[illuminant]) for row in rows])
    weighted: Array = bars * light[:, None]
    weighted *= 100 / weighted[:, 1].sum()
    return weighted


def white(illuminant: Illuminant = "d65") -> Array:
    """XYZ of the perfect mirror, Y = 100."""
    summed: Array = _weights(illuminant).sum(axis=0)
    return summed


def xyz(reflectance: Array, illuminant: Illuminant = "d65") -> Array:
    """Tristimulus values of spectra of shape (..., 81) between 0 and 1; Y of a mirror is 100.

    Source
    ------
    CIE 15:2004, summation at 5 nm.
    """
    values: Array = reflectance @ _weights(illuminant)
    return values


def lab_of_xyz(values: Array, illuminant: Illuminant = "d65") -> Array:
    """CIELAB of tristimulus values, shape (..., 3).

    Source
    ------
    CIE 15:2004, eqs 8.3 to 8.11 with the exact constants 216/24389 and 24389/27.
    """
    share = values / white(illuminant)
    root = np.where(share > 216 / 24389, np.cbrt(share), (24389 / 27 * share + 16) / 116)
    x, y, z = np.moveaxis(root, -1, 0)
    return np.stack([116 * y - 16, 500 * (x - y), 200 * (y - z)], axis=-1)


def lab(reflectance: Array, illuminant: Illuminant = "d65") -> Array:
    """CIELAB of spectra of shape (..., 81), shape (..., 3)."""
    return lab_of_xyz(xyz(reflectance, illuminant), illuminant)


def xyz_of_lab(values: Array, illuminant: Illuminant = "d65") -> Array:
    """Tristimulus values of CIELAB, shape (..., 3); the inverse of `lab_of_xyz`."""
    lightness, a, b = np.moveaxis(np.asarray(values, dtype=float), -1, 0)
    y = (lightness + 16) / 116
    root = np.stack([y + a / 500, y, y - b / 200], axis=-1)
    share = np.where(root > 6 / 29, root**3, (116 * root - 16) * 27 / 24389)
    values_xyz: Array = share * white(illuminant)
    return values_xyz


def linear_rgb(values: Array) -> Array:
    """Linear sRGB of CIELAB under D65, clipped to 0..1: what a 3-D scene wants."""
    rgb: Array = xyz_of_lab(values) / 100 @ LINEAR_RGB.T
    return np.clip(rgb, 0.0, 1.0)


def coded_rgb(linear: Array) -> Array:
    """sRGB, 0 to 1, of linear sRGB of any shape.

    Source
    ------
    IEC 61966-2-1.
    """
    coded: Array = np.where(
        linear <= 0.0031308, 12.92 * linear, 1.055 * np.maximum(linear, 0.0) ** (1 / 2.4) - 0.055
    )
    return coded


def hex_rgb(values: Array) -> str:
    """#RRGGBB of one CIELAB under D65, for a flat swatch."""
    coded = coded_rgb(linear_rgb(np.asarray(values, dtype=float)))
    return "#" + "".join(f"{round(float(v) * 255):02X}" for v in coded)


def yellowness_index(reflectance: Array) -> Array:
    """Yellowness index of spectra of shape (..., 81), illuminant C, 2 degree observer."""
    return _yellowness(xyz(reflectance, "c"))


def yellowness_of_lab(values: Array) -> Array:
    """Yellowness index of CIELAB under illuminant C, shape (..., 3)."""
    return _yellowness(xyz_of_lab(values, "c"))


def _yellowness(values: Array) -> Array:
    """Source: ASTM D1925, 100 (1.28 X - 1.06 Z) / Y; from memory, equal to colour-science."""
    x, y, z = np.moveaxis(values, -1, 0)
    index: Array = 100 * (1.28 * x - 1.06 * z) / y
    return index
