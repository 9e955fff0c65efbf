"""Colour: a recipe's reflectance, its CIE colour, and whether two metals are told apart."""

from __future__ import annotations

from ringgeom.colour.contrast import Contrast, contrast, verdict
from ringgeom.colour.difference import delta_e_00, hue_deg
from ringgeom.colour.face import Colour, colour, shares_known
from ringgeom.colour.predict import columns, faces, labs
from ringgeom.colour.trust import Trust, trust

__all__ = [
    "Colour",
    "Contrast",
    "Trust",
    "colour",
    "columns",
    "contrast",
    "delta_e_00",
    "faces",
    "hue_deg",
    "labs",
    "shares_known",
    "trust",
    "verdict",
]
