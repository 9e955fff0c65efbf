"""What a melt must be: its alloy, its grams, and between which limits every metal must end."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from ringgeom.errors import InputError, Problem
from ringgeom.metal import Alloy, recipe_faults
from ringgeom.metal.amount import amount_problems
from ringgeom.metal.hazard import CADMIUM_LIMIT_PERCENT, LEAD_LIMIT_PERCENT
from ringgeom.shop import MeltSettings

PRECIOUS = ("Au", "Ag", "Pt", "Pd", "Ir", "Rh", "Ru")

UNDER_THE_LAW = 0.9
"""Cadmium and lead are kept this far under their limits, which are themselves not allowed."""

FINE_PERMILLE = 999.0
"""Fine metal cannot be raised by a margin."""

NEVER_STRAY = ("Ni", "Be")
"""Metals that must not come in unasked: they harm in any amount."""

STRAY_ZINC = 0.001
"""Zinc boils off and makes pores; a trace is in most returns. Our judgement."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """One melt that is asked for.

    Attributes
    ----------
    job : str
        Which ring it is for; empty for a melt by itself.
    alloy : Alloy
        What to make.
    grams : float
        To pour, loss included [g].
    """

    job: str
    alloy: Alloy
    grams: float

    @property
    def mark_symbol(self) -> str | None:
        """The metal whose fineness is a minimum; None for a base metal."""
        return self.alloy.recipe.precious_symbol

    @property
    def wanted_permille(self) -> float:
        """The recipe's own fineness [permille]."""
        symbol = self.mark_symbol
        return self.alloy.recipe.normalised().fineness_permille(symbol) if symbol else 0.0


def wanted_grams(alloy: Alloy, grams: float) -> Wanted:
    """A melt by itself.

    Raises
    ------
    InputError
        The grams are no mass, or the recipe must not be made.
    """
    problems = list(amount_problems("the melt", grams, "g"))
    problems += [
        Problem(text=f"{fault.text}; {fault.fix}")
        for fault in recipe_faults(alloy.recipe)
        if fault.level == "stop"
    ]
    if problems:
        raise InputError(problems)
    return Wanted(job="", alloy=alloy, grams=grams)


@dataclass(frozen=True, slots=True, kw_only=True)
class Window:
    """Least and most of one metal in a melt, and what is aimed at, as mass shares."""

    least: float
    most: float
    aimed: float


def windows(
    wanted: Wanted,
    symbols: tuple[str, ...],
    settings: MeltSettings,
    *,
    extra_permille: float = 0.0,
) -> Mapping[str, Window]:
    """Between which shares every metal of a melt must end.

    The fineness is a minimum, raised by the margin; the other metals of the recipe may be off
    by their tolerance; a metal that the recipe does not have may stray in a little, cadmium,
    lead, nickel and beryllium not at all or only under the law's limit. `extra_permille` is
    added to the margin.
    """
    recipe = wanted.alloy.recipe.normalised()
    marked = wanted.wanted_permille / 1000
    margin = (settings.margin_permille + extra_permille) / 1000
    if wanted.mark_symbol is None or 1000 * marked >= FINE_PERMILLE:
        margin = 0.0
    raised = min(1.0, marked + margin)
    # the margin is taken from the other metals in proportion
    rest = (1 - raised) / (1 - marked) if marked < 1 else 0.0
    found = {}
    for symbol in symbols:
        share = recipe.percent(symbol) / 100
        slack = settings.tolerance.get(symbol, settings.tolerance_permille) / 1000
        if symbol == wanted.mark_symbol:
            most = min(1.0, raised + settings.fineness_over_permille / 1000)
            found[symbol] = Window(least=raised, most=most, aimed=raised)
        elif share > 0:
            aimed = share * rest
            least, most = max(0.0, aimed - slack), min(1.0, aimed + slack)
            found[symbol] = Window(least=least, most=most, aimed=aimed)
        else:
            found[symbol] = Window(least=0.0, most=_stray(symbol, settings), aimed=0.0)
    return found


def _stray(symbol: str, settings: MeltSettings) -> float:
    if symbol in NEVER_STRAY and symbol not in settings.tolerance:
        return 0.0
    share = settings.tolerance.get(symbol, settings.stray_permille) / 1000
    if symbol == "Zn" and symbol not in settings.tolerance:
        return min(share, STRAY_ZINC)
    if symbol == "Cd":
        return min(share, UNDER_THE_LAW * CADMIUM_LIMIT_PERCENT / 100)
    if symbol == "Pb":
        return min(share, UNDER_THE_LAW * LEAD_LIMIT_PERCENT / 100)
    return share
