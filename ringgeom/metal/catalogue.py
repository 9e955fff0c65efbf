"""The catalogue of alloys by name, and the way from a wrong name to the right one."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache

from ringgeom.errors import Problem, RecipeError
from ringgeom.facts import table
from ringgeom.metal.alloy import Alloy, computed_density
from ringgeom.metal.recipe import KARAT_FINE, Recipe, fineness, karat_to_permille

SAME_FINENESS_PERMILLE = 3.5
"""14 kt (583.3) and a 585 mark, 22 kt (916.7) and a 917 alloy, count as the same fineness."""

RECIPE_EXAMPLE = "a catalogue name, or a recipe in mass percent such as 'Au 75 Ag 25'"

COLOURS = {"yellow": "yellow", "rose": "rose", "pink": "rose", "red": "red"} | {
    "green": "green",
    "white": "white",
}
"""Colour word in a question to the colour word in catalogue names."""

NEAR_ENOUGH = 0.7
"""Mean likeness of the words, 1 being equal: a misspelt word still passes, an odd one does not."""

KARAT = re.compile(r"(?<![\d.,])(\d{1,2}(?:[.,]\d+)?)[\s-]*(?:kt|ct|k|karats?|carats?)(?![a-z])")


def alloy_names() -> tuple[str, ...]:
    """All catalogue names in the table's order."""
    return tuple(_rows())


def alloy_by_name(name: str) -> Alloy:
    """The alloy of a catalogue name. Only this alloy is computed.

    Parameters
    ----------
    name : str
        ``metal-fineness-colour[-qualifier]``, exactly as the catalogue writes it.

    Returns
    -------
    Alloy
        The alloy, its density computed from its recipe.

    Raises
    ------
    RecipeError
        There is no such name: the nearest ones are named, and a karat is turned to a fineness.

    Examples
    --------
    >>> alloy_by_name("gold-750-yellow-3n").recipe.percent("Ag")
    12.5
    """
    if name not in _rows():
        raise RecipeError(_unknown_name(name))
    return _alloy(name)


@cache
def catalogue() -> tuple[Alloy, ...]:
    """All alloys of the catalogue, computed at the first call."""
    return tuple(_alloy(name) for name in _rows())


@cache
def _rows() -> Mapping[str, dict[str, str]]:
    return {row["name"]: row for row in table("alloys")}


@cache
def _alloy(name: str) -> Alloy:
    row = _rows()[name]
    recipe = recipe_of_row(row)
    density, uncertainty, basis = computed_density(recipe)
    return Alloy(
        name=name,
        recipe=recipe,
        density_g_cm3=density,
        density_from="recipe",
        density_uncertainty_g_cm3=uncertainty,
        density_basis=basis,
        solidus_c=_number(row["solidus_c"]),
        liquidus_c=_number(row["liquidus_c"]),
        colour_name=row["colour_name"],
        lab=_lab(row["lab_d65"]),
        source=row["source"],
        known=row["known"],
        note=row["note"],
        density_published_g_cm3=_number(row["density_published_g_cm3"]),
    )


def recipe_of_row(row: Mapping[str, str]) -> Recipe:
    """The recipe in a row of ``alloys.csv``: its ``<symbol>_wt_pct`` columns."""
    shares = {
        column.removesuffix("_wt_pct"): float(cell)
        for column, cell in row.items()
        if cell and column.endswith("_wt_pct")
    }
    return Recipe.of(row["name"], shares)


def _lab(cell: str) -> tuple[float, float, float] | None:
    """A measured colour, written as three numbers with spaces."""
    if not cell:
        return None
    first, second, third = map(float, cell.split())
    return first, second, third


def _number(cell: str) -> float | None:
    return float(cell) if cell else None


def _unknown_name(name: str) -> Problem:
    low = name.strip().lower()
    karat = KARAT.search(low)
    if karat is not None:
        return _karat_problem(name, float(karat[1].replace(",", ".")))
    return Problem(
        text="no alloy of this name",
        value=name,
        allowed=RECIPE_EXAMPLE,
        nearest=", ".join(nearest_names(low)),
    )


def nearest_names(text: str) -> tuple[str, ...]:
    """Up to three catalogue names most like a text, compared word by word in any order.

    Whole names compared letter by letter would put another fineness of the same colour first.

    Examples
    --------
    >>> nearest_names("gold 750 yelow 3n")[0]
    'gold-750-yellow-3n'
    """
    from difflib import SequenceMatcher

    words = _words(text)
    if not words:
        return ()

    def likeness(name: str) -> float:
        parts = name.split("-")
        # "sterling" is in no name, but it is what the source calls the metal.
        called = _words(_rows()[name]["description"])
        best = (
            max(SequenceMatcher(None, word, part).ratio() for part in parts)
            if word not in called
            else 1.0
            for word in words
        )
        # A part that was not asked for counts a little against the name.
        return sum(best) / len(words) - 0.01 * abs(len(parts) - len(words))

    ranked = sorted(_rows(), key=likeness, reverse=True)
    return tuple(name for name in ranked[:3] if likeness(name) >= NEAR_ENOUGH)


def _words(text: str) -> list[str]:
    return re.findall(r"[a-z0-9]+", text.lower())


def _karat_problem(name: str, karat: float) -> Problem:
    if not 0 < karat <= KARAT_FINE:
        return Problem(text=f"there is no {karat:g} kt gold", value=name, allowed="up to 24 kt")
    permille = karat_to_permille(karat)
    golds = [key for key in _rows() if _gold_of(key, permille)]
    wanted = {colour for word, colour in COLOURS.items() if word in name.lower()}
    of_colour = [key for key in golds if wanted & set(key.split("-"))]
    return Problem(
        text=f"alloys are named by fineness, not karat: {karat:g} kt is {permille:.4g} permille",
        value=name,
        allowed=RECIPE_EXAMPLE,
        nearest=", ".join(of_colour or golds),
    )


def _gold_of(name: str, permille: float) -> bool:
    recipe = recipe_of_row(_rows()[name])
    found = fineness(recipe)
    return (
        recipe.precious == "gold"
        and found is not None
        and abs(found - permille) <= SAME_FINENESS_PERMILLE
    )
