"""A recipe: which metals, in what percent by mass; its fineness and karat."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from ringgeom.errors import Problem, RecipeError

NAMED_FROM_PERCENT = (
    ("gold", "Au", 33.3),
    ("platinum", "Pt", 50.0),
    ("palladium", "Pd", 50.0),
    ("silver", "Ag", 50.0),
)
"""Metal an alloy is named after, its symbol, and from which percent; the first that fits."""

KARAT_FINE = 24.0
"""Karat of fine gold: one karat is one part in 24 by mass."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Recipe:
    """What an alloy is made of.

    The shares stay as written: they may fail to sum to 100 and name unknown metals, so that
    ``recipe_faults`` can say so. Shares of zero are dropped.

    Attributes
    ----------
    name : str
        What the maker calls it.
    shares : tuple of (str, float)
        Symbol and percent by mass, largest first, equal shares in alphabetical order.

    Raises
    ------
    RecipeError
        A share is not a finite number above zero, a metal stands twice, or there is none.
    """

    name: str
    shares: tuple[tuple[str, float], ...]

    def __post_init__(self) -> None:
        problems = share_problems(self.name, self.shares)
        if problems:
            raise RecipeError(problems)
        kept = ((symbol, float(share)) for symbol, share in self.shares if share > 0)
        ordered = sorted(kept, key=lambda pair: (-pair[1], pair[0]))
        object.__setattr__(self, "shares", tuple(ordered))

    @classmethod
    def of(cls, name: str, shares: Mapping[str, float]) -> Recipe:
        """A recipe from symbol to percent by mass."""
        return cls(name=name, shares=tuple(shares.items()))

    @property
    def sum_percent(self) -> float:
        """Sum of all shares as written [percent]."""
        return math.fsum(share for _, share in self.shares)

    @property
    def symbols(self) -> tuple[str, ...]:
        """The metals, largest share first."""
        return tuple(symbol for symbol, _ in self.shares)

    @property
    def precious(self) -> str:
        """The metal the alloy is named after: gold, platinum, palladium, silver or base.

        Gold from 33.3 percent by mass, else platinum, palladium or silver from 50.
        """
        return self._named()[0]

    @property
    def precious_symbol(self) -> str | None:
        """Symbol of the metal the alloy is named after; None for a base metal."""
        return self._named()[1]

    def percent(self, symbol: str) -> float:
        """Share of a metal as written [percent by mass]; 0 when it is not in the recipe."""
        for held, share in self.shares:
            if held == symbol:
                return share
        return 0.0

    def fineness_permille(self, symbol: str) -> float:
        """Share of a metal as written [permille by mass]."""
        return 10.0 * self.percent(symbol)

    def normalised(self) -> Recipe:
        """The same recipe with its shares scaled to sum to 100 percent."""
        total = self.sum_percent
        scaled = tuple((symbol, 100.0 * share / total) for symbol, share in self.shares)
        return Recipe(name=self.name, shares=scaled)

    def _named(self) -> tuple[str, str | None]:
        for metal, symbol, least in NAMED_FROM_PERCENT:
            if self.percent(symbol) >= least:
                return metal, symbol
        return "base", None


def share_problems(name: str, shares: Iterable[tuple[str, object]]) -> tuple[Problem, ...]:
    """Everything wrong with shares as numbers; empty when they can be a recipe.

    Parameters
    ----------
    name : str
        The recipe's name, for the text.
    shares : iterable of (str, object)
        Symbol and what was written as its percent by mass.

    Returns
    -------
    tuple of Problem
        One for each share that is no number, not finite or negative, for each metal written
        twice, and one when no share is left.
    """
    problems = []
    seen: set[str] = set()
    positive = False
    for symbol, share in shares:
        if symbol in seen:
            problems.append(Problem(text=f"{name}: {symbol} stands twice", value=symbol))
        seen.add(symbol)
        # bool is an int to Python, never a percentage to a goldsmith.
        number = isinstance(share, (int, float)) and not isinstance(share, bool)
        if not number or not math.isfinite(share) or share < 0:  # type: ignore[arg-type,operator]
            problems.append(
                Problem(
                    text=f"{name}: the share of {symbol} is not a percentage",
                    value=str(share),
                    allowed="a number from 0 to 100, percent by mass",
                )
            )
        elif share:
            positive = True
    if not positive and not problems:
        problems.append(Problem(text=f"{name}: the recipe holds no metal", allowed="Au 75 Ag 25"))
    return tuple(problems)


def fineness(recipe: Recipe) -> float | None:
    """Fineness of the metal the alloy is named after.

    Parameters
    ----------
    recipe : Recipe
        Shares in percent by mass.

    Returns
    -------
    float or None
        Fineness [permille by mass] of ``recipe.precious_symbol``; None for a base metal.
    """
    symbol = recipe.precious_symbol
    return None if symbol is None else recipe.fineness_permille(symbol)


def karat_to_permille(karat: float) -> float:
    """Fineness of gold of a karat, exactly: 14 kt is 583.33, not 585.

    Parameters
    ----------
    karat : float
        Parts of gold in 24 by mass, above 0 and up to 24.

    Returns
    -------
    float
        Fineness [permille].

    Raises
    ------
    RecipeError
        The karat is outside 0 to 24.

    Source
    ------
    Definition of the karat: 24 parts are fine gold.

    Examples
    --------
    >>> karat_to_permille(18)
    750.0
    """
    if not 0 < karat <= KARAT_FINE:
        raise RecipeError(
            Problem(text="no such karat", value=f"{karat:g} kt", allowed="above 0, up to 24 kt")
        )
    return 1000.0 * karat / KARAT_FINE
