"""A wish for a colour as a person writes it on the command line."""

from __future__ import annotations

import re
from typing import cast, get_args

from ringgeom.colour.wish import Direction, Lab, Wish
from ringgeom.errors import Problem, RecipeError
from ringgeom.metal import alloy_meant, shares_from_text

NUMBER = r"[+-]?\d+(?:\.\d+)?"
LAB = re.compile(rf"\s*({NUMBER})[\s,/]+({NUMBER})[\s,/]+({NUMBER})\s*")


def wish_from_words(
    *,
    fineness_permille: float,
    towards: str,
    than: str,
    metal: str,
    allowed: str,
    most: str,
    nickel_free: bool,
) -> Wish:
    """A wish from words.

    Parameters
    ----------
    towards : str
        A direction, or a CIELAB colour as three numbers.
    than : str
        An alloy to compare with; empty for none.
    allowed : str
        Symbols to use.
    most : str
        Limits in percent by mass, such as ``Zn 2 Cu 10``.

    Raises
    ------
    RecipeError
        Neither a direction nor a colour, or limits that do not pair.
    """
    limits = shares_from_text(most) if most.strip() else {}
    if limits is None:
        raise RecipeError(
            Problem(text="limits are metals with percent", value=most, allowed='"Zn 2 Cu 10"')
        )
    return Wish(
        fineness_permille=fineness_permille,
        towards=_towards(towards),
        precious=metal,
        than=alloy_meant(than) if than else None,
        metals=tuple(dict.fromkeys(re.split(r"[\s,]+", allowed.strip()))),
        most=limits,
        nickel_free=nickel_free,
    )


def _towards(text: str) -> Direction | Lab:
    word = text.strip().lower()
    if word in get_args(Direction):
        return cast(Direction, word)
    found = LAB.fullmatch(text)
    if found is None:
        raise RecipeError(
            Problem(
                text="neither a direction nor a colour",
                value=text,
                allowed=f'{", ".join(get_args(Direction))}, or L*a*b* such as "91 -3 24"',
            )
        )
    first, second, third = (float(number) for number in found.groups())
    return first, second, third
