"""A block of rows: one section in one choice of alloys, at all sizes."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache

from ringgeom.findings.on_casting import button_note
from ringgeom.findings.scope import rules_on
from ringgeom.grid.alloyed import Poured
from ringgeom.grid.judged import Found, stops
from ringgeom.grid.row import Mark, Row, RowCasting, marks_of
from ringgeom.grid.section import AtSize, GridSection, LaidSection
from ringgeom.metal import Alloy
from ringgeom.shop import Shop


@dataclass(frozen=True, slots=True, kw_only=True)
class Weighed:
    """What a laid section asks for in one choice of alloys; what is found on them, by size.

    `alloys` are those of every part.
    """

    alloys: tuple[Alloy, ...]
    poured: tuple[Poured, ...]
    found: Sequence[Found]


Further = Callable[[LaidSection, Weighed], Sequence[float | None]]
"""A column to add: from a laid section in one choice of alloys, a value for each of its sizes.

A price is such a column: it follows from the grams of every alloy, and what there is to do.
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """The rows of one section and one choice of alloys.

    Attributes
    ----------
    first : int
        Number of the first row.
    alloys : tuple of str
        Of every role.
    metals : sequence of Found
        For each size, what is found on the alloys before anything is laid out.
    weighed : mapping
        For every laid section, by its identity.
    further : mapping
        Columns to add, by their name with its unit.
    """

    first: int
    section: GridSection
    alloys: tuple[str, ...]
    metals: Sequence[Found]
    weighed: Mapping[int, Weighed]
    shop: Shop
    further: Mapping[str, Further]
    _marks: dict[tuple[object, ...], tuple[Mark, ...]] = field(default_factory=dict, repr=False)

    def rows(self) -> Iterator[Row]:
        """Every row, in the order of the sizes."""
        listed: dict[int, list[Grams]] = {}
        for place, one in enumerate(self.section.at_sizes):
            marks = self._marks_at(one, self.metals[place])
            grams = NO_GRAMS
            if one.at is not None and not (marks and marks[0].level == "stop"):
                laid, number = one.at
                if id(laid) not in listed:
                    listed[id(laid)] = _listed(laid, self.weighed[id(laid)], self.further)
                grams = listed[id(laid)][number]
            yield Row(
                number=self.first + place,
                size=one.size.asked,
                bore_mm=one.bore_mm,
                width_mm=self.section.width_mm,
                thickness_mm=self.section.thickness_mm,
                alloys=self.alloys,
                volumes_mm3=grams[0],
                castings=grams[1],
                marks=marks,
                further=grams[2],
            )

    def _marks_at(self, one: AtSize, metals: Found) -> tuple[Mark, ...]:
        touching: Found = ()
        small: tuple[Poured, ...] = ()
        if one.at is not None:
            laid, number = one.at
            weighed = self.weighed[id(laid)]
            touching = weighed.found[number]
            small = tuple(poured for poured in weighed.poured if poured.smallest_button[number])
        names = tuple(poured.alloy.name for poured in small)
        # what is one and the same object at many sizes is put in order once
        key = id(one.asked), id(metals), id(one.laid), id(touching), names
        if key not in self._marks:
            found = (*one.asked, *metals)
            if not stops(found):
                found += (*one.laid, *touching)
                if one.at is not None and small:
                    found += self._button(small, one.at[1])
            self._marks[key] = marks_of(found)
        return self._marks[key]

    def _button(self, small: Sequence[Poured], number: int) -> Found:
        parts_g = max(float(poured.parts_g[number]) for poured in small)
        names = [poured.alloy.name for poured in small]
        return ((_button_place(), button_note(names, parts_g, self.shop.casting)),)


@cache
def _button_place() -> int:
    """Place of the rule on the smallest button in the order of judging."""
    (rule,) = rules_on("button", stages=("laid",))
    return rule.position


Grams = tuple[tuple[float, ...], tuple[RowCasting, ...], Mapping[str, float | None]]
"""Volumes of the roles, castings and further columns of one ring."""

NO_GRAMS: Grams = ((), (), {})


def _listed(laid: LaidSection, weighed: Weighed, further: Mapping[str, Further]) -> list[Grams]:
    """What was weighed, size by size."""
    volumes = [tuple(column) for column in laid.volumes_mm3.T.tolist()]
    castings = zip(*(_castings(one) for one in weighed.poured), strict=True)
    more = {name: work(laid, weighed) for name, work in further.items()}
    return [
        (mm3, cast, {name: values[size] for name, values in more.items()})
        for size, (mm3, cast) in enumerate(zip(volumes, castings, strict=True))
    ]


def _castings(poured: Poured) -> list[RowCasting]:
    masses = (
        poured.finished_g,
        poured.parts_g,
        poured.sprue_g,
        poured.button_g,
        poured.loss_g,
        poured.melt_g,
    )
    return [
        RowCasting(
            alloy=poured.alloy.name,
            finished_g=finished,
            parts_g=parts,
            sprue_g=sprue,
            button_g=button,
            loss_g=loss,
            melt_g=melt,
        )
        for finished, parts, sprue, button, loss, melt in zip(
            *(mass.tolist() for mass in masses), strict=True
        )
    ]
