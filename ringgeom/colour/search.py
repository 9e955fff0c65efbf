"""Which recipe for that colour: all mixtures at one fineness, the best that differ.

Shares are counted in hundredths of a percent, so that they sum to 100 exactly.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ringgeom.colour.cie import Array, yellowness_of_lab
from ringgeom.colour.difference import delta_e_00, hue_deg
from ringgeom.colour.face import Colour, colour
from ringgeom.colour.mixtures import climbed, mixtures, spread
from ringgeom.colour.predict import columns, faces
from ringgeom.colour.wish import Wish, check_wish
from ringgeom.errors import Problem, RecipeError
from ringgeom.metal import Alloy, Recipe, RecipeFault, alloy_from_recipe, catalogue, hazard_faults

if TYPE_CHECKING:
    from ringgeom.metal.melting import Hint

Shares = NDArray[np.int64]

WHOLE = 10_000
"""100 % in the hundredths of a percent that shares are counted in."""

COARSE, FINE = 50, 10
"""Steps of a search and of a target's refinement: 0.5 and 0.1 %."""

LEAST_GAIN = {"greener": 0.5, "redder": 0.5, "paler": 0.5, "whiter": 1.0}
"""Less of a*, chroma or yellowness index no eye sees on a ring: our judgement."""

MEASURES = {"greener": "a*", "redder": "a*", "paler": "chroma", "whiter": "yellowness index"}

APART_PERCENT, APART_PARTS = 2.0, 8
"""Two proposals differ in this much of their mass, or in this part of what is not precious."""

LIKE_PERCENT = 0.5
"""A catalogue alloy with every metal this near melts alike: our judgement."""

MOST_PROPOSALS = 20


