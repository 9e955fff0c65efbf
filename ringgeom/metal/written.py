"""A recipe as a person writes it in one line: ``Au 75 Ag 25``."""

from __future__ import annotations

import re

from ringgeom.errors import Problem, RecipeError
from ringgeom.metal.alloy import Alloy, alloy_from_recipe
from ringgeom.metal.catalogue import RECIPE_EXAMPLE, alloy_by_name, alloy_names
from ringgeom.metal.element import elements, nearest_symbol

TOKEN = re.compile(r"(?P<word>[A-Za-z]+)|(?P<number>\d+(?:[.,]\d+)?|\.\d+)|(?P<gap>[\s,;/+%]+)")

MOST_LETTERS = 200
"""Longest text that is read as an alloy."""

KARAT_WORDS = {"k", "kt", "ct", "karat", "karats", "carat", "carats"}


def alloy_from_text(text: str) -> Alloy:
    """An alloy from one line of text: a catalogue name or a recipe.

    Parameters
    ----------
    text : str
        ``gold-750-green``, ``Au 75 Ag 25``, ``Au75Ag25``, ``75 Au 25 Ag``, ``Au 75, Ag 25`` or,
        with decimal commas, ``Au 58,5 Ag 41,5``; shares in percent by mass.

    Returns
    -------
    Alloy
        A recipe is named by itself, as ``Au 75 Ag 25``.

    Raises
    ------
    RecipeError
        Neither a name nor a recipe; unknown symbols; a metal without a number; far too long.
    """
    if len(text) > MOST_LETTERS:
        raise RecipeError(
            Problem(
                text="too long for an alloy",
                value=f"{text[:40]}...",
                allowed=f"up to {MOST_LETTERS} letters",
            )
        )
    plain = text.strip()
    if plain in alloy_names():
        return alloy_by_name(plain)
    shares = shares_from_text(plain)
    if shares is None:
        return alloy_by_name(plain)
    name = plain if plain in elements() else ""
    name = name or " ".join(f"{symbol} {share:g}" for symbol, share in shares.items())
    return alloy_from_recipe(name, shares)


def shares_from_text(text: str) -> dict[str, float] | None:
    """The shares that a text spells, or None when it does not look like a recipe.

    A symbol by itself is the fine metal. A comma between two digits is a decimal comma;
    everywhere else it separates.

    Parameters
    ----------
    text : str
        One line.

    Returns
    -------
    dict or None
        Symbol as written, known or not, to percent by mass.

    Raises
    ------
    RecipeError
        It names a known metal but metals and numbers do not pair, or a metal stands twice.

    Examples
    --------
    >>> shares_from_text("75 Au, 25 Ag")
    {'Au': 75.0, 'Ag': 25.0}
    >>> shares_from_text("gold-750-green") is None
    True
    """
    tokens = _tokens(text)
    words = [value for kind, value in tokens if kind == "word"]
    if not words or any(word.lower() in KARAT_WORDS for word in words):
        return None
    if words == [text] and text in elements():
        return {text: 100.0}
    pairs = _pairs(tokens)
    if pairs is None:
        if not any(word in elements() for word in words):
            return None
        raise RecipeError(
            Problem(
                text="each metal of a recipe needs one number, its percent by mass",
                value=text,
                allowed=RECIPE_EXAMPLE,
            )
        )
    if len(pairs) == 1 and not _lone_metal(*pairs[0]):
        return None
    shares = dict(pairs)
    if len(shares) < len(pairs):
        twice = sorted({word for word in words if words.count(word) > 1})
        raise RecipeError(
            [Problem(text="a metal stands twice in the recipe", value=word) for word in twice]
        )
    return shares


def _tokens(text: str) -> list[tuple[str, str]]:
    """Words and numbers in turn; empty when anything else but separators is in the text."""
    tokens = []
    at = 0
    while at < len(text):
        found = TOKEN.match(text, at)
        if found is None:
            return []
        at = found.end()
        if found.lastgroup != "gap":
            tokens.append((str(found.lastgroup), found[0]))
    return tokens


def _pairs(tokens: list[tuple[str, str]]) -> list[tuple[str, float]] | None:
    """Word with number, in whichever order the first pair has; None when they do not pair."""
    first, second = tokens[::2], tokens[1::2]
    if len(first) != len(second):
        return None
    kinds = {kind for kind, _ in first}, {kind for kind, _ in second}
    if kinds == ({"number"}, {"word"}):
        first, second = second, first
    elif kinds != ({"word"}, {"number"}):
        return None
    return [
        (word, float(number.replace(",", ".")))
        for (_, word), (_, number) in zip(first, second, strict=True)
    ]


def _lone_metal(word: str, share: float) -> bool:
    """Whether one word and one number are a recipe and not a name such as ``silver 925``."""
    return word in elements() or (bool(nearest_symbol(word)) and share <= 100.0)
