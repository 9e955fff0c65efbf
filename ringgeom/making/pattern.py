"""The pattern: how much larger it is made so that the casting comes out right.

k = 1 / ((1 - shrink of the metal) (1 - shrink of the pattern)), applied once, bore too.
"""

from __future__ import annotations

from dataclasses import dataclass

from ringgeom.metal import Alloy
from ringgeom.shop import ShrinkSettings

USUAL_SHRINK_PERCENT = 1.25
"""Common practice, range 1.0 to 2.0; one measured bore 1.26."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PatternScale:
    """Scale of a pattern, and the two shrinks it makes up for [percent].

    `known` is False when the shop has no figure for this metal and the usual one was taken.
    """

    scale: float
    cast_percent: float
    pattern_percent: float
    known: bool


def pattern_scale(alloy: Alloy, shrink: ShrinkSettings) -> PatternScale:
    """Scale of the pattern of one alloy.

    Examples
    --------
    >>> from ringgeom.metal import alloy_by_name
    >>> settings = ShrinkSettings(pattern_percent=0.5)
    >>> round(pattern_scale(alloy_by_name("silver-925"), settings).scale, 5)
    1.01775
    """
    cast = shrink.percent(alloy=alloy.name, metal=alloy.recipe.precious)
    used = USUAL_SHRINK_PERCENT if cast is None else cast
    pattern = shrink.pattern_percent
    return PatternScale(
        scale=1 / ((1 - used / 100) * (1 - pattern / 100)),
        cast_percent=used,
        pattern_percent=pattern,
        known=cast is not None,
    )
