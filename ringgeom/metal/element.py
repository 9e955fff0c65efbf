"""The elements an alloy may hold, and the nearest symbol to a word that is none."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from ringgeom.errors import Problem, RecipeError
from ringgeom.facts import table


@dataclass(frozen=True, slots=True, kw_only=True)
class Element:
    """One element as a row of ``elements.csv``.

    Attributes
    ----------
    symbol, name : str
        ``"Au"`` and ``"gold"``.
    atomic_weight : float
        Standard atomic weight [g/mol].
    density_g_cm3 : float
        Density of the solid near 20 C [g/cm3].
    melting_point_c : float
        Melting point [C].
    source, known, note : str
        Where the numbers are from, the mark they carry, and remarks.
    """

    symbol: str
    name: str
    atomic_weight: float
    density_g_cm3: float
    melting_point_c: float
    source: str
    known: str
    note: str


@cache
def elements() -> Mapping[str, Element]:
    """All known elements by symbol, in the table's order."""
    return MappingProxyType(
        {
            row["symbol"]: Element(
                symbol=row["symbol"],
                name=row["name"],
                atomic_weight=float(row["atomic_weight"]),
                density_g_cm3=float(row["density_g_cm3"]),
                melting_point_c=float(row["melting_point_c"]),
                source=row["source"],
                known=row["known"],
                note=row["note"],
            )
            for row in table("elements")
        }
    )


def element(symbol: str) -> Element:
    """The element of a symbol.

    Parameters
    ----------
    symbol : str
        Chemical symbol as written in chemistry: ``"Au"``, not ``"AU"`` or ``"gold"``.

    Returns
    -------
    Element
        The element.

    Raises
    ------
    RecipeError
        The symbol is not known; the nearest one is named.
    """
    found = elements().get(symbol)
    if found is None:
        raise RecipeError(unknown_symbol_problem(symbol))
    return found


def nearest_symbol(word: str) -> str:
    """The symbol that a wrong word most likely means, or ``""``.

    Parameters
    ----------
    word : str
        Anything: a symbol in the wrong case, an English metal name, a misspelling.

    Returns
    -------
    str
        A known symbol, or ``""`` when nothing is near.

    Examples
    --------
    >>> nearest_symbol("AU"), nearest_symbol("Gold"), nearest_symbol("paladium")
    ('Au', 'Au', 'Pd')
    """
    low = word.strip().lower()
    by_word = {symbol.lower(): symbol for symbol in elements()}
    by_word |= {entry.name: entry.symbol for entry in elements().values()}
    if low in by_word:
        return by_word[low]
    import difflib

    # 0.75 lets one or two wrong letters of a metal's name pass, and no unrelated word.
    near = difflib.get_close_matches(low, by_word, n=1, cutoff=0.75)
    return by_word[near[0]] if near else ""


def unknown_symbol_problem(symbol: str) -> Problem:
    """The problem to report for a symbol that is not in the table."""
    return Problem(
        text=f"{symbol!r} is not the symbol of a known metal",
        value=symbol,
        allowed=" ".join(elements()),
        nearest=nearest_symbol(symbol),
    )
