"""Mixtures of metals that fill what the precious one leaves: grids, steps, a choice of few.

Shares are whole numbers of hundredths of a percent, so that every row sums to the same.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from ringgeom.colour.cie import Array

Shares = NDArray[np.int64]
Score = Callable[[Shares], Array]

MOST_MIXTURES = 3000
"""More colours than this take longer than a wait is worth."""

COARSER = (1, 2, 4, 5, 10, 20, 50)
"""How many times the wished step a grid may have."""

CLIMBS = 60
"""Steps of one size after which a search is left; a few are usual."""

SEEDS = 6
"""Starting points of a refinement."""


def mixtures(rest: int, limits: Shares, step: int) -> tuple[Shares, int]:
    """All mixtures on a grid, shape (n, metals), and the grid's step.

    Parameters
    ----------
    rest : int
        What each row sums to.
    limits : Shares
        The most of each metal, shape (metals,).
    step : int
        Wished step; a multiple of it when there would be too many.
    """
    # the metal with most room takes what no step fits
    filler = int(limits.argmax())
    others = [place for place in range(len(limits)) if place != filler]
    for times in COARSER:
        found = _filled(rest, limits, others, step * times)
        if len(found) <= MOST_MIXTURES:
            break
    found[:, filler] = rest - found.sum(axis=1)
    return found[found[:, filler] <= limits[filler]], step * times


def _filled(rest: int, limits: Shares, others: Sequence[int], step: int) -> Shares:
    """Rows of the other metals that leave room or fill it; left unfinished when too many."""
    found = np.zeros((1, len(limits)), dtype=np.int64)
    for place in others:
        values = _range(int(limits[place]), rest, step)
        rows = np.repeat(found, len(values), axis=0)
        rows[:, place] = np.tile(values, len(found))
        found = rows[rows.sum(axis=1) <= rest]
        if len(found) > MOST_MIXTURES:
            break
    return found


def climbed(
    seeds: Shares,
    score: Score,
    limits: Shares,
    steps: Sequence[int],
    allowed: Callable[[Shares], NDArray[np.bool_]] | None = None,
) -> Shares:
    """Seeds bettered by moving a step from one metal to another while that helps.

    Parameters
    ----------
    seeds : Shares
        Shape (n, metals).
    score : Score
        The less the better, shape (n,).
    steps : sequence of int
        Sizes of a move, one after the other.
    allowed : callable, optional
        Which mixtures may be reached.
    """
    best, scores = seeds.copy(), score(seeds)
    moves = _moves(seeds.shape[1])
    for step in steps:
        for _ in range(CLIMBS if len(moves) else 0):
            near = best[:, None] + step * moves
            good = ((near >= 0) & (near <= limits)).all(axis=-1)
            if allowed is not None:
                good &= allowed(near.reshape(-1, near.shape[-1])).reshape(good.shape)
            met = np.full(good.shape, np.inf)
            if good.any():
                met[good] = score(near[good])
            pick = met.argmin(axis=1)
            at = np.arange(len(best))
            better = met[at, pick] < scores - 1e-12
            if not better.any():
                break
            best[better] = near[at, pick][better]
            scores[better] = met[at, pick][better]
    return best


def spread(
    found: Shares,
    scores: Array,
    count: int,
    apart: int,
    score: Score | None,
    limits: Shares,
    steps: Sequence[int],
) -> list[Shares]:
    """The best few, each at least `apart` from the others; with a score, refined first.

    The distance of two mixtures is the mass that must change for one to become the other.
    """
    chosen: list[Shares] = []
    order = np.argsort(scores, kind="stable")
    found = found[order]

    def free(mixed: Shares) -> NDArray[np.bool_]:
        far = np.ones(len(mixed), dtype=bool)
        for taken in chosen:
            far &= np.abs(mixed - taken).sum(axis=-1) >= 2 * apart
        return far

    while len(chosen) < count and len(found):
        found = found[free(found)]
        if not len(found):
            break
        if score is None:
            chosen.append(found[0])
        else:
            better = climbed(found[:SEEDS], score, limits, steps, free)
            chosen.append(better[score(better).argmin()])
    if score is not None and chosen:
        ranks = np.argsort(score(np.array(chosen)), kind="stable")
        chosen = [chosen[rank] for rank in ranks]
    return chosen


def _range(limit: int, rest: int, step: int) -> NDArray[np.int64]:
    values = np.arange(0, limit + 1, step)
    # one metal alone beside the precious one, whatever the fineness
    return np.append(values, rest) if limit >= rest and values[-1] != rest else values


def _moves(metals: int) -> Shares:
    """A step, or five, from each metal to each other one; shape (moves, metals)."""
    single = np.eye(metals, dtype=np.int64)
    pairs = [single[i] - single[j] for i in range(metals) for j in range(metals) if i != j]
    return np.array([times * pair for times in (1, 5) for pair in pairs], dtype=np.int64)