@dataclass(frozen=True, slots=True, kw_only=True)
class Melts:
    """Melting range of the catalogue alloy that a recipe is like [C]."""

    like: str
    solidus_c: float | None
    liquidus_c: float
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """A recipe for the wished colour.

    Attributes
    ----------
    recipe, alloy : Recipe, Alloy
        Shares that sum to 100 exactly, and the alloy with its density and band.
    colour : Colour
        Predicted, polished.
    delta_e_00 : float or None
        CIEDE2000 to the target, else to the reference; None without either.
    melts : Melts or None
        None when no catalogue alloy is near enough.
    hints, hazards : tuple
        What to know at the crucible, and what may harm.
    """

    recipe: Recipe
    alloy: Alloy
    colour: Colour
    delta_e_00: float | None
    melts: Melts | None
    hints: tuple[Hint, ...]
    hazards: tuple[RecipeFault, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Searched:
    """What a search found.

    Attributes
    ----------
    reference : Colour or None
        Predicted colour of the alloy to surpass.
    proposals : tuple of Proposal
        Best first, each apart from the others; fewer than asked for when there are no more.
    tried : int
        Mixtures on the first grid.
    step_percent : float
        Step of that grid [% by mass].
    words : str
        What was found, in one line.
    """

    wish: Wish
    reference: Colour | None
    proposals: tuple[Proposal, ...]
    tried: int
    step_percent: float
    words: str


def search_recipes(wish: Wish, count: int = 5) -> Searched:
    """Recipes for a colour, in steps of 0.5 % by mass, of 0.1 % towards a target.

    The fineness is rounded up to 0.1 permille, so that the mark is kept. What no step fits goes
    into the metal that may fill most. With many metals the first grid is coarser and its best
    recipes are bettered step by step.

    Parameters
    ----------
    wish : Wish
        What is wanted.
    count : int
        How many proposals at most, 1 to 20.

    Raises
    ------
    RecipeError
        A wish that cannot be searched, or one that nothing at this fineness fulfils: the best
        within reach is named.
    """
    check_wish(wish)
    if not 1 <= count <= MOST_PROPOSALS:
        allowed = f"1 to {MOST_PROPOSALS}"
        raise RecipeError(Problem(text="so many proposals", value=f"{count}", allowed=allowed))
    reference = None if wish.than is None else colour(replace(wish.than, lab=None))
    rest = WHOLE - math.ceil(10 * wish.fineness_permille - 1e-6)
    limits = np.array([_hundredths(wish.most_percent(s), rest) for s in wish.added])
    found, step = mixtures(rest, limits, COARSE)
    tried = len(found)
    if not tried:
        raise RecipeError(
            Problem(
                text="no mixture in steps of 0.5 % fits between these limits",
                value=" ".join(f"{s} {wish.most_percent(s):g}" for s in wish.added),
                allowed=f"limits that leave more room than {rest / 100:g} %",
            )
        )

    def score(added: Shares) -> Array:
        return _score(wish, reference, _with_precious(wish, added, rest))

    scores = score(found)
    fits = scores < _limit(wish, reference)
    if step > COARSE or not fits.any() or not isinstance(wish.towards, str):
        best = found[np.argsort(scores, kind="stable")[: 4 * count]]
        bettered = climbed(best, score, limits, [COARSE])
        found = np.concatenate([bettered, found])
        scores = np.concatenate([score(bettered), scores])
        fits = scores < _limit(wish, reference)
    if wish.than is not None and reference is not None and not fits.any():
        furthest = _score(wish, None, _with_precious(wish, found, rest)).argmin()
        best_one = _alloy(wish, found[furthest], rest)
        raise RecipeError(_out_of_reach(wish, wish.than, reference, best_one))
    apart = max(COARSE, min(round(100 * APART_PERCENT), rest // APART_PARTS))
    refined: Callable[[Shares], Array] | None = None if isinstance(wish.towards, str) else score
    chosen = spread(found[fits], scores[fits], count, apart, refined, limits, [COARSE, FINE])
    proposals = tuple(_proposal(wish, reference, added, rest) for added in chosen)
    return Searched(
        wish=wish,
        reference=reference,
        proposals=proposals,
        tried=tried,
        step_percent=step / 100,
        words=_words(wish, proposals, tried),
    )


def _hundredths(percent: float, rest: int) -> int:
    return min(rest, math.floor(100 * percent + 1e-6))


def _with_precious(wish: Wish, added: Shares, rest: int) -> Array:
    """Shares in the order of the model's columns, shape (n, columns)."""
    shares = np.zeros((len(added), len(columns())))
    shares[:, columns().index(wish.precious)] = WHOLE - rest
    for place, symbol in enumerate(wish.added):
        shares[:, columns().index(symbol)] = added[:, place]
    return shares


def _score(wish: Wish, reference: Colour | None, shares: Array) -> Array:
    """How far from the wish each mixture is, shape (n,); infinite when it turns the wrong way."""
    seen = faces(shares)
    if wish.towards == "whiter":
        return yellowness_of_lab(seen.lab("c"))
    day = seen.lab()
    if not isinstance(wish.towards, str):
        return delta_e_00(day, np.array(wish.towards))
    if wish.towards == "paler":
        chroma: Array = np.hypot(day[:, 1], day[:, 2])
        return chroma
    sign = 1.0 if wish.towards == "greener" else -1.0
    scores: Array = sign * day[:, 1]
    if reference is None:
        return scores
    # less red with the hue unturned is only paler, and so is less green
    turned = (hue_deg(day) - hue_deg(np.array(reference.lab)) + 180) % 360 - 180
    return np.where((sign * turned > 0) | (scores < 0), scores, np.inf)


def _limit(wish: Wish, reference: Colour | None) -> float:
    """Scores must be below this."""
    if reference is None or not isinstance(wish.towards, str):
        return math.inf
    return _measure(wish, reference, signed=True) - LEAST_GAIN[wish.towards]


def _measure(wish: Wish, seen: Colour, *, signed: bool = False) -> float:
    if wish.towards == "whiter":
        return seen.yellowness
    if wish.towards == "paler":
        return math.hypot(*seen.lab[1:])
    return -seen.lab[1] if signed and wish.towards == "redder" else seen.lab[1]


def _alloy(wish: Wish, added: Shares, rest: int) -> Alloy:
    shares = {wish.precious: (WHOLE - rest) / 100}
    shares |= {s: int(share) / 100 for s, share in zip(wish.added, added, strict=True) if share}
    name = " ".join(f"{symbol} {share:g}" for symbol, share in shares.items())
    return alloy_from_recipe(name, shares)


def _proposal(wish: Wish, reference: Colour | None, added: Shares, rest: int) -> Proposal:
    # the crucible is no matter of those who only look at colours
    from ringgeom.metal.melting import hints

    alloy = _alloy(wish, added, rest)
    seen = colour(alloy)
    target = None if reference is None else reference.lab
    if not isinstance(wish.towards, str):
        target = wish.towards
    return Proposal(
        recipe=alloy.recipe,
        alloy=alloy,
        colour=seen,
        delta_e_00=None
        if target is None
        else float(delta_e_00(np.array(seen.lab), np.array(target))),
        melts=_melts(alloy.recipe),
        hints=hints(alloy.recipe),
        hazards=hazard_faults(alloy.recipe),
    )


def _melts(recipe: Recipe) -> Melts | None:
    """Melting range of the nearest catalogue alloy, if one is near."""
    near: list[tuple[float, float, Alloy]] = []
    for alloy in catalogue():
        symbols = {*recipe.symbols, *alloy.recipe.symbols}
        off = [abs(recipe.percent(s) - alloy.recipe.percent(s)) for s in symbols]
        if alloy.liquidus_c is not None and max(off) <= LIKE_PERCENT + 1e-9:
            near.append((math.fsum(off), alloy.liquidus_c, alloy))
    if not near:
        return None
    _, liquidus, like = min(near, key=lambda found: found[0])
    solidus = like.solidus_c
    low = "liquidus " if solidus is None else f"{solidus:g} to " if solidus < liquidus else ""
    text = f"like {like.name}: {low}{liquidus:g} C"
    return Melts(like=like.name, solidus_c=solidus, liquidus_c=liquidus, text=text)


def _out_of_reach(wish: Wish, than: Alloy, reference: Colour, best: Alloy) -> Problem:
    what = MEASURES[str(wish.towards)]
    return Problem(
        text=f"nothing of {wish.precious} {wish.fineness_permille:g} with "
        f"{' '.join(wish.added)} is {wish.towards} than {than.name} to the eye",
        value=f"{what} {_measure(wish, reference):.1f}",
        allowed="another fineness, other metals or higher limits",
        nearest=f"{best.name} with {what} {_measure(wish, colour(best)):.1f} is the furthest",
    )


def _words(wish: Wish, proposals: tuple[Proposal, ...], tried: int) -> str:
    best = proposals[0]
    if isinstance(wish.towards, str):
        how = f"{MEASURES[wish.towards]} {_measure(wish, best.colour):.1f}"
    else:
        how = f"{best.delta_e_00:.1f} dE00 from the target"
    band = best.colour.trust.band_de00
    said = f"best of {tried} mixtures: {best.recipe.name}, {how}"
    return f"{said}; a prediction is good to {band:g} dE00: make a test button"
