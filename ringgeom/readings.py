"""What was read at the bench on the castings of one ring, and the ledgers of its metals.

Validated data, nothing computed. A casting of which nothing was read stays out.
"""

from __future__ import annotations

import datetime
from pathlib import Path
from typing import Annotated

from pydantic import Field

from ringgeom.asked import Asked
from ringgeom.reading import read_model

Length = Annotated[float, Field(gt=0, le=1000)]
Grams = Annotated[float, Field(gt=0, le=100_000)]
Tray = Annotated[float, Field(ge=0, le=100_000)]

MOST_READ = 500
"""More castings or melts than one ring ever has."""


class CastingRead(Asked):
    """Calliper and balance on one casting, sprue cut off, nothing filed.

    `scale` (so many times the finished size) is the pattern's, as its file name says; without
    it, the one of today's shop file.
    `wax_*` are read on the pattern itself; without them, they are those of its file.
    `water_g` is its weight hanging in water.
    """

    part: Annotated[str, Field(min_length=1, max_length=200)]
    scale: Annotated[float, Field(ge=0.9, le=1.3)] | None = None
    bore_mm: Length | None = None
    outside_mm: Length | None = None
    width_mm: Length | None = None
    wax_bore_mm: Length | None = None
    wax_outside_mm: Length | None = None
    wax_width_mm: Length | None = None
    weight_g: Grams | None = None
    water_g: Grams | None = None

    @property
    def is_empty(self) -> bool:
        """Whether nothing was read."""
        read = (self.bore_mm, self.outside_mm, self.width_mm, self.weight_g, self.water_g)
        return all(one is None for one in read)


class LedgerRead(Asked):
    """Where the metal of one melt went: weighed out, in the finished ring, back in the trays."""

    alloy: Annotated[str, Field(min_length=1, max_length=200)]
    issued_g: Grams
    in_ring_g: Tray
    clean_returns_g: Tray
    filings_g: Tray


class Readings(Asked):
    """A whole file of readings.

    `calliper_mm` is how far a calliper reading may be off, jaws and hand (common practice, no
    source); `balance_g` the step of the balance, the shop's without. `accepted` is the day on
    which the shop file took them in.
    """

    date: datetime.date
    calliper_mm: Annotated[float, Field(gt=0, le=1)] = 0.02
    balance_g: Annotated[float, Field(gt=0, le=10)] | None = None
    water_c: Annotated[float, Field(ge=0, le=40)] = 20.0
    accepted: datetime.date | None = None
    castings: tuple[CastingRead, ...] = Field(
        default=(), alias="casting", strict=False, max_length=MOST_READ
    )
    ledgers: tuple[LedgerRead, ...] = Field(
        default=(), alias="ledger", strict=False, max_length=MOST_READ
    )


def read_readings(path: str | Path) -> tuple[Readings, str]:
    """Read a file of readings; also returns its text.

    Raises
    ------
    InputError
        Everything that is wrong with the file, each with key path, line and way out.
    """
    return read_model(path, Readings, "file of readings")
