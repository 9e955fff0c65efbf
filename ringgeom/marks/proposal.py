"""The mark of one part: the highest legal one that its metal carries, and by how much."""

from __future__ import annotations

import math
from dataclasses import dataclass

from ringgeom.errors import InputError, Problem
from ringgeom.marks.region import (
    CHECK,
    LegalMark,
    Region,
    Statement,
    legal_mark,
    next_mark_up,
    reaches,
    region_of,
)
from ringgeom.metal import Alloy, fineness


@dataclass(frozen=True, slots=True, kw_only=True)
class Marked:
    """A part that asks for a mark.

    Attributes
    ----------
    name : str
        The part's name.
    alloy : Alloy
        What it is made of.
    grams : float
        Finished mass [g].
    worst_permille : float or None
        Lowest fineness its melt may turn out to have [permille]; None: the recipe's own.

    Raises
    ------
    InputError
        The mass is not above zero, or the fineness is none.
    """

    name: str
    alloy: Alloy
    grams: float
    worst_permille: float | None = None

    def __post_init__(self) -> None:
        worst = self.worst_permille
        problems = []
        if not 0 < self.grams < math.inf:
            problems.append(
                Problem(
                    text=f"{self.name}: no part has this mass",
                    value=f"{self.grams:g} g",
                    allowed="above 0 g",
                )
            )
        if worst is not None and not 0 <= worst <= 1000:
            problems.append(
                Problem(
                    text=f"{self.name}: the worst case is no fineness",
                    value=f"{worst:g} permille",
                    allowed="0 to 1000 permille",
                )
            )
        if problems:
            raise InputError(problems)

    @property
    def metal(self) -> str:
        """gold, silver, platinum, palladium or base."""
        return self.alloy.recipe.precious

    @property
    def sure_permille(self) -> float | None:
        """The fineness to rely on [permille]: the worst case where it is known."""
        made = fineness(self.alloy.recipe)
        return made if made is None or self.worst_permille is None else self.worst_permille


@dataclass(frozen=True, slots=True, kw_only=True)
class PartMark:
    """What one part alone may carry.

    Attributes
    ----------
    part, metal : str
        The part, and the metal its alloy is named after.
    made_permille, worst_permille : float or None
        Fineness of the recipe and in the worst case [permille]; None for base metal.
    legal, guaranteed : LegalMark or None
        The highest legal mark of the recipe, and of the worst case; None: no mark.
    holds_in_worst_case : bool
        Whether the worst case still carries ``legal``.
    next_mark_up : str or None
        The next higher mark.
    next_short_permille : float or None
        What is missing to it, its tolerance applied [permille].
    words : tuple of Statement
        What to know beside it, each with its source; the last says whom to ask.
    """

    part: str
    metal: str
    made_permille: float | None
    worst_permille: float | None
    legal: LegalMark | None
    guaranteed: LegalMark | None
    holds_in_worst_case: bool
    next_mark_up: str | None
    next_short_permille: float | None
    words: tuple[Statement, ...]

    @property
    def mark(self) -> str | None:
        """What the recipe may carry, as it is stamped."""
        return None if self.legal is None else self.legal.label

    @property
    def margin_permille(self) -> float | None:
        """Recipe's fineness above what the law demands, its tolerance applied [permille]."""
        if self.legal is None or self.made_permille is None:
            return None
        return self.made_permille - self.legal.demanded_permille


def part_mark(marked: Marked, region: str) -> PartMark:
    """The mark of one part by itself.

    Parameters
    ----------
    marked : Marked
        The part.
    region : str
        ``uk``, ``us``, ``convention`` or ``iso``.

    Returns
    -------
    PartMark
        The highest legal mark not above the assay, tolerance applied; no mark below the lowest.

    Raises
    ------
    InputError
        There is no such region.

    Source
    ------
    Hallmarking Act 1973; 15 U.S.C. 295 and 296; 16 CFR Part 23; row by row in the facts.
    """
    pack = region_of(region)
    recipe = marked.alloy.recipe
    made, sure = fineness(recipe), marked.sure_permille
    if made is None or sure is None:
        return PartMark(
            part=marked.name,
            metal=marked.metal,
            made_permille=None,
            worst_permille=None,
            legal=None,
            guaranteed=None,
            holds_in_worst_case=False,
            next_mark_up=None,
            next_short_permille=None,
            words=(*pack.statements("base_word"), CHECK),
        )
    legal, above = legal_mark(recipe, made, pack), next_mark_up(recipe, made, pack)
    return PartMark(
        part=marked.name,
        metal=marked.metal,
        made_permille=made,
        worst_permille=sure,
        legal=legal,
        guaranteed=legal_mark(recipe, sure, pack),
        holds_in_worst_case=legal is not None and reaches(sure, legal.demanded_permille),
        next_mark_up=None if above is None else above.label,
        next_short_permille=None if above is None else above.demanded_permille - made,
        words=(*_words(marked, made, legal, above, pack), CHECK),
    )


def _words(
    marked: Marked, made: float, legal: LegalMark | None, above: LegalMark | None, pack: Region
) -> list[Statement]:
    said = []
    if legal is not None:
        said.append(legal.statement)
        if not reaches(made, legal.permille):
            said.append(
                Statement(
                    text=f"{made:.6g} permille carries {legal.label} by the minus tolerance only: "
                    f"{legal.permille:g} would need none",
                    source=legal.law,
                    known=legal.known,
                )
            )
    elif above is None:
        text = f"these rules hold no mark for {marked.metal}"
        said.append(Statement(text=text, source=pack.name, known="memory"))
    else:
        said.append(
            Statement(
                text=f"{made:.6g} permille {marked.metal} carries no mark: the lowest in reach "
                f"requires {above.demanded_permille:g}",
                source=above.law,
                known=above.known,
            )
        )
    if above is not None:
        said.append(
            Statement(
                text=f"{above.label} needs {above.demanded_permille - made:.2f} permille more",
                source=above.law,
                known=above.known,
            )
        )
    for mark in pack.also_marks:
        if mark.metal == marked.metal and reaches(made, mark.demanded_permille):
            text = f"{mark.label} is a mark of its own and requires {mark.demanded_permille:g}"
            said.append(Statement(text=text, source=mark.law, known=mark.known))
    exempt = pack.rule("exempt_below", marked.metal)
    if exempt is not None and marked.grams < float(exempt.value):
        said.append(
            Statement(
                text=f"alone, under {exempt.value} g of {marked.metal} needs no hallmark",
                source=exempt.source,
                known=exempt.known,
            )
        )
    return [*said, *pack.statements("tolerance", "beside")]
