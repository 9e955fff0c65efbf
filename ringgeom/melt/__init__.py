"""Melts: what to weigh out of the stock so that every melt hits its fineness."""

from __future__ import annotations

from ringgeom.melt.melt import Melt, Missing, Take
from ringgeom.melt.plan import Left, MeltPlan, melt_plan
from ringgeom.melt.source import KeptOut, Source
from ringgeom.melt.wanted import Wanted, Window, wanted_grams, windows

__all__ = [
    "KeptOut",
    "Left",
    "Melt",
    "MeltPlan",
    "Missing",
    "Source",
    "Take",
    "Wanted",
    "Window",
    "melt_plan",
    "wanted_grams",
    "windows",
]
