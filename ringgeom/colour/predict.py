"""CIELAB of many recipes at once, under any light, polished or brushed.

Gold, silver, copper and zinc have a spectrum; the metals that whiten gold draw its colour
towards their own, exponentially with their atomic fraction.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Literal

import numpy as np

from ringgeom.colour.cie import Array, Illuminant, lab, lab_of_xyz, xyz_of_lab
from ringgeom.colour.optics import reflectance
from ringgeom.facts import table
from ringgeom.metal import element

Finish = Literal["polished", "brushed"]

MODELLED = ("Au", "Ag", "Cu", "Zn")
WHITENING = 0.145
"""Atomic fraction of a whitener over which a gold's colour falls to 1/e of its distance.

Chosen so that a known palladium white lands where white golds are said to land; an input.
"""

TWICE = 0.2
"""Share of light that a brushed face reflects twice: our own estimate, no measurement found."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Faces:
    """Metal faces before light falls on them.

    Attributes
    ----------
    spectra : Array
        Reflectance of the coloured metals, polished, shape (..., 81).
    whites : Array
        Each whitening metal's part of all whiteners, shape (..., whites).
    keep : Array
        How much of the coloured metals' colour is left, shape (...).
    """

    spectra: Array
    whites: Array
    keep: Array

    def lab(self, illuminant: Illuminant = "d65", finish: Finish = "polished") -> Array:
        """CIELAB, shape (..., 3)."""
        base = lab(_finished(self.spectra, finish), illuminant)
        own = self.whites @ _white_labs(illuminant, finish)
        found: Array = own + (base - own) * self.keep[..., None]
        return found


def faces(shares: Array) -> Faces:
    """Faces of recipes; shares as in `labs`. Ask it for several lights: the optics are done."""
    amounts = np.asarray(shares, dtype=float) / _weights()
    total = amounts.sum(axis=-1)
    coloured = amounts[..., : len(MODELLED)]
    noble = coloured[..., :3].sum(axis=-1)
    # a metal without gold, silver or copper has no colour of its own to whiten
    safe = np.where(noble[..., None] > 0, coloured, np.array([0.0, 1.0, 0.0, 0.0]))
    white = amounts[..., len(MODELLED) :]
    whole = white.sum(axis=-1)
    keep = np.where(noble > 0, np.exp(-whole / total / WHITENING), 0.0)
    return Faces(
        spectra=reflectance(*np.moveaxis(safe, -1, 0)),
        whites=np.divide(
            white, whole[..., None], out=np.zeros_like(white), where=whole[..., None] > 0
        ),
        keep=np.where(whole > 0, keep, 1.0),
    )


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
    return faces(shares).lab(illuminant, finish)


@cache
def columns() -> tuple[str, ...]:
    """Metals that the model knows, in the order of the columns of `labs`."""
    return MODELLED + tuple(row["metal"] for row in table("white_metals"))


@cache
def _weights() -> Array:
    return np.array([element(symbol).atomic_weight for symbol in columns()])


@cache
def _white_labs(illuminant: Illuminant, finish: Finish) -> Array:
    values = np.array(
        [[float(row[f"{illuminant}_{k}"]) for k in "lab"] for row in table("white_metals")]
    )
    if finish == "polished":
        return values
    mirror = xyz_of_lab(np.array([100.0, 0.0, 0.0]), illuminant)
    share = _finished(xyz_of_lab(values, illuminant) / mirror, finish)
    return lab_of_xyz(share * mirror, illuminant)


def _finished(share: Array, finish: Finish) -> Array:
    return share if finish == "polished" else (1 - TWICE) * share + TWICE * share**2
