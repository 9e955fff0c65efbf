"""`[melt]` and `[marks]`: how melts are put together, and where the ring is marked."""

from __future__ import annotations

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from ringgeom.asked import Asked, told
from ringgeom.errors import Problem
from ringgeom.metal import elements, nearest_symbol
from ringgeom.shop.lot import Flag

Permille = Annotated[float, Field(ge=0, le=100)]
Aim = Literal["least new gold", "least cost", "use up"]


class MeltSettings(Asked):
    """How a melt is put together from the lots.

    The fineness is a minimum: `margin_permille` is added to the recipe's own, with
    `hold_worst_case` as much more as the balance and the lots' uncertainty can take away, and
    `fineness_over_permille` is how far above that a melt may end. Every other metal of the
    recipe may be off by `tolerance_permille`, or its own figure in `tolerance`; a metal that
    the recipe does not have may be in it up to `stray_permille`. At most `remelt_percent` of a
    charge was melted before. `zinc_fume_percent` of all zinc is lost as fume and topped up.
    Fine metals in `buy` may be bought; without any lot, all may.
    """

    aim: Aim = "least new gold"
    use_up: str = ""
    margin_permille: Permille = 0.0
    hold_worst_case: bool = True
    fineness_over_permille: Permille = 3.0
    tolerance_permille: Permille = 5.0
    tolerance: dict[str, Permille] = Field(default_factory=dict)
    stray_permille: Permille = 2.0
    remelt_percent: Annotated[float, Field(ge=0, le=100)] = 50.0
    balance_g: Annotated[float, Field(ge=0.0001, le=1)] = 0.01
    zinc_fume_percent: Annotated[float, Field(ge=0, lt=50)] = 5.0
    buy: Annotated[tuple[str, ...], Field(strict=False)] = ()
    allow: Annotated[tuple[Flag, ...], Field(strict=False)] = ()

    @model_validator(mode="after")
    def _known_metals(self) -> Self:
        for where, symbols in (("buy", self.buy), ("tolerance", tuple(self.tolerance))):
            for symbol in symbols:
                if symbol not in elements():
                    raise told(
                        Problem(
                            text="not the symbol of a known metal",
                            value=symbol,
                            allowed=" ".join(elements()),
                            nearest=nearest_symbol(symbol) or "",
                        ),
                        at=(where,),
                    )
        if self.aim == "use up" and not self.use_up:
            raise told(Problem(text='aim "use up" needs the name of a lot in use_up'), at=("aim",))
        return self


class Marking(Asked):
    """Where the ring is marked; without a region, all of them are shown."""

    region: Literal["uk", "us", "convention", "iso"] | None = None
