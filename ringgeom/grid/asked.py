"""Which rings a grid holds: sizes, widths, thicknesses, alloys; read from what was typed."""

from __future__ import annotations

import difflib
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import product
from math import prod
from typing import get_args

from ringgeom.design import Design
from ringgeom.errors import BeyondScaleError, InputError, Problem, RecipeError
from ringgeom.finger import FingerSize, read_size
from ringgeom.finger.many import sizes_from_text
from ringgeom.finger.numerals import number, plain
from ringgeom.finger.stepped import MOST_STEPS, listed, range_in, stepped
from ringgeom.grid.redrawn import Places
from ringgeom.grid.roles import AlloyChoice, Role, roles
from ringgeom.metal.written import alloy_from_text

MOST_ROWS = 10_000_000
"""More rows than this are no catalogue; a file of them takes gigabytes."""

MOST_SECTIONS = 10_000
"""Widths times thicknesses, each laid out by itself: a few minutes."""

MOST_CHOICES = 100_000
"""Combinations of alloys, each judged by itself."""

LONGEST_LIST = 10_000
"""Letters of a list of sizes or lengths."""

LONGEST_ALLOY = 120
"""Letters of an alloy, as in a design."""

Choice = tuple[AlloyChoice, ...]
"""An alloy for every role of the design."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SizeAsked:
    """A size of the grid: the finger, or why there is none past the ends of its scale."""

    asked: str
    finger: FingerSize | None
    problem: Problem | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class GridAsked:
    """The rings of a grid, in the order of its rows: the sizes run fastest, then the alloys.

    `choices` hold an alloy for every role of the design, the design's own where none was given.
    """

    sizes: tuple[SizeAsked, ...]
    widths_mm: tuple[float, ...]
    thicknesses_mm: tuple[float, ...]
    choices: tuple[Choice, ...]
    places: Places

    @property
    def sections(self) -> int:
        """How many different sections there are."""
        return len(self.widths_mm) * len(self.thicknesses_mm)

    @property
    def rows(self) -> int:
        """How many rings it has."""
        return self.sections * len(self.choices) * len(self.sizes)


def grid_asked(
    design: Design,
    *,
    sizes: str = "",
    widths: str = "",
    thicknesses: str = "",
    alloys: Sequence[str] = (),
    places: str = "fixed",
) -> GridAsked:
    """The grid that lists and ranges ask for; what is left empty stays as the design has it.

    Parameters
    ----------
    sizes : str
        "US 5..12 by 1/2", "ISO 50, 52, 54".
    widths, thicknesses : str
        "4..8 by 0.5", "1.8, 2.0, 2.2" [mm].
    alloys : sequence of str
        "reed=Au 75 Ag 25" each; several of one part are its alternatives.
    places : str
        ``fixed`` or ``share``: what places do when the band changes, see `redrawn`.

    Raises
    ------
    InputError
        Everything that is wrong with them, or more rows than `MOST_ROWS`.
    """
    problems: list[Problem] = []
    if not (sizes or widths or thicknesses or alloys):
        problems.append(
            Problem(
                text="nothing says how the rings differ",
                allowed='--sizes "US 5..12 by 1/2", --widths "4..8 by 0.5", '
                '--thicknesses "1.8, 2.0", --alloy reed="Au 75 Ag 25"',
            )
        )
    if places not in get_args(Places):
        near = difflib.get_close_matches(places, get_args(Places), 1, 0.4)
        problems.append(
            Problem(
                text="places keep their mm or their share of the band",
                where="--places",
                value=places,
                allowed=", ".join(get_args(Places)),
                nearest=near[0] if near else "",
            )
        )
    for where, text in (("--sizes", sizes), ("--widths", widths), ("--thicknesses", thicknesses)):
        if text and len(text) > LONGEST_LIST:
            raise InputError(
                Problem(
                    text="too long for a list",
                    where=where,
                    value=f"{text[:40]}...",
                    allowed=f"{LONGEST_LIST:,} letters at most, or a range: 4..8 by 0.5",
                )
            )
    found_sizes = _read_sizes(sizes or design.ring.size, problems)
    found_widths = _read_mm("--widths", widths, design.ring.width_mm, problems)
    found_thick = _read_mm("--thicknesses", thicknesses, design.ring.thickness_mm, problems)
    alternatives = _read_alloys(design, alloys, problems)
    if not problems:
        _not_too_many(found_sizes, found_widths, found_thick, alternatives, problems)
    if problems:
        raise InputError(problems)
    return GridAsked(
        sizes=found_sizes,
        widths_mm=found_widths,
        thicknesses_mm=found_thick,
        choices=tuple(product(*alternatives)),
        places="share" if places == "share" else "fixed",
    )


def _read_sizes(text: str, problems: list[Problem]) -> tuple[SizeAsked, ...]:
    found = []
    try:
        for asked in sizes_from_text(text):
            try:
                found.append(SizeAsked(asked=asked, finger=read_size(asked)))
            except BeyondScaleError as error:
                found.append(SizeAsked(asked=asked, finger=None, problem=error.problems[0]))
    except InputError as error:
        problems += [replace(one, where="--sizes") for one in error.problems]
    if found and all(size.finger is None for size in found):
        problems += [replace(size.problem, where="--sizes") for size in found[:1] if size.problem]
    return tuple(found)


def _read_mm(where: str, text: str, own: float, problems: list[Problem]) -> tuple[float, ...]:
    """Lengths of a list of numbers and ranges, each once, exactly as they are typed [mm]."""
    found: dict[float, None] = {}
    example = '"4..8 by 0.5", "4, 4.5, 5"'
    try:
        for item in listed(text) if text else ():
            asked = range_in(item)
            ends = (asked.first, asked.last) if asked else (item, item)
            first, last = (number(plain(end.removesuffix("mm"))) for end in ends)
            if first is None or last is None:
                raise InputError(Problem(text="not a number of mm", value=item, allowed=example))
            values = stepped(item, first, last, asked.step if asked else "")
            found.update(dict.fromkeys(map(float, values)))
        if text and not found:
            raise InputError(Problem(text="no length was given", value=text, allowed=example))
    except InputError as error:
        problems += [replace(one, where=where) for one in error.problems]
    for value in found:
        if value <= 0:
            problems.append(Problem(text="no band is so thin", where=where, value=f"{value:g} mm"))
            break
    if len(found) > MOST_STEPS:
        problems.append(
            Problem(
                text=f"these are {len(found):,} values",
                where=where,
                allowed=f"{MOST_STEPS:,} at most",
            )
        )
    return tuple(found) or (own,)


def _read_alloys(
    design: Design, texts: Sequence[str], problems: list[Problem]
) -> list[tuple[AlloyChoice, ...]]:
    """For every role of the design, the alloys to try."""
    known = roles(design)
    given: dict[Role, dict[AlloyChoice, None]] = {}
    own = {asked.name: asked for role in known if not isinstance(asked := role.asked(design), str)}
    for text in texts:
        name, equals, alloy = text.partition("=")
        role = next((r for r in known if r.name.casefold() == name.strip().casefold()), None)
        if role is None or not equals:
            problems.append(_no_such_part(text, name.strip(), bool(equals), known))
            continue
        alloy = alloy.strip()
        try:
            if alloy not in own:
                alloy_from_text(alloy)
            if len(alloy) > LONGEST_ALLOY:
                raise RecipeError(Problem(text="too long for an alloy", value=f"{alloy[:40]}..."))
        except RecipeError as error:
            problems += [replace(one, where=f"--alloy {role.name}") for one in error.problems]
            continue
        given.setdefault(role, {})[own.get(alloy, alloy)] = None
    return [tuple(given.get(role, {})) or (role.asked(design),) for role in known]


def _no_such_part(text: str, name: str, equals: bool, known: Sequence[Role]) -> Problem:
    names = [role.name for role in known]
    near = difflib.get_close_matches(name, names, n=1, cutoff=0.4)
    turns = [each for each in names if each.rsplit(" ", 1)[0] == name]
    return Problem(
        text="no such part in this design" if equals else "an alloy is given as part=alloy",
        where="--alloy",
        value=text,
        allowed=", ".join(names),
        nearest=", ".join(turns) or (near[0] if near else ""),
    )


def _not_too_many(
    sizes: Sequence[SizeAsked],
    widths: Sequence[float],
    thicknesses: Sequence[float],
    alternatives: Sequence[Sequence[AlloyChoice]],
    problems: list[Problem],
) -> None:
    """Refuse grids that nobody can have meant, before anything is laid out."""
    sections = len(widths) * len(thicknesses)
    choices = prod(map(len, alternatives))
    for count, most, what, way_out in (
        (sections, MOST_SECTIONS, "widths times thicknesses", "wider steps"),
        (choices, MOST_CHOICES, "combinations of alloys", "fewer --alloy"),
        (sections * choices * len(sizes), MOST_ROWS, "rows", "several grids, or wider steps"),
    ):
        if count > most:
            problems.append(
                Problem(
                    text=f"this grid has {count:,} {what}",
                    allowed=f"{most:,} at most",
                    nearest=way_out,
                )
            )
            return
