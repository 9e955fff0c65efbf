"""Cautions to print beside a job: what its metals and its casting can do to people."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from ringgeom.facts import table
from ringgeom.metal.recipe import Recipe

METAL = "metal:"
"""Before a symbol: the caution holds when any recipe has some of this metal."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """One caution.

    Attributes
    ----------
    id : str
        Short name.
    text : str
        What to print.
    source, known : str
        Where it is from and the mark it carries.
    """

    id: str
    text: str
    source: str
    known: str


AT_THE_CRUCIBLE = ("molten-moisture", "eye-shade", "local-codes")


def melting_cautions(recipes: Iterable[Recipe]) -> tuple[Caution, ...]:
    """Of all cautions, those for melting and weighing out: metals, moisture, light, codes."""
    metals = {row["id"] for row in table("cautions") if METAL in row["when"]} - {"hard-to-cut"}
    found = cautions(recipes, casting=True)
    return tuple(one for one in found if one.id in metals or one.id in AT_THE_CRUCIBLE)


def cautions(recipes: Iterable[Recipe], *, casting: bool) -> tuple[Caution, ...]:
    """Every caution that a job calls for, each once.

    Parameters
    ----------
    recipes : iterable of Recipe
        All metals that are worked, solders among them.
    casting : bool
        Whether anything is cast.

    Returns
    -------
    tuple of Caution
        In the table's order; the general one, that local codes come first, is the last.

    Source
    ------
    OSHA, HSE and REACH row by row in the table of cautions.
    """
    held = {symbol for recipe in recipes for symbol in recipe.symbols}
    # every ring is pickled, cast or not
    occasions = {"always", "general", "acid"} | {METAL + symbol for symbol in held}
    if casting:
        occasions.add("casting")
    if "Pt" in held:
        # a fabricated part starts from a melt or a weld as well
        occasions.add("platinum-melt")
    rows = [row for row in table("cautions") if occasions & set(row["when"].split())]
    rows.sort(key=lambda row: row["when"] == "general")
    return tuple(
        Caution(id=row["id"], text=row["text"], source=row["source"], known=row["known"])
        for row in rows
    )
