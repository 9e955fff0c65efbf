"""The alloys that a design asks for, with what the shop has measured of them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from ringgeom.design import Design
from ringgeom.form.places import AnyPlace, Segments
from ringgeom.metal import Alloy
from ringgeom.metal.asked import RecipeAsked, alloy_asked
from ringgeom.shop import Shop

Keys = tuple[str | int, ...]


def alloys_asked(design: Design) -> Iterator[tuple[Keys, str | RecipeAsked]]:
    """Every alloy that a design asks for, with its key in the file."""
    if design.body is not None:
        yield ("body", "alloy"), design.body.alloy
    for number, place in enumerate(design.parts):
        for which, one in _of_place(place):
            yield ("part", number, *which), one


def _of_place(place: AnyPlace) -> Iterator[tuple[Keys, str | RecipeAsked]]:
    if isinstance(place, Segments):
        for number, one in enumerate(place.alloys):
            yield ("alloys", number), one
    else:
        yield ("alloy",), place.alloy


def alloy_in_shop(asked: str | RecipeAsked, shop: Shop) -> Alloy:
    """The alloy asked for; what the shop has measured of it wins."""
    alloy = alloy_asked(asked)
    measured = shop.measured.get(alloy.name)
    if measured is None:
        return alloy
    if measured.lab is not None:
        alloy = replace(alloy, lab=measured.lab)
    if measured.density_g_cm3 is None:
        return alloy
    return replace(
        alloy,
        density_g_cm3=measured.density_g_cm3,
        density_uncertainty_g_cm3=measured.uncertainty_g_cm3,
        density_from="measured",
        density_basis="measured by the shop",
    )
