"""What colour of metal is wanted, and everything that can be wrong with asking for it."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal, get_args

from ringgeom.colour.predict import columns
from ringgeom.errors import Problem, RecipeError
from ringgeom.metal import Alloy, element, elements, karat_to_permille, nearest_symbol
from ringgeom.metal.element import unknown_symbol_problem
from ringgeom.metal.hazard import (
    BERYLLIUM_AIR_LIMIT_UG_M3,
    CADMIUM_LIMIT_PERCENT,
    LEAD_LIMIT_PERCENT,
)
from ringgeom.metal.recipe import KARAT_FINE, NAMED_FROM_PERCENT

Direction = Literal["greener", "redder", "paler", "whiter"]
Lab = tuple[float, float, float]

ZINC_MOST_PERCENT = 2.0
"""Zinc boils below the melting point of gold: more is hard to keep in; common practice."""

MOST_FINENESS_PERMILLE = 999.0

HARMFUL = {
    "Cd": "cadmium is not for wear at or above "
    f"{CADMIUM_LIMIT_PERCENT:g} % in any metal part (REACH Annex XVII entry 23), "
    "and its fume is poisonous",
    "Pb": "lead is not for wear at or above "
    f"{LEAD_LIMIT_PERCENT:g} % in any metal part (REACH Annex XVII entry 63)",
    "Be": "the dust and fume of beryllium are toxic "
    f"(OSHA: {BERYLLIUM_AIR_LIMIT_UG_M3:g} microgram per m3 of air over 8 h)",
}
"""Metals that no recipe is proposed with, and why."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """A colour looked for at one fineness.

    Attributes
    ----------
    fineness_permille : float
        Of the precious metal [permille by mass].
    towards : str or tuple of float
        ``greener`` (less a*), ``redder`` (more a*), ``paler`` (less chroma), ``whiter`` (less
        yellowness), or a CIELAB colour under D65, 2 degree observer, polished.
    precious : str
        Symbol of the metal that the fineness is of.
    than : Alloy or None
        What the result must surpass; compared by predictions even when it was measured.
    metals : tuple of str
        Symbols that may be added to the precious metal.
    most : mapping
        Symbol to percent by mass at most, the limit itself included; zinc 2 unless named.
    nickel_free : bool
        Whether nickel is out of the question.
    """

    fineness_permille: float
    towards: Direction | Lab
    precious: str = "Au"
    than: Alloy | None = None
    metals: tuple[str, ...] = ("Ag", "Cu", "Zn")
    most: Mapping[str, float] = field(default_factory=dict)
    nickel_free: bool = True

    @property
    def added(self) -> tuple[str, ...]:
        """Metals to add, without the precious one."""
        return tuple(symbol for symbol in self.metals if symbol != self.precious)

    def most_percent(self, symbol: str) -> float:
        """How much of an added metal there may be [% by mass].

        A metal that would give the alloy its own name stays under the share from which it does.
        """
        most = self.most.get(symbol, ZINC_MOST_PERCENT if symbol == "Zn" else 100.0)
        for _, named, least in NAMED_FROM_PERCENT:
            if named == self.precious:
                break
            if named == symbol:
                most = min(most, least - 0.1)
        return most


def check_wish(wish: Wish) -> None:
    """Refuse a wish that cannot be searched.

    Raises
    ------
    RecipeError
        Every problem at once.
    """
    problems = [
        *_precious_problems(wish),
        *_metal_problems(wish),
        *_most_problems(wish),
        *_towards_problems(wish),
    ]
    if problems:
        raise RecipeError(problems)
    room = 100 - wish.fineness_permille / 10
    filled = math.fsum(min(wish.most_percent(symbol), room) for symbol in wish.added)
    if filled < room - 0.01:
        raise RecipeError(
            Problem(
                text="the limits leave a part of the alloy that no metal may fill",
                value=f"{room:g} % to fill, {filled:g} % allowed",
                allowed="raise a limit or add a metal",
            )
        )


def _precious_problems(wish: Wish) -> list[Problem]:
    least = {symbol: 10 * percent for _, symbol, percent in NAMED_FROM_PERCENT}
    if wish.precious not in elements():
        return [unknown_symbol_problem(wish.precious)]
    if wish.precious not in least:
        return [
            Problem(
                text="a fineness is of a precious metal",
                value=wish.precious,
                allowed=" ".join(least),
            )
        ]
    low, fine = least[wish.precious], wish.fineness_permille
    if math.isfinite(fine) and low <= fine <= MOST_FINENESS_PERMILLE:
        return []
    text, meant = "there is no such fineness to search", 0.0
    if 0 < fine <= 1:
        text, meant = "the fineness looks like a fraction", 1000 * fine
    elif 1 < fine <= KARAT_FINE and wish.precious == "Au":
        text, meant = "the fineness looks like a karat", karat_to_permille(fine)
    elif 1 < fine <= 100:
        text, meant = "the fineness looks like a percentage", 10 * fine
    elif math.isfinite(fine):
        meant = min(max(fine, low), MOST_FINENESS_PERMILLE)
    near = f"{meant:.4g} permille" if low <= meant <= MOST_FINENESS_PERMILLE else ""
    allowed = f"{low:g} to {MOST_FINENESS_PERMILLE:g} permille of {wish.precious}"
    return [Problem(text=text, value=f"{fine:g}", allowed=allowed, nearest=near)]


def _metal_problems(wish: Wish) -> list[Problem]:
    problems = []
    for symbol in dict.fromkeys((*wish.metals, *wish.most)):
        # an unknown word may still mean a harmful metal
        meant = symbol if symbol in elements() else _harmful(symbol)
        if meant in HARMFUL:
            problems.append(
                Problem(text=HARMFUL[meant], value=symbol, allowed="a recipe without it")
            )
        elif symbol not in elements():
            problems.append(unknown_symbol_problem(symbol))
        elif symbol not in columns():
            problems.append(
                Problem(
                    text=f"what {element(symbol).name} does to the colour is not known",
                    value=symbol,
                    allowed=" ".join(columns()),
                )
            )
        elif symbol == "Ni" and wish.nickel_free and symbol in wish.metals:
            problems.append(
                Problem(
                    text="nickel is among the metals wanted, and the alloy is to be free of it",
                    value=symbol,
                    allowed="leave nickel out, or say that it need not be nickel-free",
                )
            )
    if not wish.added:
        allowed = "at least one of " + " ".join(s for s in columns() if s != wish.precious)
        problems.append(Problem(text="there is no metal to add", allowed=allowed))
    return problems


def _harmful(word: str) -> str:
    low = word.strip().lower()
    named = {"cadmium": "Cd", "lead": "Pb", "beryllium": "Be"}
    named |= {symbol.lower(): symbol for symbol in HARMFUL}
    return named.get(low, nearest_symbol(word))


def _most_problems(wish: Wish) -> list[Problem]:
    problems = []
    for symbol, percent in wish.most.items():
        if symbol in columns() and symbol not in wish.metals:
            text = "a limit is set for a metal that is not among those to add"
            allowed = " ".join(wish.added)
            problems.append(Problem(text=text, value=symbol, allowed=allowed))
        elif not 0 <= percent <= 100:
            text = f"the limit of {symbol} is not a percentage"
            problems.append(Problem(text=text, value=f"{percent:g}", allowed="0 to 100"))
    return problems


def _towards_problems(wish: Wish) -> list[Problem]:
    directions: tuple[str, ...] = get_args(Direction)
    if isinstance(wish.towards, str):
        if wish.towards in directions:
            return []
        import difflib

        near = difflib.get_close_matches(wish.towards.lower(), directions, n=1)
        text, value = "no such direction of colour", str(wish.towards)
    else:
        parts = wish.towards
        if len(parts) == 3 and all(map(math.isfinite, parts)) and 0 <= parts[0] <= 100:
            return []
        near, text, value = [], "the target is not a colour", str(wish.towards)
    return [
        Problem(
            text=text,
            value=value,
            allowed=f"{', '.join(directions)}, or three numbers L, a, b with L from 0 to 100",
            nearest=near[0] if near else "",
        )
    ]
