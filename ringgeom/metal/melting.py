"""At the crucible: how hot to pour, which mould, in which order, and what to know before."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from ringgeom.metal.alloy import Alloy
from ringgeom.metal.element import element
from ringgeom.metal.recipe import Recipe

SUPERHEAT_C = 75.0
"""Gold and silver are poured this far above the liquidus; common practice."""

SUPERHEAT_RANGE_C = (50.0, 100.0)
"""The usual range of it; common practice."""

POUR_WARN_C = 1150.0
"""Above this a gypsum-bonded mould is questioned; common practice."""

GYPSUM_LIMIT_C = 1175.0
"""Gypsum-bonded investment breaks down about here; common practice."""

FINE_FLASK_C = (595.0, 705.0)
"""Flask for fine work; common practice."""

HEAVY_FLASK_C = (425.0, 540.0)
"""Flask for heavy work; common practice."""

ZINC_BOILS_C = 907.0

ORDERING_GOLD_PERCENT = (70.0, 82.0)
ORDERING_COPPER_PERCENT = 20.0
"""18 ct gold with about this much copper can order on slow cooling."""

TARNISH_SILVER_PERCENT = 20.0
TARNISH_NOBLE_PERCENT = 60.0
"""From this much silver, and less gold, platinum and palladium than this; our judgement."""

COMMON_PRACTICE = "common practice, no source"

ORDER_WORDS = (
    "gold and the other precious metals first, then copper, zinc last (common practice, no "
    "source; benches disagree); what melts far above the rest goes in as a master alloy"
)
"""What to print beside a melting order."""

FAR_ABOVE_C = 1900.0
"""Metals that melt above this (Ru, Ir, Rh, W) dissolve; nobody melts them first."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pour:
    """How hot to pour and into what.

    Attributes
    ----------
    aim_c, low_c, high_c : float or None
        Metal at the pour and its range [C]; None where the investment's maker decides.
    too_hot_for_gypsum : bool
        Whether gypsum-bonded investment does not stand it.
    investment : str
        ``gypsum-bonded`` or ``phosphate-bonded``.
    text, flask : str
        In words: the pour, and the flask.
    source, known : str
        Where the rule is from and the mark it carries.
    """

    aim_c: float | None
    low_c: float | None
    high_c: float | None
    too_hot_for_gypsum: bool
    investment: str
    text: str
    flask: str
    source: str = COMMON_PRACTICE
    known: str = "common practice"


@dataclass(frozen=True, slots=True, kw_only=True)
class Hint:
    """Something to know of a recipe before melting it.

    Attributes
    ----------
    code : str
        ``copper-ordering``, ``silver-sulphide`` or ``zinc-last``.
    text : str
        What to print.
    source, known : str
        Where it is from and the mark it carries.
    """

    code: str
    text: str
    source: str = COMMON_PRACTICE
    known: str = "common practice"


def pour_c(alloy: Alloy) -> Pour | None:
    """Temperature to pour an alloy at.

    Parameters
    ----------
    alloy : Alloy
        Its liquidus decides; platinum and palladium need none.

    Returns
    -------
    Pour or None
        None when no source gives the liquidus.

    Source
    ------
    Common practice: liquidus + 75 C, 50 to 100, for gold and silver.

    Examples
    --------
    >>> from ringgeom.metal.catalogue import alloy_by_name
    >>> pour_c(alloy_by_name("gold-750-yellow-3n")).aim_c
    970.0
    """
    metal = alloy.recipe.precious
    if metal in ("platinum", "palladium"):
        return Pour(
            aim_c=None,
            low_c=None,
            high_c=None,
            too_hot_for_gypsum=True,
            investment="phosphate-bonded",
            text=f"{metal}: phosphate-bonded investment, pour as its maker says",
            flask="flask as the maker of the investment says",
        )
    if alloy.liquidus_c is None:
        return None
    low, high = (alloy.liquidus_c + more for more in SUPERHEAT_RANGE_C)
    aim = alloy.liquidus_c + SUPERHEAT_C
    hot = aim > POUR_WARN_C
    text = f"pour at {aim:.0f} C ({low:.0f} to {high:.0f}), liquidus {alloy.liquidus_c:.0f} C"
    if hot:
        text += f"; gypsum-bonded investment breaks down about {GYPSUM_LIMIT_C:.0f} C"
    if metal == "base":
        text += "; the rule is for gold and silver"
    return Pour(
        aim_c=aim,
        low_c=low,
        high_c=high,
        too_hot_for_gypsum=hot,
        investment="phosphate-bonded" if hot else "gypsum-bonded",
        text=text,
        flask="flask as the maker of the investment says" if hot else _flask(alloy),
    )


