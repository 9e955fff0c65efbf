"""From exact grams to grams that the balance can show, without losing the fineness."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import product

import numpy as np
from numpy.typing import NDArray

from ringgeom.melt.source import Array, Source
from ringgeom.melt.wanted import Wanted, Window

MOST_COMBINED = 6
"""So many portions are rounded together, each in up to five ways: 15 625 at most."""


def rounded(
    exact: Array,
    room: Array,
    whole: NDArray[np.bool_],
    sources: Sequence[Source],
    wanted: Wanted,
    windows: Mapping[str, Window],
    *,
    step_g: float,
    fume: float,
    remelt: float,
) -> Array:
    """Portions of one melt in whole steps of the balance, or a whole lot at once.

    Of all ways to round the portions, the one that keeps the fineness, then lacks no more than a
    step, then stays within the other limits, then pours enough, then moves the portions least.

    Parameters
    ----------
    exact : Array
        Grams of every source in this melt, shape (sources,).
    room : Array
        Grams of every source that this melt may take.
    whole : Array of bool
        Whether that is all there is of it, so that it can go in without weighing a part off.
    step_g : float
        Resolution of the balance [g].
    fume : float
        Share of the zinc that is lost.
    remelt : float
        Largest share of a charge that was melted before.

    Returns
    -------
    Array
        Grams, shape (sources,).
    """
    # a portion under a hundredth of a step is the solver's dust
    used = [i for i in range(len(exact)) if exact[i] > step_g / 100]
    if not used:
        return np.zeros_like(exact)
    combined = sorted(used, key=lambda i: -exact[i])[:MOST_COMBINED]
    choices = [_choices(exact[i], room[i], whole[i], step_g, more=i in combined) for i in used]
    ways = np.array(list(product(*choices)))
    symbols = tuple(windows)
    shares = np.array([[sources[i].share(s) for s in symbols] for i in used])
    kept = np.array([1 - fume if s == "Zn" else 1.0 for s in symbols])
    poured = ways @ (shares * kept)
    total = poured.sum(axis=1)
    share = poured / np.where(total > 0, total, 1.0)[:, None]
    short, off = np.zeros(len(ways)), np.zeros(len(ways))
    for n, symbol in enumerate(symbols):
        under = np.maximum(0.0, windows[symbol].least - share[:, n] - 1e-9)
        over = np.maximum(0.0, share[:, n] - windows[symbol].most - 1e-9)
        if symbol == wanted.mark_symbol:
            short += under
            off += over
        else:
            off += under + over
    again = ways[:, [not sources[i].is_new for i in used]].sum(axis=1)
    off += np.maximum(0.0, again / np.where(total > 0, total, 1.0) - remelt - 1e-9)
    lacks = np.maximum(0.0, wanted.grams - total - 1e-9)
    far_too_little = np.maximum(0.0, lacks - step_g)
    moved = np.abs(ways - exact[used]).sum(axis=1)
    order = (moved, lacks, off, far_too_little, short)
    best = np.lexsort([np.round(key, 10) for key in order])[0]
    grams = np.zeros_like(exact)
    grams[used] = ways[best]
    return grams


def _choices(exact: float, room: float, whole: bool, step_g: float, *, more: bool) -> list[float]:
    """Two steps below, two above, and all there is where that is near; never beyond it."""
    if not more and whole and abs(room - exact) <= step_g:
        return [room]
    low = int(np.floor(exact / step_g + 1e-6))
    steps = range(low - 1, low + 3) if more else (round(exact / step_g),)
    # a decimal step keeps no binary tail: 4.98, not 4.9800000000000004
    places = max(0, int(np.ceil(-np.log10(step_g))) + 2)
    found = [round(n * step_g, places) for n in steps]
    found = [grams for grams in found if 0 <= grams <= room + 1e-9]
    if whole and abs(room - exact) <= step_g:
        found.append(room)
    return sorted(set(found)) or [max(0.0, low * step_g)]
