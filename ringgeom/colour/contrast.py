"""Whether two metals side by side are told apart: CIEDE2000, its band, a plain verdict."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from ringgeom.colour.difference import delta_e_00
from ringgeom.colour.face import Colour

BLEND_DE00, TWO_COLOURS_DE00 = 2.0, 5.0
"""Below the first two metals blend, above the second they read as two; ladders in print agree."""

WILL_BLEND, VISIBLE, TWO_COLOURS = "will blend", "visible side by side", "reads as two colours"
"""The verdicts in words."""

GREEN_A, GREENER_DEG = -2.0, 8.0
"""A metal reads green with a* below the first and a hue this much greener: our judgement."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Contrast:
    """Two colours that meet.

    Attributes
    ----------
    delta_e_00_d65, delta_e_00_a : float
        CIEDE2000 in daylight and under an incandescent lamp.
    band : float
        How far the difference may be off, either way.
    verdict : str
        In daylight: ``will blend``, ``visible side by side`` or ``reads as two colours``.
    uncertain : bool
        Whether a limit lies within the band: make a test button.
    reads_green : int or None
        Which of the two reads green beside the other, 0 or 1.
    """

    delta_e_00_d65: float
    delta_e_00_a: float
    band: float
    verdict: str
    uncertain: bool
    reads_green: int | None


@lru_cache(maxsize=4096)
def contrast(first: Colour, second: Colour) -> Contrast:
    """How two colours compare.

    Source
    ------
    CIEDE2000 (Sharma, Wu and Dalal 2005); the limits are rules of thumb that agree in print.
    """
    day = float(delta_e_00(np.array(first.lab), np.array(second.lab)))
    lamp = float(delta_e_00(np.array(first.lab_a), np.array(second.lab_a)))
    band = max(first.trust.pair_band_de00, second.trust.pair_band_de00)
    return Contrast(
        delta_e_00_d65=day,
        delta_e_00_a=lamp,
        band=band,
        verdict=verdict(day),
        uncertain=any(abs(day - limit) < band for limit in (BLEND_DE00, TWO_COLOURS_DE00)),
        reads_green=_green(first, second),
    )


def verdict(delta_e_00_d65: float) -> str:
    """A difference in words.

    Examples
    --------
    >>> [verdict(d) for d in (1.7, 4.6, 7.1)]
    ['will blend', 'visible side by side', 'reads as two colours']
    """
    if delta_e_00_d65 < BLEND_DE00:
        return WILL_BLEND
    if delta_e_00_d65 <= TWO_COLOURS_DE00:
        return VISIBLE
    return TWO_COLOURS


def _green(first: Colour, second: Colour) -> int | None:
    hues = [first.hue_deg, second.hue_deg]
    for mine, other in ((0, 1), (1, 0)):
        greener = (hues[mine] - hues[other] + 180) % 360 - 180
        if (first, second)[mine].lab[1] < GREEN_A and greener >= GREENER_DEG:
            return mine
    return None
