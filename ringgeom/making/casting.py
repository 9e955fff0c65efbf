"""Metal to melt for one alloy, in one flask: parts, sprue, button and loss.

    melt = (parts + sprue + button) / (1 - loss)
    melt = finished + filings + returns + loss,     returns = sprue + button

The scaled pattern is never weighed: it shrinks back to the casting.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from ringgeom.shop import Casting as CastingSettings
from ringgeom.units import Amount, mass_g


@dataclass(frozen=True, slots=True, kw_only=True)
class Flask:
    """What is poured of one alloy. All masses in g.

    `button_by` says which rule made the button: percent or floor.
    """

    parts_g: float
    finished_g: float
    sprue_g: float
    button_g: float
    button_by: str
    loss_g: float

    @property
    def melt_g(self) -> float:
        """To melt."""
        return self.parts_g + self.sprue_g + self.button_g + self.loss_g

    @property
    def returns_g(self) -> float:
        """Comes back clean: sprue and button."""
        return self.sprue_g + self.button_g

    @property
    def filings_g(self) -> float:
        """Filed and polished off the castings: mixed, comes back as lemel."""
        return self.parts_g - self.finished_g

    @property
    def yield_percent(self) -> float:
        """Castings as a share of what is poured."""
        return 100 * self.parts_g / (self.parts_g + self.sprue_g + self.button_g)

    @property
    def recovery_percent(self) -> float:
        """Castings, sprue and button as a share of what is melted: the rest is lost."""
        return 100 * (self.parts_g + self.returns_g) / self.melt_g


def flask(
    *,
    cast_mm3: Sequence[float],
    finished_mm3: Sequence[float],
    sprue_mm3: Sequence[float],
    density_g_cm3: float,
    settings: CastingSettings,
) -> Flask:
    """The flask of one alloy; the button is taken once, never per part.

    Source
    ------
    Button max(50 % of the castings, 6 g) and 1 % loss by default: common practice, no source.

    Examples
    --------
    Three waxes cast in metal of 10.36 g/cm3 with a button of half a troy ounce, taken once:

    >>> settings = CastingSettings(button_percent=0, button_min_g=15.55, melt_loss_percent=0)
    >>> volume = 5000.0
    >>> round(flask(cast_mm3=[volume] * 3, finished_mm3=[volume] * 3, sprue_mm3=[],
    ...             density_g_cm3=10.36, settings=settings).melt_g, 2)
    170.95
    """
    parts = mass_g(sum(cast_mm3), density_g_cm3)
    sprue = mass_g(sum(sprue_mm3), density_g_cm3)
    by_percent, button = buttons_g(parts, settings)
    return Flask(
        parts_g=parts,
        finished_g=mass_g(sum(finished_mm3), density_g_cm3),
        sprue_g=sprue,
        button_g=button,
        button_by="percent" if by_percent >= settings.button_min_g else "floor",
        loss_g=lost_g(parts + sprue + button, settings),
    )


def buttons_g(parts_g: Amount, settings: CastingSettings) -> tuple[Amount, Amount]:
    """The button by its share of the castings, and as it is poured: no less than the floor [g]."""
    by_percent = parts_g * settings.button_percent / 100
    button: Amount = np.maximum(by_percent, settings.button_min_g)
    return by_percent, button


def lost_g(poured_g: Amount, settings: CastingSettings) -> Amount:
    """What the melt loses, of what is to be poured [g]."""
    loss = settings.melt_loss_percent / 100
    return poured_g * loss / (1 - loss)
