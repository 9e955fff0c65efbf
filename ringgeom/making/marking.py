"""What may be stamped on a ring as it is laid out: its parts, their melts, their colours."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

from ringgeom.colour.pair import pair
from ringgeom.errors import InputError, Problem
from ringgeom.making.part import Part
from ringgeom.marks import ArticleMark, Marked, article_marks, regions, solder_room_g
from ringgeom.melt import MeltPlan
from ringgeom.metal.amount import amount_problems, fineness_problems


def ring_marks(
    parts: Sequence[Part],
    melts: MeltPlan,
    region: str | None,
    *,
    solder: Sequence[tuple[float, float]] = (),
) -> tuple[ArticleMark, ...]:
    """The proposal of one region, or of every region without one.

    A part counts with the worst case of its melt.
    """
    if not parts:
        return ()
    weighed = _weighed(parts, melts)
    alloys = list({part.alloy.name: part.alloy for part in parts}.values())
    told = {
        frozenset((one.name, two.name)): pair(one, two).told_apart
        for one, two in combinations(alloys, 2)
    }
    wanted = [region] if region else list(regions())
    return tuple(article_marks(weighed, one, tellable=told, solder=solder) for one in wanted)


@dataclass(frozen=True, slots=True, kw_only=True)
class SolderRoom:
    """How much solder of one fineness a mark on a ring can carry [g]; infinite where it is free."""

    region: str
    mark: str
    solder_permille: float
    grams: float


def solder_rooms(
    parts: Sequence[Part],
    melts: MeltPlan,
    region: str | None,
    solder: Sequence[tuple[float, float]],
) -> tuple[SolderRoom, ...]:
    """For every solder and every mark of the parts alone, the grams it leaves room for."""
    weighed = _weighed(parts, melts)
    found = []
    for proposal in ring_marks(parts, melts, region):
        for mark in dict.fromkeys(stamp.mark for stamp in proposal.stamps if stamp.mark):
            for _, permille in solder:
                room = solder_room_g(weighed, mark, permille, region=proposal.region)
                found.append(
                    SolderRoom(
                        region=proposal.region, mark=mark, solder_permille=permille, grams=room
                    )
                )
    return tuple(found)


def _weighed(parts: Sequence[Part], melts: MeltPlan) -> list[Marked]:
    """Every part with the worst case of its melt; a melt that cannot be made says nothing."""
    worst = {melt.wanted.alloy.name: melt.worst_permille for melt in melts.melts if melt.possible}
    return [
        Marked(
            name=part.name,
            alloy=part.alloy,
            grams=part.finished_g,
            worst_permille=worst.get(part.alloy.name),
        )
        for part in parts
    ]


def solder_from_texts(texts: Sequence[str]) -> tuple[tuple[float, float], ...]:
    """Solders as grams and permille, from "0.1 585" each.

    Raises
    ------
    InputError
        Not two numbers, a mass of zero, or a fineness that looks like karat or percent.
    """
    found: list[tuple[float, float]] = []
    problems: list[Problem] = []
    for text in texts:
        words = text.replace(",", ".").replace("g ", " ").split()
        try:
            grams, permille = map(float, words)
        except ValueError:
            problems.append(
                Problem(
                    text="a solder is its grams and its fineness", value=text, allowed='"0.1 585"'
                )
            )
            continue
        problems += amount_problems("the solder", grams, "g")
        problems += fineness_problems(permille, "Au")
        found.append((grams, permille))
    if problems:
        raise InputError(problems)
    return tuple(found)
