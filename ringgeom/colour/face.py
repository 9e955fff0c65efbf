"""The colour of one alloy's face, polished or brushed; a measured colour wins."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from ringgeom.colour.cie import Array, Illuminant, hex_rgb, linear_rgb, yellowness_of_lab
from ringgeom.colour.difference import hue_deg
from ringgeom.colour.predict import Faces, Finish, columns, faces
from ringgeom.colour.trust import Trust, trust
from ringgeom.metal import Alloy, Recipe


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
    yellowness : float
        Yellowness index (ASTM D1925, illuminant C): the grade of a white metal.
    """

    lab: tuple[float, float, float]
    lab_a: tuple[float, float, float]
    hex: str
    linear_rgb: tuple[float, float, float]
    yellowness: float
    finish: Finish
    trust: Trust

    @property
    def hue_deg(self) -> float:
        """CIELAB hue angle [deg]: 90 is yellow, more is greener."""
        return float(hue_deg(np.array(self.lab)))


@lru_cache(maxsize=512)
def colour(alloy: Alloy, finish: Finish = "polished") -> Colour:
    """Colour of one alloy; a measured Lab wins over a prediction.

    A measured colour is of a polished face under D65: under other lights, and brushed, it
    shifts as the prediction shifts.
    """
    face = _face(alloy.recipe)
    moved = np.zeros(3) if alloy.lab is None else np.array(alloy.lab) - face.lab()
    day, lamp, noon = (moved + face.lab(light, finish) for light in _LIGHTS)
    return Colour(
        lab=_three(day),
        lab_a=_three(lamp),
        hex=hex_rgb(day),
        linear_rgb=_three(linear_rgb(day)),
        yellowness=float(yellowness_of_lab(noon)),
        finish=finish,
        trust=trust(alloy),
    )


_LIGHTS: tuple[Illuminant, ...] = ("d65", "a", "c")


@lru_cache(maxsize=512)
def _face(recipe: Recipe) -> Faces:
    return faces(shares_known(recipe))


def shares_known(recipe: Recipe) -> Array:
    """Mass shares in the order of `columns()`; an unknown metal counts as the nearest known."""
    return np.array([_share(recipe, symbol) for symbol in columns()])


def _share(recipe: Recipe, symbol: str) -> float:
    likened = (s for s, like in LIKE.items() if like == symbol)
    return recipe.percent(symbol) + sum(recipe.percent(other) for other in likened)


LIKE = {
    "Ir": "Pt",
    "Ru": "Pt",
    "Co": "Pt",
    "W": "Pt",
    "Sn": "Cu",
    "Si": "Cu",
    "Ge": "Ag",
} | dict.fromkeys(("In", "Ga", "Mn", "Fe", "Ti", "Cd", "Pb", "Be"), "Ni")
"""What a metal without optics of its own counts as: our judgement, for small shares."""


def _three(values: Array) -> tuple[float, float, float]:
    first, second, third = (float(v) for v in values)
    return first, second, third
