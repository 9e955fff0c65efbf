"""How the waxes of one alloy stand in one flask: on the button itself, or on a stem.

   (o)  (o)              |            wall
wax  \\__//            (o)-|-(o)        |  apart
      ||   button     (o)-|-(o)        |
    __\\/__             __|__  stem
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, hypot, pi

import numpy as np

from ringgeom.form.curve import Array, Whole
from ringgeom.making.sprue import Sprue
from ringgeom.shop import Casting

CONE_MM = 10.0
"""Height that the button takes at the foot of a flask; common practice, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Hanging:
    """One wax with its sprue: how far it reaches beyond the sprue, and its two other measures [mm].

    `along_mm` lies along the stem, `across_mm` round it.
    """

    sprue: Sprue
    reach_mm: float
    along_mm: float
    across_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Tree:
    """The waxes of one flask.

    Attributes
    ----------
    waxes : int
        On it.
    tiers, per_tier : int
        Of the stem; 0 and 0 where all stand on the button.
    stem_mm, stem_length_mm, stem_mm3 : float
        Thickness, length and volume of the stem; 0 without one.
    flask_across_mm, flask_height_mm : float
        Smallest inside of a flask that leaves investment round them.
    """

    waxes: int
    tiers: int
    per_tier: int
    stem_mm: float
    stem_length_mm: float
    flask_across_mm: float
    flask_height_mm: float

    @property
    def stem_mm3(self) -> float:
        """Metal of the stem [mm^3]."""
        return pi / 4 * self.stem_mm**2 * self.stem_length_mm


def tree(waxes: Sequence[Hanging], settings: Casting) -> Tree:
    """The waxes of one alloy set up for one flask.

    Parameters
    ----------
    waxes : sequence of Hanging
        One or more.

    Source
    ------
    12.7 mm to the flask's wall: read. A stem no thinner than its thickest sprue, so that it
    does not freeze before it; waxes round it as they fit: common practice, no source.
    """
    apart, wall = settings.wax_apart_mm, settings.flask_wall_mm
    length = max(one.sprue.length_mm for one in waxes)
    reach = max(one.reach_mm for one in waxes)
    along = max(one.along_mm for one in waxes)
    across = max(one.across_mm for one in waxes)
    if len(waxes) <= settings.base_waxes:
        return Tree(
            waxes=len(waxes),
            tiers=0,
            per_tier=0,
            stem_mm=0.0,
            stem_length_mm=0.0,
            flask_across_mm=_standing_mm(len(waxes), across, along, apart) + 2 * wall,
            flask_height_mm=CONE_MM + length + reach + wall,
        )
    found = stems(
        len(waxes),
        settings,
        thickest_mm=np.array([max(one.sprue.diameter_mm for one in waxes)]),
        length_mm=length,
        along_mm=np.array([along]),
        across_mm=across,
    )
    stem, stem_length = float(found.thick_mm[0]), float(found.length_mm[0])
    return Tree(
        waxes=len(waxes),
        tiers=int(found.tiers[0]),
        per_tier=int(found.per_tier[0]),
        stem_mm=stem,
        stem_length_mm=stem_length,
        flask_across_mm=2 * (stem / 2 + length + reach + wall),
        flask_height_mm=CONE_MM + stem_length + wall,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Stems:
    """The stems of like trees at several finger sizes; arrays of shape (sizes,)."""

    thick_mm: Array
    length_mm: Array
    tiers: Whole
    per_tier: Whole

    @property
    def volume_mm3(self) -> Array:
        """Metal of every stem [mm^3]."""
        found: Array = pi / 4 * self.thick_mm**2 * self.length_mm
        return found


def stems(
    waxes: int,
    settings: Casting,
    *,
    thickest_mm: Array,
    length_mm: float,
    along_mm: Array,
    across_mm: float,
) -> Stems:
    """The stem that holds so many waxes, at several finger sizes.

    Parameters
    ----------
    thickest_mm : Array
        Of the thickest sprue, at each size.
    length_mm : float
        Of the longest sprue.
    along_mm : Array
        Of the longest wax along the stem, at each size.
    across_mm : float
        Of the widest wax round the stem.
    """
    thick = np.maximum(settings.stem_mm, thickest_mm)
    around = 2 * pi * (thick / 2 + length_mm)
    per_tier = np.floor(around / (across_mm + settings.wax_apart_mm)).astype(np.intp)
    per_tier = np.minimum(np.maximum(per_tier, 1), waxes)
    tiers = -(-waxes // per_tier)
    return Stems(
        thick_mm=thick,
        length_mm=tiers * (along_mm + settings.wax_apart_mm),
        tiers=tiers,
        per_tier=per_tier,
    )


def _standing_mm(count: int, across: float, along: float, apart: float) -> float:
    """Diameter that holds waxes standing side by side in rows, as few or as many as fit best."""
    found = []
    for rows in range(1, count + 1):
        in_row = ceil(count / rows)
        wide = in_row * (across + apart) - apart
        found.append(hypot(wide, rows * (along + apart) - apart))
    return min(found)
