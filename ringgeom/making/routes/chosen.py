"""Which route the bench takes: the one that is asked for, else the first that works."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ringgeom.form.places import AnyPlace
from ringgeom.making.routes.route import Route


@dataclass(frozen=True, slots=True, kw_only=True)
class Chosen:
    """A part's route; `asked` says whether the design asks for it."""

    route: Route
    asked: bool

    @property
    def how(self) -> str:
        """Why it is this one, in words."""
        return "as chosen" if self.asked else "the first way that works"


def chosen_routes(routes: Sequence[Route], places: Sequence[AnyPlace]) -> dict[str, Chosen]:
    """For every part that some route puts in, the route to take.

    Parameters
    ----------
    places : sequence of places
        Of the design, with the route that each asks for.
    """
    wanted = {place.name: place.route for place in places}
    found: dict[str, Chosen] = {}
    for one in routes:
        asked = one.name == wanted.get(one.part)
        if one.works and (one.part not in found or asked):
            found[one.part] = Chosen(route=one, asked=asked)
    return found
