"""The marks of a whole ring: which mark on which part, and what may keep it off."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from ringgeom.asked import together
from ringgeom.errors import InputError, Problem
from ringgeom.marks.doubt import (
    MarkDoubt,
    Tellable,
    margin_doubts,
    no_mark_doubts,
    solder_doubt,
    told_apart_doubts,
)
from ringgeom.marks.group import BASE, Group, groups, metals_by_weight
from ringgeom.marks.proposal import Marked, PartMark, part_mark
from ringgeom.marks.region import CHECK, LegalMark, Region, Statement, reaches, region_of
from ringgeom.marks.solder import average_permille, whole_permille
from ringgeom.marks.words import article_words, office_metal
from ringgeom.metal import fineness

SLACK_G = 1e-9
"""Binary rounding of decimal grams: 4 g and 3.78 g may add up to a hair under 7.78."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stamp:
    """One stamp on one part.

    Attributes
    ----------
    part, metal : str
        Where it stands: the heaviest part that it covers.
    mark : str or None
        What to stamp; None when nothing can be guaranteed.
    wanted : str or None
        What the recipes would carry if nothing were in doubt.
    covers : tuple of str
        Every part that the mark speaks of.
    office_mark : bool
        Whether the assay office's own mark goes with it.
    """

    part: str
    metal: str
    mark: str | None
    wanted: str | None
    covers: tuple[str, ...]
    office_mark: bool

    @property
    def line(self) -> str:
        """The stamp in words."""
        where = f"on {self.part}"
        if len(self.covers) > 1:
            where += f", for {together(self.covers)}"
        if self.mark is None:
            kept = f", {self.wanted} is not sure" if self.wanted else ""
            return f"nothing {where} ({self.metal}{kept})"
        beside = ", with the assay office's mark" if self.office_mark else ""
        return f"{self.mark} {where}{beside}"


@dataclass(frozen=True, slots=True, kw_only=True)
class ArticleMark:
    """The proposal for a whole ring.

    Attributes
    ----------
    region : str
        The rule pack.
    parts : tuple of PartMark
        What each part alone may carry.
    stamps : tuple of Stamp
        Which mark on which part, heaviest metal first.
    average_permille : float or None
        Mean of one metal in several finenesses [permille]: a number that may not be stamped.
    whole_permille : float or None
        The soldered metal with its solder [permille]; None without solder, or where it is excluded.
    exempt : bool
        Whether its weight needs no hallmark.
    words : tuple of Statement
        What to know, each with its source; the last says whom to ask.
    doubts : tuple of MarkDoubt
        What may keep a mark off.
    """

    region: str
    parts: tuple[PartMark, ...]
    stamps: tuple[Stamp, ...]
    average_permille: float | None
    whole_permille: float | None
    exempt: bool
    words: tuple[Statement, ...]
    doubts: tuple[MarkDoubt, ...]

    @property
    def line(self) -> str:
        """The proposal in one line."""
        said = "; ".join(stamp.line for stamp in self.stamps) or "no fineness mark"
        return f"{said}; {CHECK.text}"


