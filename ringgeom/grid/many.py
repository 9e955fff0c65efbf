"""The grid: one design at many sizes, widths, thicknesses and alloys, row by row."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property

from ringgeom.design import Design
from ringgeom.errors import InputError, Problem
from ringgeom.grid.asked import GridAsked
from ringgeom.grid.block import Block, Further
from ringgeom.grid.choices import Choices, choices
from ringgeom.grid.choosing import Choosing
from ringgeom.grid.judged import Found
from ringgeom.grid.redrawn import redrawn
from ringgeom.grid.row import Row
from ringgeom.grid.section import grid_section
from ringgeom.shop import Shop

Told = Callable[[str], None]


def _quiet(step: str) -> None:
    """Say nothing."""


@dataclass(frozen=True, kw_only=True)
class Grid:
    """The rings of a grid, computed as they are asked for.

    Attributes
    ----------
    further : mapping
        Columns to add, by their name with its unit.
    """

    design: Design
    shop: Shop
    asked: GridAsked
    further: Mapping[str, Further] = field(default_factory=dict)

    @cached_property
    def _choices(self) -> Choices:
        return choices(self.design, self.shop)

    @property
    def roles(self) -> tuple[str, ...]:
        """Names of the metals of a ring: places in the order written, the body last."""
        return tuple(role.name for role in self._choices.made)

    def rows(self, *, told: Told = _quiet) -> Iterator[Row]:
        """Every ring, in order; only one section is held at a time.

        Parameters
        ----------
        told : callable
            Called with the name of every step.
        """
        for block in self.blocks(told=told):
            yield from block.rows()

    def blocks(self, *, told: Told = _quiet) -> Iterator[Block]:
        """The rows section by section, and in each choice by choice."""
        fingers: dict[tuple[str, float], Found] = {}
        choosing = Choosing(choices=self._choices, further=self.further)
        first, count = 1, self.asked.sections
        for number, (width, thickness) in enumerate(self._bands()):
            told(f"width and thickness {number + 1} of {count}")
            section = grid_section(
                self.design,
                self.asked,
                self._choices,
                width_mm=width,
                thickness_mm=thickness,
                fingers=fingers,
            )
            for place, choice in enumerate(self.asked.choices):
                yield choosing.block(first, section, place, choice)
                first += len(self.asked.sizes)

    def design_of(self, number: int) -> Design:
        """The design of one row, to be made or looked at by itself.

        Raises
        ------
        InputError
            There is no such row, or it is no design.
        """
        if not 1 <= number <= self.asked.rows:
            raise InputError(
                Problem(
                    text="this grid has no such row",
                    value=str(number),
                    allowed=f"1 to {self.asked.rows}",
                )
            )
        asked, rest = self.asked, number - 1
        rest, size = divmod(rest, len(asked.sizes))
        rest, choice = divmod(rest, len(asked.choices))
        width, thickness = list(self._bands())[rest]
        one = asked.sizes[size]
        if one.problem is not None:
            raise InputError(one.problem)
        drawn = redrawn(self.design, width_mm=width, thickness_mm=thickness, places=asked.places)
        design = self._choices.swapped(drawn, asked.choices[choice])
        ring = design.ring.model_copy(update={"size": one.asked})
        return design.model_copy(update={"ring": ring})

    def _bands(self) -> Iterator[tuple[float, float]]:
        for width in self.asked.widths_mm:
            for thickness in self.asked.thicknesses_mm:
                yield width, thickness
