"""A root inside a bracket, for many brackets at once."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from ringgeom.form.curve import Array

STEPS = 80
CLOSE = 1e-14
"""Rounding of a number of the size of a ring."""


def bracketed_root(
    of: Callable[[Array], Array], low: Array, high: Array, close: float = CLOSE
) -> Array:
    """Where a function changes sign between `low` and `high`, elementwise.

    Regula falsi with the Illinois halving, every third step a bisection: fast on smooth
    functions, and never slower than a third of bisection on others. A bracket without a
    change of sign gives one of its points. It ends where every bracket, or every value, is as
    small as `close`; until then those that are are asked for the same again.

    Source
    ------
    Dowell and Jarratt, "A modified regula falsi method", BIT 11, 1971 (from memory).
    """
    a, b = np.array(low, dtype=float), np.array(high, dtype=float)
    f_a, f_b = of(a), of(b)
    best, least = b, f_b
    for step in range(STEPS):
        done = np.minimum(np.abs(b - a), np.abs(least)) < close
        if done.all():
            break
        slope = f_b - f_a
        falsi = b - f_b * np.divide(b - a, slope, out=np.zeros_like(b), where=slope != 0)
        middle = 0.5 * (a + b)
        outside = (falsi <= np.minimum(a, b)) | (falsi >= np.maximum(a, b))
        c = np.where(done, best, np.where(outside | (step % 3 == 2), middle, falsi))
        f_c = of(c)
        nearer = np.abs(f_c) < np.abs(least)
        best, least = np.where(nearer, c, best), np.where(nearer, f_c, least)
        turned = (f_c * f_b < 0) | ((f_c == 0) & (f_b != 0))
        a, f_a = np.where(turned, b, a), np.where(turned, f_b, 0.5 * f_a)
        b, f_b = c, f_c
    return best
