"""A piece weighed in air and in water: its density, its share of gold, its porosity, together."""

from __future__ import annotations

from dataclasses import dataclass

from ringgeom.errors import InputError, Problem, RecipeError
from ringgeom.metal.alloy import Alloy
from ringgeom.metal.gold_share import Share, gold_share
from ringgeom.metal.immersion import Immersion, weighed_in_water, weighed_with_volume
from ringgeom.metal.porosity import Porosity, porosity


@dataclass(frozen=True, slots=True, kw_only=True)
class Assayed:
    """What weighing tells of a piece.

    `share` is None where no mixture of the two metals has the density; `not_shared` says why.
    `porosity` is None where nothing was expected.
    """

    immersion: Immersion
    share: Share | None
    not_shared: str
    porosity: Porosity | None

    @property
    def limits(self) -> tuple[str, ...]:
        """Everything that the result cannot tell, each sentence once."""
        told = (self.immersion, self.share, self.porosity)
        return tuple(dict.fromkeys(said for one in told if one for said in one.limits))


def assayed(
    *,
    air_g: float,
    water_g: float | None,
    volume_cm3: float | None,
    volume_step_cm3: float,
    temperature_c: float,
    balance_g: float,
    metals: str,
    expected: Alloy | None,
) -> Assayed:
    """A piece weighed in water, or measured by the water that it displaces.

    Parameters
    ----------
    metals : str
        Symbols of the heavy and the light metal, such as ``Au Ag``.
    expected : Alloy or None
        What it ought to be, for its porosity.

    Raises
    ------
    InputError
        Readings that cannot be, or not two metals.
    """
    two = metals.replace(",", " ").split()
    if len(two) != 2:
        raise InputError(
            Problem(
                text="the share is that of two metals",
                value=metals,
                allowed="a heavy and a light metal, such as Au Ag or Au Cu",
            )
        )
    if volume_cm3 is not None:
        weighed = weighed_with_volume(
            air_g, volume_cm3, volume_step_cm3=volume_step_cm3, balance_g=balance_g
        )
    else:
        weighed = weighed_in_water(
            air_g, water_g or 0.0, temperature_c=temperature_c, balance_g=balance_g
        )
    share, not_shared = None, ""
    try:
        share = gold_share(weighed.density_g_cm3, weighed.band_g_cm3, two[0], two[1])
    except RecipeError:
        raise
    except InputError as error:
        not_shared = str(error)
    return Assayed(
        immersion=weighed,
        share=share,
        not_shared=not_shared,
        porosity=porosity(weighed.density_g_cm3, weighed.band_g_cm3, expected)
        if expected
        else None,
    )
