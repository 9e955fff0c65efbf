"""A design drawn anew for another width and thickness, by its own rules.

Fixed: every place keeps its mm. Share: what lies along the axis keeps its share of the width,
what lies along the radius its share of the thickness. Either way a boundary on the band's edge
stays on it, a channel as wide as the band stays as wide, and what is of the tool or the fit
(gaps, seams, undercuts, rounded edges, counts, slants) stays as it is.
"""

from __future__ import annotations

from typing import Any, Literal

from pydantic import ValidationError

from ringgeom.design import Design
from ringgeom.errors import InputError
from ringgeom.form.places import Share
from ringgeom.refusing import refusals

Places = Literal["fixed", "share"]
"""Whether places keep their mm, or their share of the band."""


def redrawn(design: Design, *, width_mm: float, thickness_mm: float, places: Places) -> Design:
    """The design at another width and thickness.

    Raises
    ------
    InputError
        It is no design any more: a stripe ends before it begins, a width is out of range.
    """
    ring = design.ring
    if (width_mm, thickness_mm) == (ring.width_mm, ring.thickness_mm):
        return design
    shares = (1.0, 1.0)
    if places == "share":
        shares = width_mm / ring.width_mm, thickness_mm / ring.thickness_mm
    data = design.model_dump(by_alias=True)
    data["ring"] |= {"width_mm": width_mm, "thickness_mm": thickness_mm}
    for station in data["ring"]["taper"]:
        # a band tapers to a share of itself
        _scale(station, "width_mm", width_mm / ring.width_mm)
        _scale(station, "thickness_mm", thickness_mm / ring.thickness_mm)
    for face, form in (("outside", ring.outside), ("inside", ring.inside)):
        data["ring"][face] = form.shared(*shares).model_dump()
    if data["body"] is not None:
        _scale(data["body"], "proud_mm", shares[1])
    for engraving in data["engraving"]:
        _scale(engraving, "centre_mm", shares[0])
        if engraving["kind"] == "pattern":
            _scale(engraving, "width_mm", shares[0])
    by = Share(before_mm=ring.width_mm / 2, half_mm=width_mm / 2, axis=shares[0], radius=shares[1])
    data["part"] = [place.shared(by).model_dump(by_alias=True) for place in design.parts]
    try:
        found = Design.model_validate(data)
    except ValidationError as error:
        raise InputError(refusals(error, Design, data, "")) from None
    return found.files_of(design)


def _scale(table: dict[str, Any], key: str, share: float) -> None:
    if table.get(key) is not None and share != 1.0:
        table[key] *= share
