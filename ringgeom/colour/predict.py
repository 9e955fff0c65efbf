"""The colour of an alloy from its recipe, and how far it can be trusted."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Literal

import numpy as np

from ringgeom.colour.cie import (
    Array,
    Illuminant,
    hex_rgb,
    lab,
    lab_of_xyz,
    linear_rgb,
    xyz_of_lab,
    yellowness_index,
)
from ringgeom.colour.optics import reflectance
from ringgeom.facts import table
from ringgeom.metal import Alloy, Recipe, element

Finish = Literal["polished", "brushed"]

MODELLED = ("Au", "Ag", "Cu", "Zn")
WHITENING = 0.145
"""Atomic fraction of a whitener over which a gold's colour falls to 1/e of its distance.

Chosen so that a known palladium white lands where white golds are said to land; an input.
"""

TWICE = 0.2
"""Share of light that a brushed face reflects twice: our own estimate, no measurement found."""

LITTLE_COPPER_PERCENT = 8.0
"""Up to here copper leaves an 18 ct gold-silver greenish; beyond, it is a yellow."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Trust:
    """How far a colour can be trusted: its class, in words, and bands in CIEDE2000."""

    kind: str
    words: str
    band_de00: float
    pair_band_de00: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Colour:
    """A colour of a metal face.

    Attributes
    ----------
    lab, lab_a : tuple of float
        CIELAB under D65 and under illuminant A, 2 degree observer.
    hex : str
        #RRGGBB for a flat swatch.
    linear_rgb : tuple of float
        Linear sRGB, for 3-D scenes.
    yellowness : float or None
        Yellowness index (ASTM D1925), None without a spectrum.
    """

    lab: tuple[float, float, float]
    lab_a: tuple[float, float, float]
    hex: str
    linear_rgb: tuple[float, float, float]
    yellowness: float | None
    finish: Finish
    trust: Trust


def labs(shares: Array, *, illuminant: Illuminant = "d65", finish: Finish = "polished") -> Array:
    """CIELAB of many recipes at once.

    Parameters
    ----------
    shares : Array
        Mass shares of any scale, shape (..., metals) in the order of `columns()`.

    Returns
    -------
    Array
        Shape (..., 3).
    """
    amounts = np.asarray(shares, dtype=float) / _weights()
    total = amounts.sum(axis=-1)
    coloured = amounts[..., : len(MODELLED)]
    noble = coloured[..., :3].sum(axis=-1)
    # a metal without gold, silver or copper has no colour of its own to whiten
    safe = np.where(noble[..., None] > 0, coloured, np.array([0.0, 1.0, 0.0, 0.0]))
    base = lab(_finished(reflectance(*np.moveaxis(safe, -1, 0)), finish), illuminant)
    white = amounts[..., len(MODELLED) :]
    whole = white.sum(axis=-1)
    part = whole / total
    own = np.divide(
        white @ _whites(finish), whole[..., None], out=np.zeros_like(base),
        where=whole[..., None] > 0,
    )  # fmt: skip
    keep = np.where(noble > 0, np.exp(-part / WHITENING), 0.0)[..., None]
    keep = np.where(whole[..., None] > 0, keep, 1.0)
    found: Array = own + (base - own) * keep
    return found


@cache
def columns() -> tuple[str, ...]:
    """Metals that the model knows, in the order of the columns of `labs`."""
    return MODELLED + tuple(row["metal"] for row in table("white_metals"))


@cache
def _weights() -> Array:
    return np.array([element(symbol).atomic_weight for symbol in columns()])


@cache
def _whites(finish: Finish) -> Array:
    values = np.array(
        [[float(row[k]) for k in ("lab_l", "lab_a", "lab_b")] for row in table("white_metals")]
    )
    if finish == "polished":
        return values
    mirror = xyz_of_lab(np.array([100.0, 0.0, 0.0]))
    return lab_of_xyz(_finished(xyz_of_lab(values) / mirror, finish) * mirror)


def _finished(share: Array, finish: Finish) -> Array:
    return share if finish == "polished" else (1 - TWICE) * share + TWICE * share**2


def colour(alloy: Alloy, finish: Finish = "polished") -> Colour:
    """Colour of one alloy; a measured Lab wins over a prediction.

    A measured colour is of a polished face and known under D65 only: it is taken for both
    lights, and a brushed face shifts it as the prediction shifts.
    """
    shares = np.array([_share(alloy.recipe, symbol) for symbol in columns()])
    day = labs(shares, finish=finish)
    lamp = labs(shares, illuminant="a", finish=finish)
    if alloy.lab is not None:
        given = np.array(alloy.lab) + day - labs(shares)
        day, lamp = given, given
    spectrum = shares[len(MODELLED) :].sum() == 0 and alloy.lab is None
    return Colour(
        lab=_three(day),
        lab_a=_three(lamp),
        hex=hex_rgb(day),
        linear_rgb=_three(linear_rgb(day)),
        yellowness=float(_yellowness(shares, finish)) if spectrum else None,
        finish=finish,
        trust=trust(alloy),
    )


def _three(values: Array) -> tuple[float, float, float]:
    first, second, third = (float(v) for v in values)
    return first, second, third


def _share(recipe: Recipe, symbol: str) -> float:
    """Share of a metal; what the model does not know counts as the nearest it does know."""
    if symbol == "Pt":
        return sum(recipe.percent(s) for s in ("Pt", "Ir", "Ru", "Co", "W"))
    if symbol == "Cu":
        return recipe.percent("Cu") + recipe.percent("Sn") + recipe.percent("Si")
    if symbol == "Ag":
        return recipe.percent("Ag") + recipe.percent("Ge")
    return recipe.percent(symbol)


def _yellowness(shares: Array, finish: Finish) -> Array:
    amounts = shares[: len(MODELLED)] / _weights()[: len(MODELLED)]
    return yellowness_index(_finished(reflectance(*amounts), finish))


def trust(alloy: Alloy) -> Trust:
    """How far the colour of an alloy can be trusted."""
    kinds = {row["class"]: row for row in table("colour_trust")}
    row = kinds[_kind(alloy)]
    return Trust(
        kind=row["class"],
        words=row["words"],
        band_de00=float(row["band_de00"]),
        pair_band_de00=float(row["pair_band_de00"]),
    )


def _kind(alloy: Alloy) -> str:
    recipe = alloy.recipe
    metals = {symbol for symbol, share in recipe.shares if share > 0}
    if alloy.lab is not None:
        return "measured"
    if not metals <= set(MODELLED):
        return "white"
    if metals <= {"Au", "Ag"}:
        return "gold-silver"
    if "Au" not in metals:
        return "silver-copper" if recipe.percent("Ag") >= 50 else "brass"
    return "green" if recipe.percent("Cu") <= LITTLE_COPPER_PERCENT else "yellow-red"
