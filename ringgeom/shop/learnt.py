"""Figures that the shop learnt from its own castings, with the count and the day beside them."""

from __future__ import annotations

import datetime
from typing import Annotated, Any

from pydantic import BeforeValidator, Field

from ringgeom.asked import Asked

Shrink = Annotated[float, Field(ge=0, lt=10)]
MOST_COUNT, MOST_ISSUED_G = 1_000_000_000, 1e12
"""More than any shop ever casts; a mean over so many moves no further."""

Count = Annotated[int, Field(ge=0, le=MOST_COUNT)]


class AlloyShrink(Asked):
    """Shrink of one alloy [percent]; from `castings` measured castings, the last on `date`.

    Without castings it was typed by hand, and gives way to the first ones measured.
    """

    percent: Shrink
    castings: Count = 0
    date: datetime.date | None = None


def _plain(given: Any) -> Any:
    """A number alone is a shrink typed by hand."""
    number = isinstance(given, int | float) and not isinstance(given, bool)
    return {"percent": float(given)} if number else given


ShrinkOfAlloy = Annotated[AlloyShrink, BeforeValidator(_plain)]


class LossFrom(Asked):
    """What a melt loss was learnt from: ledgers of `melts` melts, `issued_g` in all."""

    melts: Count
    issued_g: Annotated[float, Field(gt=0, le=MOST_ISSUED_G)]
    date: datetime.date
