"""The rule packs: which marks a region knows, and what each demands of the metal."""

from __future__ import annotations

import difflib
import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache
from types import MappingProxyType

from ringgeom.errors import InputError, Problem
from ringgeom.facts import table
from ringgeom.metal import Recipe

SLACK_PERMILLE = 1e-9
"""Binary rounding of decimal shares: 58.5 % may arrive a hair under 585."""

PLATINUM_GROUP = ("Pt", "Pd", "Rh", "Ir", "Ru", "Os")

EVERYWHERE = "all"
"""Region of the rules that hold in every pack."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Statement:
    """One sentence beside a proposal, with where it is from."""

    text: str
    source: str
    known: str


CHECK = Statement(
    text="check with your assay office or counsel",
    source="this program proposes and warns, it never certifies",
    known="common practice",
)
"""The last sentence of every proposal."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LegalMark:
    """A mark and what the law demands under it.

    Attributes
    ----------
    metal : str
        gold, silver, platinum or palladium.
    label : str
        What is stamped.
    permille : float
        The fineness it states [permille]; of a karat exactly 1000 k / 24, to 0.01.
    demanded_permille, demanded_whole_permille : float
        Least fineness of a part without solder, and of the whole with its solder [permille].
    law, known, note : str
        Where it is from, the fact's mark, and remarks.
    """

    metal: str
    label: str
    permille: float
    demanded_permille: float
    demanded_whole_permille: float
    law: str
    known: str
    note: str = ""

    @property
    def statement(self) -> Statement:
        """The mark and its demand as a sentence."""
        return Statement(
            text=f"{self.label} for {self.metal} requires {self.demanded_permille:g} permille",
            source=self.law,
            known=self.known,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """A row of ``mark_regions.csv``."""

    rule: str
    metal: str
    value: str
    unit: str
    text: str
    source: str
    known: str

    @property
    def statement(self) -> Statement:
        """The rule's sentence with its source."""
        return Statement(text=self.text, source=self.source, known=self.known)


@dataclass(frozen=True, slots=True, kw_only=True)
class Region:
    """A rule pack.

    Attributes
    ----------
    key, name : str
        ``uk`` and ``United Kingdom``.
    marks, also_marks : tuple of LegalMark
        Marks to propose, lowest first in each metal, and those that are only allowed beside.
    rules : tuple of Rule
        Everything else the pack says.
    """

    key: str
    name: str
    marks: tuple[LegalMark, ...]
    also_marks: tuple[LegalMark, ...]
    rules: tuple[Rule, ...]

    def rule(self, rule: str, metal: str = "") -> Rule | None:
        """The first rule of this name for this metal."""
        return next((r for r in self.rules if (r.rule, r.metal) == (rule, metal)), None)

    def value(self, rule: str, metal: str = "") -> str:
        """The rule's value, or an empty text when the pack has no such rule."""
        found = self.rule(rule, metal)
        return "" if found is None else found.value

    def number(self, rule: str, metal: str) -> float | None:
        """The rule's value as a number, or None when the pack has no such rule."""
        found = self.rule(rule, metal)
        return None if found is None else float(found.value)

    def statements(self, *rules: str) -> tuple[Statement, ...]:
        """The sentences of rules that have one, in the pack's order."""
        return tuple(r.statement for r in self.rules if r.rule in rules and r.text)


def reaches(made_permille: float, demanded_permille: float) -> bool:
    """Whether a fineness is enough: equality is.

    Examples
    --------
    >>> reaches(747, 747), reaches(746.99, 747), reaches(22 / 24 * 1000, 917)
    (True, False, False)
    """
    return made_permille >= demanded_permille - SLACK_PERMILLE


def legal_mark(recipe: Recipe, permille: float, region: Region) -> LegalMark | None:
    """The highest mark that a fineness of the recipe's own metal may carry.

    Parameters
    ----------
    recipe : Recipe
        Tells the metal, and the companions of platinum.
    permille : float
        The assay, or what is expected of it [permille].
    region : Region
        The rule pack.

    Returns
    -------
    LegalMark or None
        None under the lowest legal mark.
    """
    found: LegalMark | None = None
    for mark in region.marks:
        if mark.metal == recipe.precious:
            found = _filled(mark, recipe, permille, region) or found
    return found


def next_mark_up(recipe: Recipe, permille: float, region: Region) -> LegalMark | None:
    """The lowest mark of the metal whose demand lies above a fineness; None at the top."""
    above = [
        mark
        for mark in region.marks
        if mark.metal == recipe.precious
        and "{each}" not in mark.label
        and not reaches(permille, mark.demanded_permille)
    ]
    if not above:
        return None
    lowest = min(above, key=lambda mark: mark.demanded_permille)
    return replace(lowest, label=lowest.label.format(stated=f"{lowest.permille:g}"))


def _filled(mark: LegalMark, recipe: Recipe, permille: float, region: Region) -> LegalMark | None:
    """The mark as it would be stamped, or None when the fineness does not carry it."""
    if not reaches(permille, mark.demanded_permille):
        return None
    if "{each}" in mark.label:
        shares = {s: recipe.fineness_permille(s) for s in PLATINUM_GROUP if recipe.percent(s)}
        least = region.number("group_minimum", mark.metal) or 0.0
        if not reaches(math.fsum(shares.values()) - shares["Pt"] + permille, least):
            return None
        told = {symbol: _whole(p) for symbol, p in (shares | {"Pt": permille}).items()}
        label = " ".join(f"{p}{s}" for s, p in sorted(told.items(), key=lambda x: -x[1]) if p)
        number = float(told["Pt"])
    elif "{stated}" in mark.label:
        number = float(_whole(permille))
        label = mark.label.format(stated=f"{number:g}")
    else:
        return mark
    return replace(
        mark,
        label=label,
        permille=number,
        demanded_permille=number,
        demanded_whole_permille=number,
    )


def _whole(permille: float) -> int:
    """Whole permille that do not overstate."""
    return math.floor(permille + SLACK_PERMILLE)


@cache
def regions() -> Mapping[str, Region]:
    """All rule packs by key, in the table's order."""
    rows = table("mark_regions")
    everywhere = tuple(_rule(row) for row in rows if row["region"] == EVERYWHERE)
    keys = dict.fromkeys(row["region"] for row in rows if row["region"] != EVERYWHERE)
    packs = {}
    for key in keys:
        rules = tuple(_rule(row) for row in rows if row["region"] == key) + everywhere
        laws = [r.value for r in rules if r.rule == "marks"]
        also = [r.value for r in rules if r.rule == "also_marks"]
        packs[key] = Region(
            key=key,
            name=next(r.value for r in rules if r.rule == "name"),
            marks=_marks(laws, rules),
            also_marks=_marks(also, rules),
            rules=rules,
        )
    return MappingProxyType(packs)


def region_of(key: str) -> Region:
    """The rule pack of a key.

    Raises
    ------
    InputError
        There is no such pack; all are named, and the nearest.
    """
    packs = regions()
    if key not in packs:
        near = difflib.get_close_matches(key.lower(), packs, n=1, cutoff=0.5)
        raise InputError(
            Problem(
                text="no rules on marks for this region",
                value=key,
                allowed=", ".join(packs),
                nearest=near[0] if near else "",
            )
        )
    return packs[key]


def _rule(row: Mapping[str, str]) -> Rule:
    return Rule(**{cell: text for cell, text in row.items() if cell != "region"})


def _marks(laws: list[str], rules: tuple[Rule, ...]) -> tuple[LegalMark, ...]:
    """Rows of ``fineness.csv`` under these laws, lowest first."""
    labels = {(r.metal, r.value): r.text for r in rules if r.rule == "label"}
    marks = []
    for row in table("fineness"):
        if row["standard_or_law"] not in laws:
            continue
        exact = float(row["exact_permille"])
        # an empty cell is a mark outside any statute with a tolerance
        part = float(row["minus_tolerance_no_solder_permille"] or 0)
        whole = float(row["minus_tolerance_with_solder_permille"] or 0)
        number = row["mark_permille"]
        marks.append(
            LegalMark(
                metal=row["metal"],
                label=labels.get((row["metal"], number)) or row["karat"] or number,
                permille=exact,
                demanded_permille=exact - part,
                demanded_whole_permille=exact - whole,
                law=row["standard_or_law"],
                known=row["known"],
                note=row["note"],
            )
        )
    return tuple(sorted(marks, key=lambda mark: mark.permille))
