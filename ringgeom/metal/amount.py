"""Numbers as they are typed at the bench: an amount, a fineness; and what is neither."""

from __future__ import annotations

import math

from ringgeom.errors import Problem
from ringgeom.metal.recipe import KARAT_FINE, karat_to_permille

LEAST_PERMILLE = 100.0
"""A number up to this is rather a percentage, a karat or a fraction; the lowest marks are 333."""

LEAST_AMOUNT, MOST_AMOUNT = 1e-9, 1e6
"""Beyond these no bench weighs or measures, in whatever unit: a slip, or a number gone wild."""

LEAST_KARAT = 8.0
"""The lowest karat in which gold is named."""


def amount_problems(what: str, amount: object, unit: str) -> tuple[Problem, ...]:
    """One problem when an amount is no number above zero that a bench could mean; else none.

    Parameters
    ----------
    what : str
        What it is an amount of, for the text: ``"the mass of the lot"``.
    amount : object
        What was typed.
    unit : str
        Its unit, for the text.

    Returns
    -------
    tuple of Problem
        At most one.
    """
    # bool is an int to Python, never an amount to a goldsmith.
    number = isinstance(amount, (int, float)) and not isinstance(amount, bool)
    if number and LEAST_AMOUNT <= amount <= MOST_AMOUNT:  # type: ignore[operator]
        return ()
    value = f"{amount:g} {unit}" if number else repr(amount)
    allowed = f"above 0 {unit}"
    if number and 0 < amount < math.inf:  # type: ignore[operator]
        allowed = f"{LEAST_AMOUNT:g} to {MOST_AMOUNT:g} {unit}"
    return (Problem(text=f"{what} is not an amount", value=value, allowed=allowed),)


def fineness_problems(permille: object, symbol: str | None) -> tuple[Problem, ...]:
    """One problem when a number is no fineness, with the karat, percentage or fraction it may be.

    Parameters
    ----------
    permille : object
        What was typed as a fineness [permille by mass].
    symbol : str or None
        The metal meant; only gold is counted in karat. None counts as gold.

    Returns
    -------
    tuple of Problem
        At most one.

    Examples
    --------
    >>> fineness_problems(18, "Au")[0].nearest
    '750 permille'
    >>> fineness_problems(92.5, "Ag")[0].nearest
    '925 permille'
    """
    number = isinstance(permille, (int, float)) and not isinstance(permille, bool)
    allowed = f"above {LEAST_PERMILLE:g}, up to 1000 permille"
    if not number or not math.isfinite(permille):  # type: ignore[arg-type]
        return (Problem(text="this is not a fineness", value=repr(permille), allowed=allowed),)
    asked = float(permille)  # type: ignore[arg-type]
    if LEAST_PERMILLE < asked <= 1000.0:
        return ()
    text, meant = "no such fineness", 0.0
    if symbol in ("Au", None) and LEAST_KARAT <= asked <= KARAT_FINE:
        meant = karat_to_permille(asked)
        text = f"fineness is in permille: {asked:g} kt is {meant:.6g} permille"
    elif LEAST_PERMILLE < 1000.0 * asked <= 1000.0:
        meant = 1000.0 * asked
        text = f"fineness is in permille: a share of {asked:g} is {meant:.6g} permille"
    elif LEAST_PERMILLE < 10.0 * asked <= 1000.0:
        meant = 10.0 * asked
        text = f"fineness is in permille: {asked:g} % is {meant:.6g} permille"
    nearest = f"{meant:.6g} permille" if meant else ""
    return (Problem(text=text, value=f"{asked:g}", allowed=allowed, nearest=nearest),)
