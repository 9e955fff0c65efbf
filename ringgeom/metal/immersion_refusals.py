"""Readings of a piece weighed in air and water that cannot be, and what they may mean."""

from __future__ import annotations

import math

from ringgeom.errors import InputError, Problem
from ringgeom.metal.amount import amount_problems
from ringgeom.metal.element import elements


def reading_problems(air_g: float, water_g: float, balance_g: float) -> list[Problem]:
    """What is wrong with a weight in air [g], one in water [g] and the balance's step [g]."""
    problems = [
        *amount_problems("the weight in air", air_g, "g"),
        *amount_problems("the step of the balance", balance_g, "g"),
    ]
    weight = amount_problems("the weight in water", water_g, "g")
    if weight and isinstance(water_g, (int, float)) and water_g <= 0:
        weight = (
            Problem(
                text="a piece that weighs nothing in water floats, or was tared away",
                value=f"{water_g:g} g in water",
                allowed="above 0 g, below the weight in air",
            ),
        )
    problems += weight
    if problems:
        return problems
    if water_g >= air_g:
        swapped = ""
        if water_g > air_g:
            swapped = f"{water_g:g} g in air and {air_g:g} g in water, if the two are swapped"
        return [
            Problem(
                text="a piece weighs less in water than in air",
                value=f"{air_g:g} g in air, {water_g:g} g in water",
                allowed=f"a weight in water below {air_g:g} g",
                nearest=swapped,
            )
        ]
    return too_coarse("the balance's step", balance_g, air_g - water_g, "g")


def too_coarse(what: str, step: float, measured: float, unit: str) -> list[Problem]:
    """A problem when a step is no smaller than what is measured with it, both in ``unit``."""
    # Decimal readings differ by a hair more or less than they are written.
    if step < measured * (1 - 1e-9):
        return []
    return [
        Problem(
            text=f"{what} is as large as what is measured with it",
            value=f"{step:g} {unit} for {measured:.6g} {unit}",
            allowed=f"below {measured:.6g} {unit}, for a rough density a tenth of it",
            nearest=f"a step of {10.0 ** math.floor(math.log10(measured / 10.0)):g} {unit}, "
            "or several such pieces weighed together",
        )
    ]


def cubic_millimetres(mass_g: float, volume_cm3: float) -> list[Problem]:
    """A volume of a metal a thousand times too large was read in mm3."""
    densities = [entry.density_g_cm3 for entry in elements().values()]
    if not min(densities) <= 1000.0 * mass_g / volume_cm3 <= max(densities):
        return []
    return [
        Problem(
            text="no metal is so light; the volume looks like mm3",
            value=f"{volume_cm3:g} cm3 for {mass_g:g} g",
            allowed="a volume in cm3",
            nearest=f"{volume_cm3 / 1000.0:g} cm3",
        )
    ]


def refuse_too_dense(density: float, low: float, readings: str) -> None:
    """Stop where even the low end of the band is denser than any metal [g/cm3]."""
    densest = max(elements().values(), key=lambda entry: entry.density_g_cm3)
    if low > densest.density_g_cm3:
        raise InputError(
            Problem(
                text=f"{density:.4g} g/cm3 is denser than any metal: a misreading, a wrong tare, "
                "or a wire that was not tared",
                value=readings,
                allowed=f"up to {densest.density_g_cm3:g} g/cm3 ({densest.name})",
            )
        )


def density_problems(density_g_cm3: object, band_g_cm3: tuple[float, float]) -> list[Problem]:
    """What is wrong with a density and its band, both [g/cm3]."""
    problems = [*amount_problems("the density", density_g_cm3, "g/cm3")]
    for end in band_g_cm3:
        problems += amount_problems("an end of the density's band", end, "g/cm3")
    if problems:
        return problems
    if not (len(band_g_cm3) == 2 and band_g_cm3[0] <= density_g_cm3 <= band_g_cm3[1]):  # type: ignore[operator]
        problems.append(
            Problem(
                text="the density is not inside its band",
                value=f"{density_g_cm3:g} g/cm3 in {band_g_cm3}",
                allowed="the lowest and the highest density, in this order",
            )
        )
    return problems
