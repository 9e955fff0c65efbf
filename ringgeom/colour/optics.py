"""Reflectance of gold-silver-copper-zinc alloys from an analytic dielectric function.

eps(E) = eps_inf - wp^2 / (E^2 + i Gp E) + interband 1 + interband 2, ten numbers a
composition. Gold-silver is published; copper and zinc are an extension with weaker
evidence: copper keeps its own edge, weighted by its atomic fraction, and broadens the free
electrons; zinc moves both edges up, weakens them and broadens the free electrons.
"""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.typing import NDArray

from ringgeom.colour.cie import EV_NM, Array, wavelengths_nm
from ringgeom.facts import table

Complex = NDArray[np.complex128]

NUMBERS = (
    "wp_ev", "gp_ev", "eps_inf", "wg1_ev", "w01_ev", "g1_ev", "a1", "w02_ev", "g2_ev", "a2",
)  # fmt: skip

COPPER_DAMPING_EV = 0.55
"""Added Drude width is this times c (1 - c), c copper's atomic fraction in Au + Ag + Cu."""

ZINC_SHIFT_EV, ZINC_AMPLITUDE, ZINC_DAMPING_EV = 1.7, 0.6, 2.6
"""Per atomic fraction z of zinc both edges rise by the first; interband amplitudes fall to
1 - the second z; the Drude width grows by the third z (1 - z).

Least squares on three published brass tables (Querry 1985), in sample: dE76 1.1 to 3.4.
"""


@cache
def _numbers(metal: str) -> Array:
    row = next(row for row in table("dielectric") if row["metal"] == metal)
    return np.array([float(row[name]) for name in NUMBERS])


def gold_silver_numbers(gold: Array) -> Array:
    """The ten numbers at atomic fractions of gold, shape (..., 10): the quadratic of the paper."""
    x = np.asarray(gold, dtype=float)[..., None]
    au, ag = _numbers("Au"), _numbers("Ag")
    bend = 4 * (_numbers("AuAg") - (au + ag) / 2)
    numbers: Array = x * au + (1 - x) * ag + x * (1 - x) * bend
    return numbers


def bound_electrons(numbers: Array, *, shift: Array, share: Array) -> Complex:
    """What bound electrons give to the dielectric function, shape (..., 81).

    Parameters
    ----------
    numbers : Array
        Shape (..., 10), as in facts/dielectric.csv.
    shift : Array
        Added to the edges [eV], shape (...).
    share : Array
        Factor on both interband amplitudes, shape (...).

    Source
    ------
    Rioux et al., Advanced Optical Materials 2014, doi 10.1002/adom.201300457.
    """
    energy = EV_NM / wavelengths_nm()
    _, _, eps_inf, wg1, w01, g1, a1, w02, g2, a2 = np.moveaxis(numbers, -1, 0)[..., None]
    wg1, w01, w02 = (edge + shift[..., None] for edge in (wg1, w01, w02))
    a1, a2 = a1 * share[..., None], a2 * share[..., None]
    z, y, s = energy + 1j * g1, energy + 1j * g2, wg1 - w01
    low, high, step = np.sqrt(z - wg1), np.sqrt(z + wg1), np.sqrt(s)
    # arctan and arctanh as one logarithm each: the same branch, several times faster
    edge = (
        0.5j * low * _log((low + 1j * step) / (low - 1j * step))
        - 0.5 * high * _log((high + step) / (high - step))
        + 2 * np.sqrt(wg1) * np.arctanh(np.sqrt(s / wg1))
    ) / z**2
    first = a1 * (edge - step * _log(1 - (z / w01) ** 2) / (2 * z**2))
    second = -a2 * _log(1 - (y / w02) ** 2) / (2 * y**2)
    found: Complex = eps_inf + first + second
    return found


def free_electrons(numbers: Array, *, damping: Array) -> Complex:
    """What free electrons give to the dielectric function, shape (..., 81).

    `damping` is added to the Drude width [eV], shape (...). Source as for bound electrons.
    """
    energy = EV_NM / wavelengths_nm()
    wp, gp = numbers[..., 0, None], numbers[..., 1, None] + damping[..., None]
    damped: Complex = np.asarray(energy + 1j * gp, dtype=np.complex128)
    found: Complex = -(wp**2) / (energy * damped)
    return found


def _log(value: Complex) -> Complex:
    """Principal logarithm from its real parts: numpy's complex one takes six times as long."""
    found: Complex = np.empty(value.shape, dtype=np.complex128)
    found.real = 0.5 * np.log(value.real**2 + value.imag**2)
    found.imag = np.arctan2(value.imag, value.real)
    return found


def reflectance(gold: Array, silver: Array, copper: Array, zinc: Array) -> Array:
    """Reflectance at normal incidence of polished alloys, shape (..., 81).

    Parameters
    ----------
    gold, silver, copper, zinc : Array
        Atomic amounts of any scale, shape (...); at least one of the first three above zero.
    """
    gold, silver, copper, zinc = np.broadcast_arrays(
        *(np.asarray(v, dtype=float) for v in (gold, silver, copper, zinc))
    )
    noble = gold + silver
    x = np.divide(gold, noble, out=np.zeros_like(gold), where=noble > 0)
    c = copper / (noble + copper)
    z = zinc / (noble + copper + zinc)
    damping = COPPER_DAMPING_EV * c * (1 - c) + ZINC_DAMPING_EV * z * (1 - z)
    mixed = gold_silver_numbers(x)
    base = bound_electrons(mixed, shift=ZINC_SHIFT_EV * z, share=1 - ZINC_AMPLITUDE * z)
    base += free_electrons(mixed, damping=damping)
    copper_numbers = _numbers("Cu")
    # copper's own edge moves with zinc alone, and many recipes share a share of zinc
    levels, which = np.unique(z, return_inverse=True)
    own: Complex = bound_electrons(
        np.broadcast_to(copper_numbers, (len(levels), len(NUMBERS))),
        shift=ZINC_SHIFT_EV * levels,
        share=1 - ZINC_AMPLITUDE * levels,
    )[which.reshape(z.shape)]
    own += free_electrons(copper_numbers, damping=damping)
    root: Complex = np.sqrt((1 - c[..., None]) * base + c[..., None] * own)
    index = np.where(root.imag < 0, -root, root)
    found: Array = np.abs((index - 1) / (index + 1)) ** 2
    return found
