"""Marks: which fineness mark a part and a whole ring may carry, and what keeps it off.

Proposals and warnings only: check with your assay office or counsel.
"""

from __future__ import annotations

from ringgeom.marks.article import ArticleMark, Stamp, article_marks
from ringgeom.marks.doubt import MarkDoubt, Tellable
from ringgeom.marks.proposal import Marked, PartMark, part_mark
from ringgeom.marks.region import (
    CHECK,
    LegalMark,
    Region,
    Statement,
    legal_mark,
    reaches,
    region_of,
    regions,
)
from ringgeom.marks.solder import average_permille, solder_room_g, whole_permille

__all__ = [
    "CHECK",
    "ArticleMark",
    "LegalMark",
    "MarkDoubt",
    "Marked",
    "PartMark",
    "Region",
    "Stamp",
    "Statement",
    "Tellable",
    "article_marks",
    "average_permille",
    "legal_mark",
    "part_mark",
    "reaches",
    "region_of",
    "regions",
    "solder_room_g",
    "whole_permille",
]
