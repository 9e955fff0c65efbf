"""The alloys of a grid's choices: each read once, for the parts and for the rules."""

from __future__ import annotations

from dataclasses import dataclass, field

from ringgeom.design import Design
from ringgeom.findings import Laid
from ringgeom.grid.asked import Choice
from ringgeom.grid.roles import AlloyChoice, Role, role_of, roles, swapped
from ringgeom.making.alloys import alloy_in_shop, alloys_asked
from ringgeom.making.as_made import as_made
from ringgeom.metal import Alloy
from ringgeom.shop import Shop

Keys = tuple[str | int, ...]
KeyedAlloys = tuple[tuple[Keys, Alloy], ...]
"""Every alloy with its key in the design file."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Choices:
    """What the choices of alloys of one design mean.

    Attributes
    ----------
    asked : tuple of Role
        The roles that a choice names an alloy for.
    made : tuple of Role
        The roles of the ring as it is made: where a body is split, its half is one of its own.
    """

    design: Design
    shop: Shop
    asked: tuple[Role, ...]
    made: tuple[Role, ...]
    _read: dict[AlloyChoice, Alloy] = field(default_factory=dict, repr=False)

    def alloys(self, choice: Choice) -> tuple[Alloy, ...]:
        """The alloy of every role of the ring as it is made."""
        given = dict(zip(self.asked, choice, strict=True))
        # the half of a split body is of the body's alloy
        return tuple(self._alloy(given.get(role, choice[-1])) for role in self.made)

    def keyed(self, choice: Choice) -> KeyedAlloys:
        """Every alloy with its key in the design file."""
        design = self.swapped(self.design, choice)
        return tuple((key, self._alloy(asked)) for key, asked in alloys_asked(design))

    def swapped(self, design: Design, choice: Choice) -> Design:
        """A section's design in the alloys of a choice."""
        return swapped(design, dict(zip(self.asked, choice, strict=True)))

    def parts_in(self, laid: Laid) -> tuple[int, ...]:
        """For every part of a laid ring, the number of its role as it is made."""
        return tuple(role_of(laid, part, self.made) for part in laid.parts)

    def _alloy(self, asked: AlloyChoice) -> Alloy:
        if asked not in self._read:
            self._read[asked] = alloy_in_shop(asked, self.shop)
        return self._read[asked]


def choices(design: Design, shop: Shop) -> Choices:
    """What the choices of alloys of a design mean."""
    return Choices(design=design, shop=shop, asked=roles(design), made=roles(as_made(design)))
