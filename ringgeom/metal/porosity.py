"""A measured density read as pores in a piece whose alloy is known."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from ringgeom.errors import InputError
from ringgeom.metal.alloy import LIGHTEST_FACTOR, Alloy
from ringgeom.metal.density import ideal_density
from ringgeom.metal.element import elements
from ringgeom.metal.immersion import COMMON_LIMITS
from ringgeom.metal.immersion_refusals import density_problems
from ringgeom.metal.recipe import Recipe

Verdict = Literal["porous", "within the band", "denser than the recipe"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Porosity:
    """A density read as pores in an alloy that is known.

    Attributes
    ----------
    percent, percent_low, percent_high : float
        Pores as a share of the volume, and their band from both densities [percent]; below 0
        where the piece is denser than its recipe.
    expected_g_cm3 : float
        Density of the sound alloy [g/cm3].
    verdict : str
        ``porous``, ``within the band`` when the band holds 0, or ``denser than the recipe``.
    text : str
        The verdict as a sentence.
    limits : tuple of str
        What to print with the result.
    """

    percent: float
    percent_low: float
    percent_high: float
    expected_g_cm3: float
    verdict: Verdict
    text: str
    limits: tuple[str, ...]


def porosity(density_g_cm3: float, band_g_cm3: tuple[float, float], expected: Alloy) -> Porosity:
    """Pores in a piece whose alloy is known, from its density.

    Parameters
    ----------
    density_g_cm3 : float
        Density as weighed [g/cm3].
    band_g_cm3 : (float, float)
        Its lowest and highest value [g/cm3].
    expected : Alloy
        What the piece is made of; its own uncertainty widens the band.

    Returns
    -------
    Porosity
        Percent of the volume, with what can be concluded.

    Raises
    ------
    InputError
        A number is no density.

    Source
    ------
    Definition: pores = 1 - density as weighed / density of the sound metal.
    """
    problems = density_problems(density_g_cm3, band_g_cm3)
    if problems:
        raise InputError(problems)
    sound, unsure = expected.density_g_cm3, expected.density_uncertainty_g_cm3
    percent = 100.0 * (1.0 - density_g_cm3 / sound)
    low = 100.0 * (1.0 - band_g_cm3[1] / (sound - unsure))
    high = 100.0 * (1.0 - band_g_cm3[0] / (sound + unsure))
    name = expected.name
    verdict: Verdict
    if low > 0:
        verdict = "porous"
        text = f"{low:.1f} to {high:.1f} % of the volume is not metal, if this is {name}"
        if density_g_cm3 < LIGHTEST_FACTOR * sound:
            text += ": more than pores, so look for a hollow, a stone, or another alloy"
    elif high < 0:
        verdict = "denser than the recipe"
        text = (
            f"denser than the recipe of {name} by {-high:.1f} to {-low:.1f} %: pores cannot do "
            "that, so it is another alloy or a misreading"
        )
    else:
        verdict = "within the band"
        text = f"no sign against sound {name}: up to {high:.1f} % of pores would not show"
    return Porosity(
        percent=percent,
        percent_low=low,
        percent_high=high,
        expected_g_cm3=sound,
        verdict=verdict,
        text=text,
        limits=(
            f"{name} is expected at {sound:.2f} +/- {unsure:.2f} g/cm3 ({expected.density_basis})",
            "pores that are open to the outside fill with water and are not counted",
            *_poorer_alloy(expected.recipe),
            *COMMON_LIMITS,
        ),
    )


def _poorer_alloy(recipe: Recipe) -> tuple[str, ...]:
    """How much less of its precious metal would lighten a sound alloy like 1 % of pores."""
    symbol = recipe.precious_symbol
    others = {held: share for held, share in recipe.shares if held != symbol}
    if symbol is None or not others:
        return ()
    high = elements()[symbol].density_g_cm3
    low = ideal_density(Recipe.of("others", others))
    if low >= high:
        return ()
    # d w / d ln rho of additive volumes, for 1 % of density, in permille.
    costs = 10.0 * high * low / (ideal_density(recipe) * (high - low))
    return (
        f"1 % of pores weighs like sound metal with {costs:.0f} permille less "
        f"{elements()[symbol].name}: the density alone cannot tell them apart",
    )
