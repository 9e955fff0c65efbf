"""One section in one choice of alloys: what is poured, and what is found on the alloys."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping
from dataclasses import dataclass, field, replace

import numpy as np

from ringgeom.findings import Laid
from ringgeom.findings.scope import rules_on
from ringgeom.grid.alloyed import alloyed_parts, alloys_found, poured, touching_found
from ringgeom.grid.asked import Choice
from ringgeom.grid.block import Block, Further, Weighed
from ringgeom.grid.choices import Choices, KeyedAlloys
from ringgeom.grid.judged import Found, at_sizes, judged
from ringgeom.grid.section import GridSection, LaidSection
from ringgeom.jobs import laid_of
from ringgeom.metal import Alloy
from ringgeom.sketch import asking_of, formed_of

MOST_KEPT = 20_000
"""Findings on choices of alloys that are kept from one section to the next."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Choosing:
    """Puts sections into alloys; what is found on alloys alone is found once.

    Attributes
    ----------
    further : mapping
        Columns to add, by their name with its unit.
    """

    choices: Choices
    further: Mapping[str, Further]
    _found: dict[Hashable, Found] = field(default_factory=dict, repr=False)
    _touching: dict[Hashable, int] = field(default_factory=dict, repr=False)

    def block(self, first: int, section: GridSection, number: int, choice: Choice) -> Block:
        """The rows of a section in one choice.

        Parameters
        ----------
        first : int
            Number of the first row.
        number : int
            Of the choice.
        """
        alloys = self.choices.alloys(choice)
        metals: list[Found] = [()] * len(section.at_sizes)
        weighed: dict[int, Weighed] = {}
        if section.askings:
            keyed = self.choices.keyed(choice)
            metals = self._metals(section, number, keyed)
            for laid in {id(one.at[0]): one.at[0] for one in section.at_sizes if one.at}.values():
                own = [alloys[role] for role in laid.part_roles]
                weighed[id(laid)] = Weighed(
                    alloys=tuple(own),
                    poured=poured(laid.ring.sized, own, self.choices.shop),
                    found=self._laid(section, laid, own, keyed, number, choice),
                )
        return Block(
            first=first,
            section=section,
            alloys=tuple(alloy.name for alloy in alloys),
            metals=metals,
            weighed=weighed,
            shop=self.choices.shop,
            further=self.further,
        )

    def _metals(self, section: GridSection, number: int, keyed: KeyedAlloys) -> list[Found]:
        """What is found on the alloys before anything is laid out, size by size."""
        rising = section.rising
        any_size = replace(section.askings[rising[0]], alloys=keyed)
        found = self._kept(("metals", number), lambda: alloys_found(any_size))
        found += judged(rules_on("band and alloys", stages=("first", "asked")), any_size)
        whole = at_sizes(
            rules_on("everything", stages=("first", "asked")),
            lambda n: replace(section.askings[rising[n]], alloys=keyed),
            len(rising),
        )
        rows: list[Found] = [()] * len(section.at_sizes)
        for place, row in zip(rising, _joined([found] * len(rising), whole), strict=True):
            rows[place] = row
        return rows

    def _laid(
        self,
        section: GridSection,
        laid: LaidSection,
        own: list[Alloy],
        keyed: KeyedAlloys,
        number: int,
        choice: Choice,
    ) -> list[Found]:
        """What is found on the alloys of a laid section, size by size."""
        ring, shop = laid.ring, self.choices.shop
        shaped, count = ring.sized.shaped.laid, len(ring.sized.askings)
        # of two parts a mark may name the lighter
        masses = ring.sized.volume_mm3[:, 0] * [alloy.density_g_cm3 for alloy in own]
        touch = self._touching.setdefault(laid.touch, len(self._touching))
        key = touch, number, tuple(np.argsort(masses).tolist())
        asking = replace(shaped.asking, alloys=keyed)
        found = [self._kept(key, lambda: touching_found(shaped, asking, own))] * count
        if ring.chosen:
            parts = alloyed_parts(shaped, own, shop)
            routes = rules_on("route", stages=("laid",))
            found = _joined(found, at_sizes(routes, lambda n: ring.routed_at(n, parts), count))
        if whole := rules_on("everything", stages=("laid",)):
            alone = at_sizes(whole, lambda n: self._alone(section, laid, choice, n), count)
            found = _joined(found, alone)
        return found

    def _alone(self, section: GridSection, laid: LaidSection, choice: Choice, size: int) -> Laid:
        """One ring laid out by itself, for rules that look at everything."""
        assert section.design is not None
        design = self.choices.swapped(section.design, choice)
        asked = laid.ring.sized.askings[size].finger.asked
        ring = design.ring.model_copy(update={"size": asked})
        asking = asking_of(design.model_copy(update={"ring": ring}), self.choices.shop)
        return laid_of(formed_of(asking))

    def _kept(self, key: Hashable, work: Callable[[], Found]) -> Found:
        """What was found before, or what the work finds now."""
        if key in self._found:
            return self._found[key]
        found = work()
        if len(self._found) < MOST_KEPT:
            self._found[key] = found
        return found


def _joined(rows: list[Found], more: list[Found]) -> list[Found]:
    """Findings joined size by size; what is the same at all sizes stays one object."""
    known: dict[tuple[int, int], Found] = {}
    return [
        known.setdefault((id(one), id(other)), (*one, *other))
        for one, other in zip(rows, more, strict=True)
    ]