def article_marks(
    parts: Sequence[Marked],
    region: str,
    *,
    solder: Sequence[tuple[float, float]] = (),
    solder_metal: str | None = None,
    tellable: Tellable,
) -> ArticleMark:
    """Marks for a ring of one or more metals.

    Parameters
    ----------
    parts : sequence of Marked
        Every part, each name once.
    region : str
        ``uk``, ``us``, ``convention`` or ``iso``.
    solder : sequence of (float, float)
        Mass [g] and fineness [permille] in ``solder_metal`` of each solder.
    solder_metal : str, optional
        gold, silver, platinum or palladium; gold when the ring holds gold, else its heaviest.
    tellable : callable or mapping
        The colour verdict of two alloys, by their names: True, False, or None for uncertain.

    Returns
    -------
    ArticleMark
        Never an average; a mark that the worst case or the solder does not hold is withheld.

    Raises
    ------
    InputError
        No parts, a name twice, no such region, or solder of a metal that the ring does not hold.

    Source
    ------
    SI 2007/872; Hallmarking Act 1973; 15 U.S.C. 295 and 296; 16 CFR Part 23.
    """
    pack = region_of(region)
    _check(parts, solder, solder_metal)
    proposals = {part.name: part_mark(part, region) for part in parts}
    found = groups(parts, proposals, pack)
    precious = tuple(m for m in metals_by_weight(parts) if m != BASE)
    doubts = list(no_mark_doubts(parts, proposals, pack))
    for group in found:
        doubts += margin_doubts(group, proposals)
    whole, pulled = None, None
    if solder and pack.value("solder") != "excluded":
        metal = solder_metal or ("gold" if "gold" in precious else precious[0])
        own = [(p.grams, p.sure_permille or 0.0) for p in parts if p.metal == metal]
        whole = whole_permille([*own, *solder])
        # solder runs between the parts: the metal's lowest mark answers for the whole
        marks = [group.wanted for group in found if group.metal == metal and group.wanted]
        lowest = min(marks, key=lambda mark: mark.permille, default=None)
        if lowest is not None and not reaches(whole, lowest.demanded_whole_permille):
            pulled = lowest
            doubts.append(solder_doubt(metal, whole, lowest))
    doubts += told_apart_doubts(parts, pack, tellable)
    several = [m for m in precious if len(_recipes(parts, m)) > 1]
    average = average_permille(parts, several[0]) if several else None
    exempt_g = pack.number("exempt_below", precious[0]) if precious else None
    # beside base metal the weight of all metal counts
    total_g = math.fsum(part.grams for part in parts)
    return ArticleMark(
        region=region,
        parts=tuple(proposals.values()),
        stamps=_stamps(found, precious, pack, pulled),
        average_permille=average,
        whole_permille=whole,
        exempt=len(precious) == 1 and exempt_g is not None and total_g < exempt_g - SLACK_G,
        words=article_words(
            parts,
            tuple(proposals.values()),
            found,
            pack,
            soldered=bool(solder),
            mean_permille=average,
        ),
        doubts=tuple(doubts),
    )


def _stamps(
    found: Sequence[Group], precious: tuple[str, ...], pack: Region, pulled: LegalMark | None
) -> tuple[Stamp, ...]:
    """One stamp per group; none of them in a mixed ring where one metal is under its minimum."""
    mixed = len(precious) > 1 and pack.rule("mixed_minimum", precious[0]) is not None
    rejected = mixed and any(_under_minimum(group, pack) for group in found)
    office = office_metal(precious, pack)
    stamps = []
    for group in found:
        word = pack.value("base_word") if group.metal == BASE and precious else None
        wanted = word or (group.wanted.label if group.wanted else None)
        unsure = bool(group.shaky) or (pulled is not None and group.wanted == pulled)
        if wanted is None and group.metal == BASE:
            continue
        sure = word is not None or not (unsure or rejected or wanted is None)
        stamps.append(
            Stamp(
                part=group.place.name,
                metal=group.metal,
                mark=wanted if sure else None,
                wanted=wanted,
                covers=tuple(part.name for part in group.parts),
                office_mark=sure and group.metal == office,
            )
        )
    return tuple(stamps)


def _under_minimum(group: Group, pack: Region) -> bool:
    least = pack.number("mixed_minimum", group.metal)
    if least is None:
        return False
    return group.wanted is None or any(
        not reaches(part.sure_permille or 0.0, least) for part in group.parts
    )


def _recipes(parts: Sequence[Marked], metal: str) -> set[float]:
    return {fineness(p.alloy.recipe) or 0.0 for p in parts if p.metal == metal}


def _check(
    parts: Sequence[Marked], solder: Sequence[tuple[float, float]], solder_metal: str | None
) -> None:
    names = [part.name for part in parts]
    problems = [
        Problem(text="two parts have one name", value=name)
        for name in dict.fromkeys(names)
        if names.count(name) > 1
    ]
    if not parts:
        problems.append(Problem(text="no parts to mark", allowed="at least one"))
    held = {part.metal for part in parts} - {BASE}
    if solder and (not held or (solder_metal is not None and solder_metal not in held)):
        problems.append(
            Problem(
                text="the solder is of a metal that no part is made of",
                value=solder_metal or "",
                allowed=", ".join(sorted(held)) or "no solder",
            )
        )
    if problems:
        raise InputError(problems)
