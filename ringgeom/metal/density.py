"""Density of an alloy from its recipe, and how far it may be off.

Two rules. Ideal mixing adds the volumes of the metals. The rule in use adds a measured
excess volume for three pairs, because copper opens gold's lattice and zinc draws copper's
together:

    V = sum(x_i V_i) + sum(Omega_ij x_i x_j)    per atom, x = atomic shares

Zinc is corrected by Omega(Cu-Zn) alone, never also by a "dissolved density" of 7.7: each of
the two was fitted to the same brasses, so both together would count the effect twice. It acts
wherever copper meets zinc, golds too, so that a recipe moved by a hair never jumps in density;
for those the evidence is inferred and the uncertainty says so.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from ringgeom.errors import RecipeError
from ringgeom.facts import table
from ringgeom.metal.element import elements, unknown_symbol_problem
from ringgeom.metal.recipe import Recipe

EXCESS_VOLUME_A3: tuple[tuple[str, str, float], ...] = (
    ("Au", "Cu", 0.73),
    ("Ag", "Au", -0.21),
    ("Cu", "Zn", -1.47),
)
"""Omega of a pair [cubic angstrom per atom].

Fitted on Rose's gold-silver and gold-copper alloys, X-ray lattice constants of AuCu and AuCu3,
and handbook brasses: mean error 0.23 %, worst 0.52 % on 16 alloys, most of them the fit's own.
"""

DISSOLVED_DENSITY_G_CM3 = {"Si": 3.4}
"""Density at which an element counts once it is dissolved [g/cm3].

Silicon's open diamond lattice (2.33) does not survive in a metal; 3.4 is what one handbook
silicon bronze asks for (UNS C65500).
"""

SMALL_VOLUME_SHARE = 0.005
"""A metal below this share of the volume cannot move the density by more than that share, so
it does not decide which evidence counts."""

A3_PER_ATOM_IN_CM3_PER_MOL = 0.602214076
"""One cubic angstrom per atom in cm3/mol: Avogadro's number (exact, SI 2019) times 1e-24."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Evidence:
    """How well the density of one system of metals is known: a row of ``density_evidence.csv``.

    Attributes
    ----------
    name, reason, source, known : str
        The class of alloys, why the figure is what it is, where from, and its mark.
    match : str
        ``single``, ``exact``, ``contains``, ``any`` or ``given``.
    systems : tuple of frozenset of str
        The symbols that ``exact`` and ``contains`` compare with.
    uncertainty_percent : float
        Half width of the band [percent of the density].
    """

    name: str
    match: str
    systems: tuple[frozenset[str], ...]
    uncertainty_percent: float
    reason: str
    source: str
    known: str

    def fits(self, symbols: frozenset[str]) -> bool:
        """Whether an alloy of these metals belongs to the class."""
        if self.match == "single":
            return len(symbols) == 1
        if self.match == "exact":
            return symbols in self.systems
        if self.match == "contains":
            return any(system <= symbols for system in self.systems)
        return self.match == "any"


@cache
def evidence_classes() -> tuple[Evidence, ...]:
    """All evidence classes in the table's order; the first that fits counts."""
    return tuple(
        Evidence(
            name=row["class"],
            match=row["match"],
            systems=tuple(frozenset(s.split("-")) for s in row["systems"].split(";") if s),
            uncertainty_percent=float(row["relative_uncertainty_percent"]),
            reason=row["reason"],
            source=row["source"],
            known=row["known"],
        )
        for row in table("density_evidence")
    )


def ideal_density(
    recipe: Recipe, *, element_densities_g_cm3: Mapping[str, float] | None = None
) -> float:
    """Density by ideal mixing: the volumes of the metals add.

    Parameters
    ----------
    recipe : Recipe
        Shares in percent by mass; they count relative to their sum.
    element_densities_g_cm3 : mapping, optional
        Densities of elements that replace the table's [g/cm3], for a work with its own.

    Returns
    -------
    float
        Density [g/cm3].

    Raises
    ------
    RecipeError
        A symbol is not known.

    Source
    ------
    Conservation of mass and volume: 1/rho = sum(w_i / rho_i).

    Examples
    --------
    >>> round(ideal_density(Recipe.of("3N", {"Au": 75, "Ag": 12.5, "Cu": 12.5})), 2)
    15.45
    """
    return recipe.sum_percent / sum(_volumes(recipe, element_densities_g_cm3 or {}))


def recipe_density(
    recipe: Recipe, *, element_densities_g_cm3: Mapping[str, float] | None = None
) -> float:
    """Density by molar volumes with the excess volumes of Au-Cu, Ag-Au and Cu-Zn.

    Parameters
    ----------
    recipe : Recipe
        Shares in percent by mass; they count relative to their sum.
    element_densities_g_cm3 : mapping, optional
        Densities of elements that replace the table's [g/cm3], for a work with its own.

    Returns
    -------
    float
        Density of the sound solid near 20 C [g/cm3]; pores of a casting are not in it.

    Raises
    ------
    RecipeError
        A symbol is not known.

    Source
    ------
    Regular-solution form of the molar volume; ``EXCESS_VOLUME_A3`` for its three numbers.

    Examples
    --------
    >>> round(recipe_density(Recipe.of("3N", {"Au": 75, "Ag": 12.5, "Cu": 12.5})), 2)
    15.36
    """
    densities = element_densities_g_cm3 or {}
    if len(recipe.shares) > 1:
        densities = {**DISSOLVED_DENSITY_G_CM3, **densities}
    volume = sum(_volumes(recipe, densities))
    known = elements()
    moles = {symbol: share / known[symbol].atomic_weight for symbol, share in recipe.shares}
    excess = sum(
        omega * moles[one] * moles[other]
        for one, other, omega in EXCESS_VOLUME_A3
        if one in moles and other in moles
    )
    volume += A3_PER_ATOM_IN_CM3_PER_MOL * excess / sum(moles.values())
    return recipe.sum_percent / volume


def density_evidence(recipe: Recipe) -> Evidence:
    """The evidence for the density of a recipe's system of metals.

    Metals below ``SMALL_VOLUME_SHARE`` of the volume are passed over.

    Parameters
    ----------
    recipe : Recipe
        Shares in percent by mass.

    Returns
    -------
    Evidence
        The first class that fits.

    Raises
    ------
    RecipeError
        A symbol is not known.
    """
    volumes = _volumes(recipe, {})
    least = SMALL_VOLUME_SHARE * sum(volumes)
    counted = frozenset(
        symbol for symbol, volume in zip(recipe.symbols, volumes, strict=True) if volume >= least
    )
    return next(entry for entry in evidence_classes() if entry.fits(counted))


def excess_pairs(recipe: Recipe) -> tuple[str, ...]:
    """The pairs of a recipe that carry an excess volume, as ``"Au-Cu"``."""
    held = recipe.symbols
    return tuple(
        f"{one}-{other}" for one, other, _ in EXCESS_VOLUME_A3 if one in held and other in held
    )


def _volumes(recipe: Recipe, densities_g_cm3: Mapping[str, float]) -> list[float]:
    """Volume of each metal in as many grams as the recipe has percent [cm3]."""
    known = elements()
    try:
        return [
            share / (densities_g_cm3.get(symbol) or known[symbol].density_g_cm3)
            for symbol, share in recipe.shares
        ]
    except KeyError:
        unknown = [symbol for symbol in recipe.symbols if symbol not in known]
        raise RecipeError([unknown_symbol_problem(symbol) for symbol in unknown]) from None
