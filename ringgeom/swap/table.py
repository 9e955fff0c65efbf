"""The swap table: a design in every sensible alloy, part by part or all parts at once.

Nothing is drawn anew for an alloy: volumes stay, only what is made of them is reckoned again.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import prod

import numpy as np

from ringgeom.colour import colour
from ringgeom.colour.difference import delta_e_00
from ringgeom.errors import InputError, Problem
from ringgeom.form.curve import Array
from ringgeom.jobs import Job, refilled
from ringgeom.metal import Alloy, catalogue, fineness
from ringgeom.metal.amount import fineness_problems
from ringgeom.swap.row import Break, Row, row
from ringgeom.swap.seat import Seat, candidates, in_other_alloys, seats, seats_named, touching

MOST_RINGS = 1_000_000
"""More combinations than this are asked for part by part."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Swaps:
    """The rows of some exchanged seats, most contrast first.

    Attributes
    ----------
    seats : tuple of Seat
        What is exchanged in every row.
    rows : tuple of Row
        None where the catalogue has no alloy of the fineness that is asked for.
    everywhere : tuple of Break
        Rules that are broken with any alloy: told once.
    tried : int
        Rings that were compared; the rows are the best of them.
    """

    seats: tuple[Seat, ...]
    rows: tuple[Row, ...]
    everywhere: tuple[Break, ...]
    tried: int


def swaps(
    job: Job,
    *,
    part: str = "",
    fineness_permille: float | None = None,
    any_metal: bool = False,
    together: bool = False,
    most: int = 20,
) -> tuple[Swaps, ...]:
    """A ring in other alloys.

    Parameters
    ----------
    job : Job
        As designed; not a stopped one.
    part : str
        Exchange only this part; every part in turn without.
    fineness_permille : float, optional
        Of the alloys to try; each part's own without.
    any_metal : bool
        Try every precious metal.
    together : bool
        Exchange all parts at once.
    most : int
        How many rings of those exchanged at once are told.

    Raises
    ------
    InputError
        No such part, no fineness, no alloy to try, or too many rings at once.
    """
    if fineness_permille is not None and (bad := fineness_problems(fineness_permille, None)):
        raise InputError(bad)
    plain = replace(job, shop=job.shop.model_copy(update={"lots": ()}))
    found = seats(job)
    pairs = touching(job, found)
    choices = {
        seat: candidates(seat, job.shop, fineness_permille=fineness_permille, any_metal=any_metal)
        for seat in seats_named(found, part)
    }
    if not any(choices.values()):
        raise InputError(_no_alloy(list(choices), fineness_permille))
    if together:
        return (_at_once(plain, choices, pairs, most),)
    return tuple(_in_turn(plain, seat, tried, pairs) for seat, tried in choices.items())


def _in_turn(
    job: Job, seat: Seat, tried: Sequence[Alloy], pairs: Sequence[tuple[Seat, Seat]]
) -> Swaps:
    """One seat in every alloy, and as designed."""
    if not tried:
        return Swaps(seats=(seat,), rows=(), everywhere=(), tried=0)
    alloys = dict.fromkeys((seat.alloy, *tried))
    rows = [_row(job, [(seat, alloy)], pairs) for alloy in alloys]
    return _sorted((seat,), rows, len(rows))


def _at_once(
    job: Job,
    choices: dict[Seat, tuple[Alloy, ...]],
    pairs: Sequence[tuple[Seat, Seat]],
    most: int,
) -> Swaps:
    """All seats at once: of all rings those that contrast most, then the ring as designed."""
    # a part of a metal that has no such fineness stays as it is
    tried = {seat: alloys or (seat.alloy,) for seat, alloys in choices.items()}
    count = prod(map(len, tried.values()))
    if count > MOST_RINGS:
        raise InputError(
            Problem(
                text="too many rings at once",
                value=f"{count:,}",
                allowed=f"up to {MOST_RINGS:,}",
                nearest="--part with the name of one part, or without --together",
            )
        )
    worst = _least_contrast(tried, [p for p in pairs if p[0] in tried or p[1] in tried])
    best = np.argsort(-worst, axis=None, kind="stable")[:most]
    held = tuple(tried)
    combinations = [_ring(tried, worst.shape, int(place)) for place in best]
    designed = tuple(seat.alloy for seat in held)
    combinations = list(dict.fromkeys([*combinations, designed]))
    rows = [_row(job, list(zip(held, alloys, strict=True)), pairs) for alloys in combinations]
    return _sorted(held, rows, count)