def _flask(alloy: Alloy) -> str:
    recipe = alloy.recipe
    fine, heavy = ("{:.0f} to {:.0f} C".format(*pair) for pair in (FINE_FLASK_C, HEAVY_FLASK_C))
    words = f"flask {fine} for fine work, {heavy} for heavy"
    whitened = recipe.percent("Ni") > 0 or recipe.percent("Pd") > 0
    if recipe.precious == "gold" and (alloy.colour_name == "white" or whitened):
        words += "; white gold at the hot end"
    return words


def hints(recipe: Recipe) -> tuple[Hint, ...]:
    """What to know of a recipe at the crucible and after.

    Parameters
    ----------
    recipe : Recipe
        Shares in percent by mass.

    Returns
    -------
    tuple of Hint
        Empty when there is nothing to say.

    Source
    ------
    Common practice, no source; sources disagree on how to cool red gold.
    """
    found = []
    low, high = ORDERING_GOLD_PERCENT
    if low <= recipe.percent("Au") <= high and recipe.percent("Cu") >= ORDERING_COPPER_PERCENT:
        text = (
            f"{recipe.name}: rich in copper, it can order, harden and crack on slow cooling. "
            "Sources disagree: some quench it from red heat, others let it cool in air because "
            "quenching cracks it. Try an offcut"
        )
        found.append(Hint(code="copper-ordering", text=text))
    noble = sum(recipe.percent(symbol) for symbol in ("Au", "Pt", "Pd"))
    if recipe.percent("Ag") >= TARNISH_SILVER_PERCENT and noble < TARNISH_NOBLE_PERCENT:
        text = f"{recipe.name}: silver in it tarnishes with sulphur, and its colour drifts with it"
        found.append(Hint(code="silver-sulphide", text=text))
    if recipe.percent("Zn") > 0:
        text = (
            f"{recipe.name}: zinc goes in last, wrapped and pushed under; it boils near "
            f"{ZINC_BOILS_C:.0f} C and part of it is lost as fume"
        )
        found.append(Hint(code="zinc-last", text=text))
    return tuple(found)


def melting_order(recipe: Recipe | Iterable[str]) -> tuple[str, ...]:
    """Metals in the order they go into the crucible; ``ORDER_WORDS`` says what it is worth.

    Parameters
    ----------
    recipe : Recipe or iterable of str
        A recipe, or the symbols alone.

    Returns
    -------
    tuple of str
        Symbols, each once: precious metals by falling melting point, then the others, those that
        melt far above the rest after what dissolves them, zinc last.

    Raises
    ------
    RecipeError
        A symbol is not known.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> melting_order(["Zn", "Ag", "Cu", "Au"])
    ('Au', 'Ag', 'Cu', 'Zn')
    """
    symbols = recipe.symbols if isinstance(recipe, Recipe) else dict.fromkeys(recipe)
    return tuple(sorted(symbols, key=_place))


def _place(symbol: str) -> tuple[bool, bool, bool, float, str]:
    melts = element(symbol).melting_point_c
    precious = symbol in ("Au", "Ag", "Pt", "Pd")
    return symbol == "Zn", melts > FAR_ABOVE_C, not precious, -melts, symbol
