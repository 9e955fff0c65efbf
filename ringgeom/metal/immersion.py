"""Weighing in water, or in a vessel filled to the brim: the density of a piece, and its band.

    rho = Wa / (Wa - Ww) (rho_water - rho_air) + rho_air

The band is the worst case: every reading off by half a step, and the water by a degree, all in
the same direction. Errors combined by their squares would give about 0.7 of it.
"""

from __future__ import annotations

from dataclasses import dataclass

from ringgeom.errors import InputError
from ringgeom.metal.amount import amount_problems
from ringgeom.metal.element import elements
from ringgeom.metal.immersion_refusals import (
    cubic_millimetres,
    reading_problems,
    refuse_too_dense,
    too_coarse,
)
from ringgeom.metal.water import (
    AIR_DENSITY_G_CM3,
    COLDEST_C,
    WARMEST_C,
    temperature_problem,
    water_density,
)

DENSEST_WATER_C = 4.0
"""Water is densest here, within 0.02 C: between its ends a band of temperature may hold this."""

COMMON_LIMITS = (
    "a check for slips and porosity, not an assay",
    "stones, hollow parts, trapped bubbles and solder are weighed with the metal",
    "a piece of several metals gives the mean of all: weigh its parts before they are joined",
)
"""True of every weighing in water; printed with each result."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Immersion:
    """The density of a piece as weighed.

    Attributes
    ----------
    mass_g, volume_cm3, density_g_cm3 : float
        Mass in air [g], outer volume [cm3], density [g/cm3].
    band_g_cm3 : (float, float)
        Lowest and highest density that the readings allow [g/cm3].
    water_g_cm3, temperature_c : float or None
        Water it hung in [g/cm3], [C]; None for a filled vessel.
    limits : tuple of str
        What to print with the result.
    """

    mass_g: float
    volume_cm3: float
    density_g_cm3: float
    band_g_cm3: tuple[float, float]
    water_g_cm3: float | None
    temperature_c: float | None
    limits: tuple[str, ...]


def weighed_in_water(
    air_g: float,
    water_g: float,
    *,
    temperature_c: float = 20.0,
    balance_g: float = 0.01,
    temperature_band_c: float = 1.0,
) -> Immersion:
    """Density of a piece weighed in air and hanging in water.

    Parameters
    ----------
    air_g, water_g : float
        What the balance shows with the piece in air and wholly under water, the wire or basket
        tared under water too [g].
    temperature_c : float
        Temperature of the water, 0 to 40 [C].
    balance_g : float
        Step of the balance; each reading is sure to half of it [g].
    temperature_band_c : float
        How far the temperature may be off [C].

    Returns
    -------
    Immersion
        Density with its band.

    Raises
    ------
    InputError
        Readings, step or temperature that cannot be: all at once, with what they may mean.

    Source
    ------
    Archimedes, with the air's own lift.

    Examples
    --------
    >>> weighed = weighed_in_water(5.00, 4.68)
    >>> round(weighed.density_g_cm3, 2), [round(end, 2) for end in weighed.band_g_cm3]
    (15.58, [15.12, 16.07])
    """
    problems = reading_problems(air_g, water_g, balance_g)
    problem = temperature_problem(temperature_c)
    if problem is not None:
        problems.append(problem)
    if temperature_band_c != 0:
        problems += amount_problems("the temperature's band", temperature_band_c, "C")
    if problems:
        raise InputError(problems)
    waters = _waters(temperature_c, temperature_band_c)

    def band_at(step_g: float) -> tuple[float, float]:
        half = step_g / 2.0
        return (
            _density(air_g + half, water_g - half, min(waters)),
            _density(air_g - half, water_g + half, max(waters)),
        )

    water = water_density(temperature_c)
    density = _density(air_g, water_g, water)
    low, high = band_at(balance_g)
    refuse_too_dense(density, low, f"{air_g:g} g in air, {water_g:g} g in water")
    half_percent = 50.0 * (high - low) / density
    finer_low, finer_high = band_at(balance_g / 10.0)
    limit = (
        f"a balance of {balance_g:g} g leaves {low:.2f} to {high:.2f} g/cm3 here, "
        f"+/- {half_percent:.2g} %; one of {balance_g / 10.0:g} g would leave {finer_low:.2f} to "
        f"{finer_high:.2f}"
    )
    return Immersion(
        mass_g=air_g,
        volume_cm3=(air_g - water_g) / (water - AIR_DENSITY_G_CM3),
        density_g_cm3=density,
        band_g_cm3=(low, high),
        water_g_cm3=water,
        temperature_c=temperature_c,
        limits=(*_loss_for_weight(air_g, water_g, water), limit, *COMMON_LIMITS),
    )


def weighed_with_volume(
    mass_g: float, volume_cm3: float, *, volume_step_cm3: float, balance_g: float = 0.01
) -> Immersion:
    """Density of a piece whose volume ran over from a filled vessel, or was read in a cylinder.

    Parameters
    ----------
    mass_g : float
        Mass of the piece [g].
    volume_cm3 : float
        Water that it displaced [cm3]; one millilitre is one cm3.
    volume_step_cm3 : float
        Finest step that the volume is read to; it is sure to half of it [cm3].
    balance_g : float
        Step of the balance [g].

    Returns
    -------
    Immersion
        Density with its band.

    Raises
    ------
    InputError
        Readings or steps that cannot be: all at once, with what they may mean.

    Examples
    --------
    >>> round(weighed_with_volume(9.85, 0.675, volume_step_cm3=0.001).density_g_cm3, 2)
    14.59
    """
    problems = [
        *amount_problems("the mass", mass_g, "g"),
        *amount_problems("the volume", volume_cm3, "cm3"),
        *amount_problems("the step of the volume", volume_step_cm3, "cm3"),
        *amount_problems("the step of the balance", balance_g, "g"),
    ]
    if not problems:
        problems += too_coarse("the vessel's step", volume_step_cm3, volume_cm3, "cm3")
        problems += too_coarse("the balance's step", balance_g, mass_g, "g")
        problems += cubic_millimetres(mass_g, volume_cm3)
    if problems:
        raise InputError(problems)
    density = mass_g / volume_cm3
    low = (mass_g - balance_g / 2.0) / (volume_cm3 + volume_step_cm3 / 2.0)
    high = (mass_g + balance_g / 2.0) / (volume_cm3 - volume_step_cm3 / 2.0)
    refuse_too_dense(density, low, f"{mass_g:g} g in {volume_cm3:g} cm3")
    return Immersion(
        mass_g=mass_g,
        volume_cm3=volume_cm3,
        density_g_cm3=density,
        band_g_cm3=(low, high),
        water_g_cm3=None,
        temperature_c=None,
        limits=(
            f"steps of {volume_step_cm3:g} cm3 and {balance_g:g} g leave {low:.2f} to "
            f"{high:.2f} g/cm3 here, +/- {50.0 * (high - low) / density:.2g} %",
            *COMMON_LIMITS,
        ),
    )


def _density(air_g: float, water_g: float, water_g_cm3: float) -> float:
    lift = water_g_cm3 - AIR_DENSITY_G_CM3
    return air_g / (air_g - water_g) * lift + AIR_DENSITY_G_CM3


def _waters(temperature_c: float, band_c: float) -> list[float]:
    """Densities of the water at both ends of the band, and at its densest if that lies between."""
    low, high = max(temperature_c - band_c, COLDEST_C), min(temperature_c + band_c, WARMEST_C)
    at = [low, temperature_c, high]
    if low < DENSEST_WATER_C < high:
        at.append(DENSEST_WATER_C)
    return [water_density(t) for t in at]


def _loss_for_weight(air_g: float, water_g: float, water_g_cm3: float) -> tuple[str, ...]:
    """A doubt: with the vessel on the balance it shows the loss, not the weight in water."""
    densities = [entry.density_g_cm3 for entry in elements().values()]
    if _density(air_g, water_g, water_g_cm3) >= min(densities):
        return ()
    otherwise = _density(air_g, air_g - water_g, water_g_cm3)
    if not min(densities) <= otherwise <= max(densities):
        return ()
    return (
        f"lighter than any metal: if {water_g:g} g is what the piece loses in water, as a vessel "
        f"of water on the balance shows it, then it weighs {air_g - water_g:.6g} g in water and "
        f"has {otherwise:.2f} g/cm3",
    )
