"""One unit per quantity, and the conversions that happen only at the edges.

Inside the program: length mm, area mm2, volume mm3, mass g, density g/cm3,
temperature C, fineness permille, angle rad. Degrees, inches and troy ounces
are turned into these where they are read and never travel further.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, TypeVar

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

Amount = TypeVar("Amount", float, "NDArray[np.float64]")
"""A quantity, or one for each of many rings."""

MM_PER_INCH = 25.4
"""Exact by definition (International Yard and Pound Agreement, 1959)."""

MM3_PER_CM3 = 1000.0

G_PER_TROY_OUNCE = 31.1034768
"""Exact by definition (480 grains of 64.79891 mg)."""

G_PER_PENNYWEIGHT = G_PER_TROY_OUNCE / 20
"""Exact by definition: 24 grains."""

G_PER_AVOIRDUPOIS_OUNCE = 28.349523125
"""Exact by definition (437.5 grains): the ounce of groceries, never of precious metal."""

G_PER_KG = 1000.0

MINUTES_PER_HOUR = 60.0

MM_PER_M = 1000.0


def mass_g(volume_mm3: Amount, density_g_cm3: float) -> Amount:
    """Mass of a volume of metal [g] from mm3 and g/cm3."""
    return volume_mm3 * density_g_cm3 / MM3_PER_CM3


def grams(mass_g: float) -> str:
    """Two decimals, three below a gram."""
    return f"{mass_g:.2f}" if mass_g >= 1 else f"{mass_g:.3f}"
