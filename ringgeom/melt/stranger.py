"""A source that hardly fits a melt is left out of it: colours are kept apart at the bench."""

from __future__ import annotations

from collections.abc import Mapping

from ringgeom.melt.source import Source
from ringgeom.melt.wanted import Window

HARDLY = 0.02
"""A source that could be no more than this share of a melt is left out: our judgement."""


def stranger(source: Source, windows: Mapping[str, Window]) -> str | None:
    """The metal for which a source stays out of a melt: foreign to its recipe, and too much of it.

    None when the source fits.
    """
    foreign = [
        (window.most / share, symbol)
        for symbol, window in windows.items()
        if window.aimed <= 0 and (share := source.share(symbol)) > 0
    ]
    if not foreign:
        return None
    most, symbol = min(foreign)
    return symbol if most < HARDLY else None
