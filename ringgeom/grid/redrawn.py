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
from ringgeom.refusing import refusals

Places = Literal["fixed", "share"]
"""Whether places keep their mm, or their share of the band."""

ALONG_AXIS = ("width_mm", "centre_mm", "from_mm", "to_mm")
ALONG_RADIUS = ("depth_mm", "thickness_mm")

SAME_MM = 1e-9
"""A boundary this near to the band's edge lies on it."""


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
    for face, form in (("outside", ring.outside), ("inside", ring.inside)):
        data["ring"][face] = form.shared(*shares).model_dump()
    if data["body"] is not None:
        _scale(data["body"], "proud_mm", shares[1])
    for engraving in data["engraving"]:
        _scale(engraving, "centre_mm", shares[0])
        if engraving["kind"] == "pattern":
            _scale(engraving, "width_mm", shares[0])
    for place in data["part"]:
        _redraw(place, ring.width_mm / 2, width_mm / 2, *shares)
    try:
        found = Design.model_validate(data)
    except ValidationError as error:
        raise InputError(refusals(error, Design, data, "")) from None
    return found.files_of(design)


def _scale(table: dict[str, Any], key: str, share: float) -> None:
    if table.get(key) is not None and share != 1.0:
        table[key] *= share


def _redraw(place: dict[str, Any], before: float, half: float, axis: float, radius: float) -> None:
    """One place, from a band `before` to one `half` wide on either side of mid-width."""
    on_edge = {key: _edge(place[key], before) for key in ("from_mm", "to_mm") if key in place}
    walls = _walls(place, before) if place["place"] == "channel" else (0, 0)
    for key in ALONG_AXIS:
        _scale(place, key, axis)
    for key in ALONG_RADIUS:
        _scale(place, key, radius)
    if place.get("wave") is not None:
        _scale(place["wave"], "amplitude_mm", axis)
    for key, side in on_edge.items():
        if side:
            place[key] = side * half
    if walls == (-1, 1):
        place |= {"width_mm": 2 * half, "centre_mm": 0.0}
    elif any(walls):
        place["centre_mm"] = sum(walls) * (half - place["width_mm"] / 2)


def _edge(at_mm: float, half_mm: float) -> int:
    """-1 or 1 for a position on the band's left or right edge, else 0."""
    if abs(abs(at_mm) - half_mm) >= SAME_MM:
        return 0
    return 1 if at_mm > 0 else -1


def _walls(channel: dict[str, Any], half_mm: float) -> tuple[int, int]:
    """The two walls of a channel: -1 where the left, 1 where the right lies on the band's edge."""
    centre, reach = channel["centre_mm"], channel["width_mm"] / 2
    return min(0, _edge(centre - reach, half_mm)), max(0, _edge(centre + reach, half_mm))
