"""One melt as it is weighed out: what is taken, what comes of it, how sure that is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ringgeom.colour import colour, delta_e_00
from ringgeom.melt.source import KeptOut, Source
from ringgeom.melt.wanted import Wanted
from ringgeom.metal import Alloy, Recipe, alloy_from_recipe


@dataclass(frozen=True, slots=True, kw_only=True)
class Take:
    """A portion to weigh out [g]."""

    source: Source
    grams: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Missing:
    """Fine metal that would have to be added, and is not there [g]."""

    symbol: str
    grams: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Melt:
    """A melt of the plan.

    Attributes
    ----------
    wanted : Wanted
        What was asked for.
    take : tuple of Take
        What to weigh out, in the order of melting.
    poured_g : float
        What comes of it after the zinc's fume [g]; the melt's other loss is in what is wanted.
    fume_g : float
        Zinc lost as fume [g].
    made : Alloy
        What comes of it, as an alloy.
    fineness_permille, worst_permille : float or None
        Fineness of the metal it is named after: as weighed, and in the worst case that the
        balance's last digit, the lots' own uncertainty and zinc that stays allow.
    shift_de00 : float
        Predicted change of colour against the recipe, CIEDE2000.
    remelt_percent : float
        How much of the charge was melted before.
    possible : bool
        Whether the stock can do it; otherwise `missing` and `why` say what would mend it.
    why : tuple of str
        Also of a possible melt: limits that the balance's steps do not let it keep.
    excluded : tuple of KeptOut
        Lots that do not go into this melt, with the reason.
    """

    wanted: Wanted
    take: tuple[Take, ...]
    poured_g: float
    fume_g: float
    made: Alloy
    fineness_permille: float | None
    worst_permille: float | None
    shift_de00: float
    remelt_percent: float
    possible: bool
    missing: tuple[Missing, ...]
    why: tuple[str, ...]
    excluded: tuple[KeptOut, ...]


def made_recipe(name: str, take: Sequence[Take], *, fume: float) -> tuple[Recipe, float, float]:
    """Recipe of what is poured, its grams, and the zinc lost as fume [g]."""
    metal: dict[str, float] = {}
    for portion in take:
        for symbol, percent in portion.source.recipe.shares:
            metal[symbol] = metal.get(symbol, 0.0) + portion.grams * percent / 100
    lost = metal.get("Zn", 0.0) * fume
    if lost:
        metal["Zn"] -= lost
    total = sum(metal.values())
    shares = {symbol: 100 * grams / total for symbol, grams in metal.items() if grams > 0}
    return Recipe.of(name, shares), total, lost


def worst_permille(symbol: str, take: Sequence[Take], *, step_g: float) -> float:
    """Lowest fineness that the weighing allows [permille].

    Each portion may be half a step off, the poor ones up and the rich ones down; the lots'
    fineness may be as low as they say; no zinc goes off as fume.
    """
    low = [
        max(0.0, portion.source.share(symbol) - portion.source.uncertainty_permille / 1000)
        for portion in take
    ]
    worst = _share([portion.grams for portion in take], low)
    # what counts as poor is judged against the worst case itself: two rounds settle it
    for _ in range(2):
        off = [step_g / 2 if share < worst else -step_g / 2 for share in low]
        grams = [max(0.0, p.grams + d) for p, d in zip(take, off, strict=True)]
        worst = _share(grams, low)
    return 1000 * worst


def _share(grams: Sequence[float], shares: Sequence[float]) -> float:
    return sum(g * s for g, s in zip(grams, shares, strict=True)) / (sum(grams) or 1.0)


def colour_shift(recipe: Recipe, wanted: Alloy) -> float:
    """Predicted difference between what is made and the recipe, CIEDE2000."""
    import numpy as np

    made = alloy_from_recipe(recipe.name, dict(recipe.shares))
    plain = alloy_from_recipe(wanted.name, dict(wanted.recipe.shares))
    return float(delta_e_00(np.array(colour(made).lab), np.array(colour(plain).lab)))
