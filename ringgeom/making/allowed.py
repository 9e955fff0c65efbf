"""What the fabrication sums refuse: lengths that are none, allowances below nothing, misfits."""

from __future__ import annotations

from collections.abc import Mapping

from ringgeom.errors import InputError, Problem, ShapeError
from ringgeom.metal.amount import MOST_AMOUNT, amount_problems


def allowance_problems(
    what: str, amount: object, unit: str, *, most: float = MOST_AMOUNT
) -> tuple[Problem, ...]:
    """One problem when an allowance is no number from 0 to `most` of its unit; 0 is none."""
    number = isinstance(amount, (int, float)) and not isinstance(amount, bool)
    if number and 0 <= amount <= most:  # type: ignore[operator]
        return ()
    value = f"{amount:g} {unit}" if number else repr(amount)
    return (
        Problem(text=f"{what} is not an allowance", value=value, allowed=f"0 to {most:g} {unit}"),
    )


def need(
    amounts_mm: Mapping[str, float], allowances_mm: Mapping[str, float], *more: Problem
) -> None:
    """Refuse lengths that are none, allowances below 0, and what else is told, all at once.

    Raises
    ------
    InputError
        Every problem found.
    """
    problems = [one for what, mm in amounts_mm.items() for one in amount_problems(what, mm, "mm")]
    for what, mm in allowances_mm.items():
        problems += allowance_problems(what, mm, "mm")
    problems += more
    if problems:
        raise InputError(problems)


class MisfitError(ShapeError):
    """A length that leaves no room, with the length and the room [mm]."""

    def __init__(self, text: str, value_mm: float, limit_mm: float) -> None:
        super().__init__(text)
        self.value_mm, self.limit_mm = value_mm, limit_mm


def misfit(
    text: str, value_mm: float, limit_mm: float, nearest: str, *, limit_fits: bool = False
) -> MisfitError:
    """The refusal of a length that is not below its limit, with the way out."""
    allowed = f"{'up to' if limit_fits else 'less than'} {limit_mm:g} mm"
    said = f"{value_mm:g} mm"
    problem = Problem(text=text, value=said, allowed=allowed, nearest=nearest)
    return MisfitError(str(problem), value_mm, limit_mm)
