"""Colour: a recipe's reflectance, its CIE colour, and whether two metals are told apart."""

from __future__ import annotations

from ringgeom.colour.contrast import Contrast, contrast, verdict
from ringgeom.colour.difference import delta_e_00, hue_deg
from ringgeom.colour.predict import Colour, Trust, colour, columns, labs, trust

__all__ = [
    "Colour",
    "Contrast",
    "Trust",
    "colour",
    "columns",
    "contrast",
    "delta_e_00",
    "hue_deg",
    "labs",
    "trust",
    "verdict",
]
