"""What the shop aims at: which metal it wants to use little of, and whether that can be judged."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from ringgeom.errors import InputError, Problem
from ringgeom.melt.source import Array, Source
from ringgeom.melt.wanted import PRECIOUS, Wanted
from ringgeom.shop import Lot, MeltSettings, Prices

BOUGHT = 0.001
"""What a gram that must still be bought counts more than one that lies in the drawer [g]."""


def check_aim(
    lots: Sequence[Lot], usable: Sequence[Source], settings: MeltSettings, prices: Prices | None
) -> None:
    """Refuse an aim that needs a price or a lot that is not there; two lots of one name.

    Raises
    ------
    InputError
        All of these at once.
    """
    problems = []
    names = [lot.name for lot in lots]
    for name in sorted({name for name in names if names.count(name) > 1}):
        problems.append(
            Problem(text="two lots have one name", value=name, allowed="a name for each lot")
        )
    if lots and settings.aim == "use up" and settings.use_up not in names:
        problems.append(
            Problem(
                text="the lot to use up is not in the stock",
                value=settings.use_up,
                allowed=", ".join(names),
            )
        )
    if lots and settings.aim == "least cost":
        held = {s for source in usable for s in source.recipe.symbols}
        needed = [symbol for symbol in PRECIOUS if symbol in held]
        lacking = [s for s in needed if prices is None or prices.per_g(s) is None]
        if lacking:
            problems.append(
                Problem(
                    text=f"least cost needs a price of {' '.join(lacking)}",
                    allowed='[prices] with a currency and a price per troy ounce, or aim = "least '
                    'new gold"',
                )
            )
    if problems:
        raise InputError(problems)


def aims(
    usable: Sequence[Source],
    wanted: Sequence[Wanted],
    settings: MeltSettings,
    prices: Prices | None,
) -> tuple[Array, ...]:
    """What a gram of every source counts in every melt, shape (sources, melts), first aim first.

    New gold counts everywhere; in a melt of another metal, that metal new counts as well.
    """
    shape = len(usable), len(wanted)
    new = [1.0 if s.is_new else 0.0 for s in usable]
    dear = np.array(
        [
            [
                more * sum(s.share(e) for e in {"Au", one.mark_symbol or "Au"}) + BOUGHT * s.bought
                for one in wanted
            ]
            for more, s in zip(new, usable, strict=True)
        ]
    ).reshape(shape)
    if settings.aim == "use up":
        used = np.array([-1.0 if s.name == settings.use_up else 0.0 for s in usable])
        return np.broadcast_to(used[:, None], shape), dear
    if settings.aim == "least cost" and prices is not None:
        cost = np.array([_cost(source, prices) for source in usable])
        return (np.broadcast_to(cost[:, None], shape),)
    return (dear,)


def _cost(source: Source, prices: Prices) -> float:
    value = sum(
        source.share(symbol) * (prices.per_g(symbol) or 0.0) for symbol in source.recipe.symbols
    )
    if source.bought:
        # at the same price, what lies in the drawer goes first
        return value * (1 + prices.premium_percent / 100 + BOUGHT) + BOUGHT
    return value if source.is_new else value * prices.scrap_percent / 100
