"""One section of a grid at all sizes: drawn anew, laid out, judged, before any alloy is chosen."""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from dataclasses import dataclass, replace

import numpy as np

from ringgeom.design import Design
from ringgeom.errors import InputError
from ringgeom.findings import Asking
from ringgeom.findings.scope import rules_on
from ringgeom.findings.unreadable import unreadable
from ringgeom.finger import FitSettings, made_size
from ringgeom.form.curve import Array
from ringgeom.grid.alloyed import touching
from ringgeom.grid.asked import GridAsked, SizeAsked
from ringgeom.grid.choices import Choices
from ringgeom.grid.judged import Found, SizedRing, found_at_sizes, judged
from ringgeom.grid.redrawn import redrawn
from ringgeom.sketch import asking_of

UNREAD = -1
"""Place of what is found before any rule: a ring that is no design."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LaidSection:
    """A section at some sizes, with the role of every part.

    `volumes_mm3` of every role, all its pieces together, shape (roles, sizes); `touch` is the
    same for sections whose alloys are judged alike.
    """

    ring: SizedRing
    touch: Hashable
    part_roles: tuple[int, ...]
    volumes_mm3: Array


@dataclass(frozen=True, slots=True, kw_only=True)
class AtSize:
    """What is found on a section at one size, and where it was laid out; None where it is not."""

    size: SizeAsked
    bore_mm: float | None
    asked: Found
    laid: Found = ()
    at: tuple[LaidSection, int] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class GridSection:
    """One width and thickness of a grid.

    `askings` are what is asked at every size that is one, by its number; none where width and
    thickness make no `design`.
    """

    width_mm: float
    thickness_mm: float
    design: Design | None
    askings: Mapping[int, Asking]
    at_sizes: tuple[AtSize, ...]

    @property
    def rising(self) -> list[int]:
        """Numbers of the sizes that are one, from the smallest bore to the largest."""
        return sorted(self.askings, key=lambda n: self.askings[n].form.inside_diameter_mm)


def grid_section(
    design: Design,
    asked: GridAsked,
    choices: Choices,
    *,
    width_mm: float,
    thickness_mm: float,
    fingers: dict[tuple[str, float], Found],
) -> GridSection:
    """Lay out and judge one width and thickness at all sizes of a grid.

    Parameters
    ----------
    fingers : dict
        What was found on fingers so far, by size and bore; it is added to.
    """
    try:
        drawn = redrawn(design, width_mm=width_mm, thickness_mm=thickness_mm, places=asked.places)
    except InputError as error:
        none = tuple((UNREAD, unreadable(problem)) for problem in error.problems)
        return GridSection(
            width_mm=width_mm,
            thickness_mm=thickness_mm,
            design=None,
            askings={},
            at_sizes=tuple(AtSize(size=s, bore_mm=None, asked=none) for s in asked.sizes),
        )
    askings = _askings(drawn, asked, choices)
    for place, asking in askings.items():
        key = asked.sizes[place].asked, asking.made.inside_diameter_mm
        if key not in fingers:
            fingers[key] = judged(rules_on("finger", stages=("first",)), asking)
    known = [
        fingers[asked.sizes[place].asked, asking.made.inside_diameter_mm]
        for place, asking in askings.items()
    ]
    found = found_at_sizes(list(askings.values()), known)
    laid: dict[int, LaidSection] = {}
    at_sizes = [_beyond(size) for size in asked.sizes]
    for number, (place, asking) in enumerate(askings.items()):
        at = found.at[number]
        if at is not None and id(at[0]) not in laid:
            laid[id(at[0])] = _with_roles(at[0], choices)
        at_sizes[place] = AtSize(
            size=asked.sizes[place],
            bore_mm=asking.made.inside_diameter_mm,
            asked=found.asked[number],
            laid=found.laid[number],
            at=None if at is None else (laid[id(at[0])], at[1]),
        )
    return GridSection(
        width_mm=width_mm,
        thickness_mm=thickness_mm,
        design=drawn,
        askings=askings,
        at_sizes=tuple(at_sizes),
    )


def _askings(drawn: Design, asked: GridAsked, choices: Choices) -> Mapping[int, Asking]:
    """What is asked at every size that is one, by its number."""
    shop, found = choices.shop, {}
    fit = FitSettings(**shop.fit.model_dump())
    first: Asking | None = None
    for place, size in enumerate(asked.sizes):
        if size.finger is None:
            continue
        if first is None:
            ring = drawn.ring.model_copy(update={"size": size.asked})
            first = asking_of(drawn.model_copy(update={"ring": ring}), shop)
        made = made_size(
            size.finger,
            width_mm=drawn.ring.width_mm,
            comfort_bore=drawn.ring.inside.comfort,
            fit=fit,
        )
        form = replace(first.form, inside_diameter_mm=made.inside_diameter_mm)
        found[place] = replace(first, finger=size.finger, made=made, form=form)
    return found


def _beyond(size: SizeAsked) -> AtSize:
    problems = () if size.problem is None else (size.problem,)
    found = tuple((UNREAD, unreadable(problem)) for problem in problems)
    return AtSize(size=size, bore_mm=None, asked=found)


def _with_roles(ring: SizedRing, choices: Choices) -> LaidSection:
    parts = choices.parts_in(ring.sized.shaped.laid)
    volumes = np.zeros((len(choices.made), ring.sized.volume_mm3.shape[1]))
    np.add.at(volumes, list(parts), ring.sized.volume_mm3)
    touch = touching(ring.sized.shaped.laid)
    return LaidSection(ring=ring, touch=touch, part_roles=parts, volumes_mm3=volumes)
