"""A design as it is made: a body in two where an inlay is set between its halves."""

from __future__ import annotations

from collections.abc import Sequence

from ringgeom.design import Design
from ringgeom.form.places import AnyPlace, Band, Channel, Gap, Stripe
from ringgeom.form.ring import Ring

HALF = "body 2"
"""Name of the half at larger z."""


def why_not_split(design: Design) -> str:
    """Why the body of a design cannot be made in two under an inlay; empty when it can."""
    if design.body is None:
        return "there is no body"
    if design.body.proud_mm:
        return "the body is proud or recessed: its halves would not be"
    if any(place.place in ("stripe", "edges") for place in design.parts):
        return "the body shares the ring's width with others already"
    if sum(place.route == "split body" for place in design.parts) > 1:
        return "one body is split under one inlay only"
    return ""


def as_made(design: Design) -> Design:
    """The design with a further part where its body is split.

    A channel with `route = "split body"` parts the body in the plane of its middle: the half at
    larger z becomes a part of its own, joined with the place's `seam_mm`, taken once.
    """
    split = [p for p in design.parts if isinstance(p, Channel) and p.route == "split body"]
    if design.body is None or not split or why_not_split(design):
        return design
    (place,) = split
    half = Stripe(
        name=HALF,
        place="stripe",
        alloy=design.body.alloy,
        finish=design.body.finish,
        from_mm=place.centre_mm,
        to_mm=design.ring.width_mm / 2,
        gap_mm=Gap(side=place.seam_mm),
    )
    return design.model_copy(update={"parts": (*design.parts, half)})


def placed_places(design: Design, band: Band) -> tuple[AnyPlace, ...]:
    """For every claim of a design's ring as it is made, the place that made it."""
    return tuple(place for place in as_made(design).parts for _ in place.placed(band))


def claim_names(ring: Ring, places: Sequence[AnyPlace]) -> tuple[str, ...]:
    """For every claim of a ring, its part's name; where it makes several parts, its place's."""
    return tuple(
        placed.names[0] if len(placed.names) == 1 else place.name
        for placed, place in zip(ring.placed, places, strict=True)
    )
