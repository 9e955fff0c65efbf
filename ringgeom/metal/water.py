"""Water to weigh in: its density at the temperature of the room."""

from __future__ import annotations

import math

from ringgeom.errors import InputError, Problem

AIR_DENSITY_G_CM3 = 0.0012
"""Air of a room [g/cm3]; weather moves it by 0.00005 (from memory), 0.005 percent of water."""

COLDEST_C, WARMEST_C = 0.0, 40.0
"""Water that a hand can be in; above it a piece is never at the water's own temperature."""

KELVIN_AT_0_C = 273.15

KELL_ABOVE = (999.83952, 16.945176, -7.9870401e-3, -46.170461e-6, 105.56302e-9, -280.54253e-12)
"""Powers of t from 0 up [kg/m3]."""

KELL_BELOW = 16.879850e-3
"""One printed copy has 16.897850e-3, which puts water at 4 C at 999.905: two digits swapped."""


def water_density(temperature_c: float) -> float:
    """Density of pure, air-free water at one atmosphere.

    Air dissolved in it takes off less than 0.001 percent, the minerals of tap water add up to
    0.05 (from memory): less than a bench balance sees.

    Parameters
    ----------
    temperature_c : float
        Temperature of the water, 0 to 40 [C].

    Returns
    -------
    float
        Density [g/cm3].

    Raises
    ------
    InputError
        Outside 0 to 40 C; what would be a temperature in Fahrenheit or kelvin is told in C.

    Source
    ------
    G.S. Kell, 1975: a polynomial of the fifth degree over 1 + 16.879850e-3 t.

    Examples
    --------
    >>> round(water_density(20), 5)
    0.9982
    """
    problem = temperature_problem(temperature_c)
    if problem is not None:
        raise InputError(problem)
    t = float(temperature_c)
    above = math.fsum(factor * t**power for power, factor in enumerate(KELL_ABOVE))
    return above / (1.0 + KELL_BELOW * t) / 1000.0


def temperature_problem(temperature_c: object) -> Problem | None:
    """Why a number is no temperature of water to weigh in; None when it is one."""
    number = isinstance(temperature_c, (int, float)) and not isinstance(temperature_c, bool)
    allowed = f"{COLDEST_C:g} to {WARMEST_C:g} C"
    if not number:
        return Problem(
            text="the water's temperature is no number", value=repr(temperature_c), allowed=allowed
        )
    asked = float(temperature_c)  # type: ignore[arg-type]
    if COLDEST_C <= asked <= WARMEST_C:
        return None
    text, nearest = "water for weighing is not that cold or hot", ""
    from_fahrenheit, from_kelvin = (asked - 32.0) / 1.8, asked - KELVIN_AT_0_C
    if COLDEST_C <= from_fahrenheit <= WARMEST_C:
        text = f"this looks like Fahrenheit: {asked:g} F is {from_fahrenheit:.1f} C"
        nearest = f"{from_fahrenheit:.1f} C"
    elif COLDEST_C <= from_kelvin <= WARMEST_C:
        text = f"this looks like kelvin: {asked:g} K is {from_kelvin:.1f} C"
        nearest = f"{from_kelvin:.1f} C"
    elif math.isfinite(asked):
        nearest = f"{min(max(asked, COLDEST_C), WARMEST_C):g} C"
    return Problem(text=text, value=f"{asked:g}", allowed=allowed, nearest=nearest)