def _least_contrast(
    tried: dict[Seat, tuple[Alloy, ...]], pairs: Sequence[tuple[Seat, Seat]]
) -> Array:
    """Smallest difference in daylight of any two that touch, for every combination [dE00].

    One axis for every seat that has a choice.
    """
    held = [seat for seat, alloys in tried.items() if len(alloys) > 1]
    least: Array = np.full([len(tried[seat]) for seat in held], np.inf)
    for one, two in pairs:
        first, second = (
            np.array([colour(alloy).lab for alloy in tried.get(seat, (seat.alloy,))])
            for seat in (one, two)
        )
        apart = delta_e_00(first[:, None, :], second[None, :, :])
        shape = [1] * len(held)
        for seat, length in ((one, len(first)), (two, len(second))):
            if seat in held:
                shape[held.index(seat)] = length
        if one in held and two in held and held.index(one) > held.index(two):
            apart = apart.T
        least = np.minimum(least, apart.reshape(shape))
    return least


def _ring(
    tried: dict[Seat, tuple[Alloy, ...]], shape: tuple[int, ...], place: int
) -> tuple[Alloy, ...]:
    """The alloys of one combination."""
    turns = iter(np.unravel_index(place, shape)) if shape else iter(())
    return tuple(
        alloys[int(next(turns))] if len(alloys) > 1 else alloys[0] for alloys in tried.values()
    )


def _row(job: Job, chosen: Sequence[tuple[Seat, Alloy]], pairs: Sequence[tuple[Seat, Seat]]) -> Row:
    return row(refilled(job, in_other_alloys(job.design, dict(chosen))), chosen, pairs)


def _sorted(held: tuple[Seat, ...], rows: Sequence[Row], tried: int) -> Swaps:
    """Rows by contrast and price; what all of them break is told once."""
    # a stopped ring was not judged any further
    judged = [one for one in rows if not one.job.stopped]
    broken = [{(b.code, b.where) for b in one.breaks} for one in judged]
    shared = set.intersection(*broken) if len(broken) > 1 else set()
    ranked = sorted(rows, key=lambda one: one.rank)
    return Swaps(
        seats=held,
        rows=tuple(
            replace(one, breaks=tuple(b for b in one.breaks if (b.code, b.where) not in shared))
            for one in ranked
        ),
        everywhere=tuple(
            b for one in judged[:1] for b in one.breaks if (b.code, b.where) in shared
        ),
        tried=tried,
    )


def _no_alloy(held: Sequence[Seat], wanted: float | None) -> Problem:
    metals = {seat.alloy.recipe.precious for seat in held}
    known = {
        made
        for alloy in catalogue()
        if alloy.recipe.precious in metals and (made := fineness(alloy.recipe)) is not None
    }
    own = {made for seat in held if (made := fineness(seat.alloy.recipe)) is not None}
    asked = wanted if wanted is not None else min(own, default=0.0)
    nearest = sorted(known, key=lambda made: abs(made - asked))[:3]
    return Problem(
        text=f"the catalogue has no {' or '.join(sorted(metals))} of this fineness",
        value=f"{asked:g} permille",
        allowed=f"{', '.join(f'{made:g}' for made in sorted(known))} permille",
        nearest=", ".join(f"{made:g}" for made in nearest),
    )
