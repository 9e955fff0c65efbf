"""What may be stamped on a ring as it is laid out: its parts, their melts, their colours."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

from ringgeom.colour.pair import pair
from ringgeom.making.part import Part
from ringgeom.marks import ArticleMark, Marked, article_marks, regions
from ringgeom.melt import MeltPlan


def ring_marks(
    parts: Sequence[Part], melts: MeltPlan, region: str | None
) -> tuple[ArticleMark, ...]:
    """The proposal of one region, or of every region without one.

    A part counts with the worst case of its melt; a melt that cannot be made says nothing.
    """
    worst = {melt.wanted.alloy.name: melt.worst_permille for melt in melts.melts if melt.possible}
    weighed = [
        Marked(
            name=part.name,
            alloy=part.alloy,
            grams=part.finished_g,
            worst_permille=worst.get(part.alloy.name),
        )
        for part in parts
    ]
    alloys = list({part.alloy.name: part.alloy for part in parts}.values())
    told = {
        frozenset((one.name, two.name)): pair(one, two).told_apart
        for one, two in combinations(alloys, 2)
    }
    wanted = [region] if region else list(regions())
    return tuple(article_marks(weighed, one, tellable=told) for one in wanted)
