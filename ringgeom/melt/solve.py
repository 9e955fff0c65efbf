"""The optimum over all melts at once: linear programmes, solved one after the other by HiGHS.

Unknowns are grams of every source in every melt, and grams of fine metal that are missing.
First as little as possible may be missing; then comes what the shop aims at; then the melts
come as near to their recipes as they can. Every stage keeps what the ones before it won.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ringgeom.melt.solved import Solved
from ringgeom.melt.source import Array, Source
from ringgeom.melt.stranger import stranger
from ringgeom.melt.wanted import PRECIOUS, Wanted, Window

KEPT = 1e-6
"""How much of an earlier stage's optimum a later one may give up; goals are scaled to 1 a gram."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Terms:
    """What a plan is solved under.

    Attributes
    ----------
    windows : sequence of mapping
        For every melt, symbol to least and most mass share.
    fume : float
        Share of all zinc that is lost.
    remelt : float
        Largest share of a charge that was melted before.
    aims : tuple of Array
        Cost of a gram of every source in every melt, the most wanted aim first.
    banned : set of (int, int)
        Sources, by number, that stay out of a melt.
    """

    windows: Sequence[Mapping[str, Window]]
    fume: float
    remelt: float
    aims: tuple[Array, ...]
    banned: frozenset[tuple[int, int]] = frozenset()


def solved(
    sources: Sequence[Source], wanted: Sequence[Wanted], symbols: tuple[str, ...], terms: Terms
) -> Solved:
    """The best use of all sources for all melts together.

    Parameters
    ----------
    symbols : tuple of str
        Every metal of the recipes and of the sources.
    """
    from scipy import sparse
    from scipy.optimize import linprog

    board = _Board(sources, wanted, symbols, terms)
    kept_rows: list[Any] = []
    kept_most: list[float] = []
    values = np.zeros(board.size)
    for goal in board.goals():
        if not goal.any():
            continue
        goal = goal / np.abs(goal).max()
        answer = linprog(
            goal,
            A_ub=sparse.vstack([board.below, *kept_rows], format="csr"),
            b_ub=np.concatenate([board.below_most, kept_most]),
            A_eq=board.equal,
            b_eq=board.equal_to,
            bounds=board.bounds,
            method="highs",
        )
        if answer.x is None:
            if kept_rows:
                break  # a later goal is a wish: what was won before stands
            raise ArithmeticError(answer.message)  # cannot be: fine metal may always be missing
        values = answer.x
        kept_rows.append(sparse.csr_matrix(goal[None, :]))
        kept_most.append(float(goal @ values) + KEPT)
    grams, missing, _ = board.split(np.maximum(values, 0.0))
    return Solved(grams=grams, missing_g=missing)


class _Board:
    """The unknowns in one row: grams [source, melt], missing and off [symbol, melt]."""

    def __init__(
        self,
        sources: Sequence[Source],
        wanted: Sequence[Wanted],
        symbols: tuple[str, ...],
        terms: Terms,
    ) -> None:
        self.sources, self.wanted, self.symbols, self.terms = sources, wanted, symbols, terms
        self.counts = len(sources), len(symbols), len(wanted)
        s, e, m = self.counts
        self.size = (s + 2 * e) * m
        self.lost = np.array([terms.fume if symbol == "Zn" else 0.0 for symbol in symbols])
        shares = np.array([[one.share(symbol) for symbol in symbols] for one in sources])
        # of every gram weighed in, what is poured of every metal
        self.poured = shares.reshape(s, e) * (1 - self.lost)
        self._rows()

    def split(self, values: Array) -> tuple[Array, Array, Array]:
        """Grams (s, m), missing (e, m), off (e, m) of a row of unknowns."""
        s, e, m = self.counts
        grams, missing, off = np.split(values, [s * m, (s + e) * m])
        return grams.reshape(s, m), missing.reshape(e, m), off.reshape(e, m)

    def _row(self) -> tuple[Array, tuple[Array, Array, Array]]:
        """An empty row, and its parts to be filled in."""
        row = np.zeros(self.size)
        return row, self.split(row)

    def _rows(self) -> None:
        equal, equal_to, below, below_most = [], [], [], []
        for k, one in enumerate(self.wanted):
            row, (grams, missing, _) = self._row()
            grams[:, k] = self.poured.sum(axis=1)
            missing[:, k] = 1 - self.lost
            equal.append(_entries(row))
            equal_to.append(one.grams)
            row, (grams, _, _) = self._row()
            grams[:, k] = [not source.is_new for source in self.sources]
            below.append(_entries(row))
            below_most.append(self.terms.remelt * one.grams)
            for n, symbol in enumerate(self.symbols):
                window = self.terms.windows[k][symbol]
                for sign, limit, with_off in (
                    (1, window.most, False),
                    (-1, window.least, False),
                    (1, window.aimed, True),
                    (-1, window.aimed, True),
                ):
                    row, (grams, missing, off) = self._row()
                    grams[:, k] = sign * self.poured[:, n]
                    missing[n, k] = sign * (1 - self.lost[n])
                    off[n, k] = -1.0 if with_off else 0.0
                    below.append(_entries(row))
                    below_most.append(sign * limit * one.grams)
        for i, source in enumerate(self.sources):
            if np.isfinite(source.grams):
                row, (grams, _, _) = self._row()
                grams[i, :] = 1.0
                below.append(_entries(row))
                below_most.append(source.grams)
        self.equal, self.equal_to = _sparse(equal, self.size), np.array(equal_to)
        self.below, self.below_most = _sparse(below, self.size), np.array(below_most)
        s, e, m = self.counts
        bounds: list[tuple[float, float | None]] = [(0.0, None)] * self.size
        for k in range(m):
            for i in range(s):
                if (i, k) in self.terms.banned or stranger(self.sources[i], self.terms.windows[k]):
                    bounds[i * m + k] = (0.0, 0.0)
            for n in range(e):
                # only metals of the recipe can mend it
                if self.terms.windows[k][self.symbols[n]].aimed <= 0:
                    bounds[(s + n) * m + k] = (0.0, 0.0)
        self.bounds = bounds

    def goals(self) -> list[Array]:
        """What is made small, one after the other."""
        missing_row, (_, missing, _) = self._row()
        missing[:, :] = [[1.0 if symbol in PRECIOUS else 0.999] for symbol in self.symbols]
        goals = [missing_row]
        for aim in self.terms.aims:
            row, (grams, _, _) = self._row()
            grams[:, :] = aim
            goals.append(row)
        row, (_, _, off) = self._row()
        off[:, :] = 1.0
        return [*goals, row]


Entries = tuple[NDArray[np.intp], Array]


def _entries(row: Array) -> Entries:
    """Where a row is not zero, and what it is there: nearly all of it is zero."""
    at = np.flatnonzero(row)
    return at, row[at]


def _sparse(rows: Sequence[Entries], size: int) -> Any:
    from scipy import sparse

    counts = [len(at) for at, _ in rows]
    where = np.concatenate([at for at, _ in rows]) if rows else np.zeros(0, dtype=np.intp)
    values = np.concatenate([value for _, value in rows]) if rows else np.zeros(0)
    starts = np.concatenate([[0], np.cumsum(counts)])
    return sparse.csr_matrix((values, where, starts), shape=(len(rows), size))
