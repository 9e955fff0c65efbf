"""A measured density read as the share of gold in a sound piece of two metals."""

from __future__ import annotations

from dataclasses import dataclass

from ringgeom.errors import InputError, Problem, RecipeError
from ringgeom.metal.amount import amount_problems
from ringgeom.metal.density import excess_pairs, recipe_density
from ringgeom.metal.element import elements, unknown_symbol_problem
from ringgeom.metal.immersion import COMMON_LIMITS
from ringgeom.metal.immersion_refusals import density_problems
from ringgeom.metal.recipe import KARAT_FINE, Recipe

OTHER_METALS = ("Ag", "Cu")
"""Read as alloyed with these instead, to show how little a density alone can tell."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """A density read as the share of the heavier of two metals.

    Attributes
    ----------
    heavy, light : str
        Symbols of the two metals.
    permille, permille_low, permille_high : float
        Share of the heavy one, and its band from the density's [permille by mass].
    karat : float or None
        The same in karat, when the heavy one is gold.
    volume_percent : float
        Its share of the volume [percent].
    limits : tuple of str
        What to print with the result.
    """

    heavy: str
    light: str
    permille: float
    permille_low: float
    permille_high: float
    karat: float | None
    volume_percent: float
    limits: tuple[str, ...]


def gold_share(
    density_g_cm3: float,
    band_g_cm3: tuple[float, float],
    heavy: str = "Au",
    light: str = "Ag",
    *,
    heavy_g_cm3: float | None = None,
    light_g_cm3: float | None = None,
) -> Share:
    """The share of gold in a piece, if it were sound and of just two metals whose volumes add.

    Parameters
    ----------
    density_g_cm3 : float
        Density as weighed [g/cm3].
    band_g_cm3 : (float, float)
        Its lowest and highest value [g/cm3].
    heavy, light : str
        Symbols of the two metals.
    heavy_g_cm3, light_g_cm3 : float, optional
        Their densities, in place of the table's [g/cm3].

    Returns
    -------
    Share
        Within 0 to 1000 permille; a density beyond an end by less than its band counts as the end.

    Raises
    ------
    InputError
        The whole band is outside the two metals' densities, or a number is no density.
    RecipeError
        Unknown symbols, or the light metal is not the lighter one.

    Source
    ------
    Additive volumes: w = rho_h (rho - rho_l) / (rho (rho_h - rho_l)).

    Examples
    --------
    >>> share = gold_share(14.593, (14.593, 14.593), heavy_g_cm3=19.3, light_g_cm3=10.5)
    >>> round(share.permille), round(share.karat, 1)
    (615, 14.8)
    """
    problems = [*density_problems(density_g_cm3, band_g_cm3)]
    for what, given in (("heavy", heavy_g_cm3), ("light", light_g_cm3)):
        if given is not None:
            problems += amount_problems(f"the density of the {what} metal", given, "g/cm3")
    if problems:
        raise InputError(problems)
    high, low = _two_densities(heavy, light, heavy_g_cm3, light_g_cm3)
    density = density_g_cm3
    note: tuple[str, ...] = ()
    if not low <= density_g_cm3 <= high:
        end, metal = (low, light) if density_g_cm3 < low else (high, heavy)
        if not band_g_cm3[0] <= end <= band_g_cm3[1]:
            raise InputError(_outside(density_g_cm3, heavy, light, high, low))
        density = end
        note = (
            f"{density_g_cm3:.2f} g/cm3 is beyond the {end:g} of fine "
            f"{elements()[metal].name}, but the weighing allows that too",
        )
    ends = [min(max(end, low), high) for end in band_g_cm3]
    permille, permille_low, permille_high = (
        1000.0 * _fraction(rho, high, low) for rho in (density, *ends)
    )
    own = heavy_g_cm3 is not None or light_g_cm3 is not None
    return Share(
        heavy=heavy,
        light=light,
        permille=permille,
        permille_low=permille_low,
        permille_high=permille_high,
        karat=KARAT_FINE * permille / 1000.0 if heavy == "Au" else None,
        volume_percent=100.0 * (density - low) / (high - low),
        limits=(
            *note,
            f"the weighing leaves {permille_low:.0f} to {permille_high:.0f} permille",
            *_read_otherwise(density, heavy, light, permille, high),
            f"1 % of porosity makes it read {_percent_in_permille(density, high, low):.0f} "
            "permille too low",
            *(() if own else _volumes_do_not_add(density, heavy, light, permille, high, low)),
            *COMMON_LIMITS,
        ),
    )


def _fraction(rho: float, high: float, low: float) -> float:
    """Mass fraction of the heavy metal by additive volumes."""
    return high * (rho - low) / (rho * (high - low))


def _percent_in_permille(rho: float, high: float, low: float) -> float:
    """How much 1 % of pores lowers the reading [permille]."""
    return 1000.0 * (_fraction(rho, high, low) - _fraction(0.99 * rho, high, low))


def _two_densities(
    heavy: str, light: str, heavy_g_cm3: float | None, light_g_cm3: float | None
) -> tuple[float, float]:
    unknown = [symbol for symbol in (heavy, light) if symbol not in elements()]
    if unknown:
        raise RecipeError([unknown_symbol_problem(symbol) for symbol in unknown])
    high = heavy_g_cm3 or elements()[heavy].density_g_cm3
    low = light_g_cm3 or elements()[light].density_g_cm3
    if low >= high:
        raise RecipeError(
            Problem(
                text=f"{light} is not lighter than {heavy}",
                value=f"{heavy} {high:g}, {light} {low:g} g/cm3",
                allowed="the denser metal first",
                nearest=f"heavy={light!r}, light={heavy!r}" if low > high else "",
            )
        )
    return high, low


def _outside(rho: float, heavy: str, light: str, high: float, low: float) -> Problem:
    names = elements()[heavy].name, elements()[light].name
    allowed = f"{low:g} to {high:g} g/cm3 for {names[0]} with {names[1]}"
    value = f"{rho:.2f} g/cm3"
    if rho > high:
        return Problem(
            text=f"denser than {names[0]} ({high:g} g/cm3): no {names[1]} makes it so; a heavier "
            "metal such as platinum, or a misreading",
            value=value,
            allowed=allowed,
        )
    lighter = [
        symbol
        for symbol in OTHER_METALS
        if elements()[symbol].density_g_cm3 <= rho and symbol not in (heavy, light)
    ]
    return Problem(
        text=f"lighter than {names[1]} ({low:g} g/cm3): pores, a trapped bubble, a hollow, a "
        "stone, a third and lighter metal, or a misreading",
        value=value,
        allowed=allowed,
        nearest=", ".join(f"light={symbol!r}" for symbol in lighter),
    )


def _named(permille: float, heavy: str) -> str:
    karat = f" ({KARAT_FINE * permille / 1000.0:.1f} kt)" if heavy == "Au" else ""
    return f"{permille:.0f} permille{karat}"


def _read_otherwise(
    rho: float, heavy: str, light: str, permille: float, high: float
) -> tuple[str, ...]:
    """The same density with another metal in the light one's place."""
    pair = f"{elements()[heavy].name}-"
    said = []
    for other in OTHER_METALS:
        low = elements()[other].density_g_cm3
        if other in (heavy, light) or not low <= rho <= high:
            continue
        read = 1000.0 * _fraction(rho, high, low)
        if abs(read - permille) < 1.0:
            continue
        said.append(
            f"{rho:.2f} g/cm3 is {_named(permille, heavy)} as {pair}{elements()[light].name} but "
            f"{_named(read, heavy)} as {pair}{elements()[other].name}"
        )
    return tuple(said)


def _volumes_do_not_add(
    rho: float, heavy: str, light: str, permille: float, high: float, low: float
) -> tuple[str, ...]:
    """What is known of the pair's volume on alloying, as a correction of the first order."""
    if not 0.0 < permille < 1000.0:
        return ()
    read = Recipe.of("as read", {heavy: permille / 10.0, light: 100.0 - permille / 10.0})
    if not excess_pairs(read):
        return ()
    expected = recipe_density(read)
    off = 100.0 * (rho / expected - 1.0) * _percent_in_permille(rho, high, low)
    return (
        f"volumes do not quite add: {elements()[heavy].name}-{elements()[light].name} of "
        f"{permille:.0f} permille is expected at {expected:.2f} g/cm3, so the share is nearer "
        f"{permille + off:.0f} permille",
    )
