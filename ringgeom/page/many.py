"""Many rings of the design on the page: the first rows to look at, all of them as a table."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import islice
from typing import Any

from ringgeom.errors import InputError, Problem
from ringgeom.grid import Grid, Row, grid_asked
from ringgeom.grid.tally import Tally
from ringgeom.output.grid_table import grid_csv
from ringgeom.page.asked import GridSent
from ringgeom.page.latest import Latest
from ringgeom.page.long import Told
from ringgeom.quoting.many import quote_columns
from ringgeom.report.grid import tell_axes, tell_rows, tell_tally
from ringgeom.terminal import say

SHOWN = 300
"""Rows that the page shows; the rest is in the file."""

MOST_ROWS = 100_000
"""Rows that the page asks for at once: about ten seconds."""

EVERY = 500
"""Rows between two looks at whether something else was asked for since."""


def first_rows(latest: Latest, sent: GridSent) -> dict[str, Any]:
    """Tell the first rows and what all come to; how many there are, and are told.

    Raises
    ------
    InputError
        The design or a list cannot be read, or the rows are too many for the page.
    Overtaken
        Another grid was asked for since.
    """
    many = _many(latest, sent)
    tally = Tally()
    with latest.long.work("grid") as told:
        rows = tally.passing(_watched(many, told))
        first = list(islice(rows, SHOWN))
        for _ in rows:
            pass
    tell_axes(many)
    say()
    tell_rows(many, first)
    say()
    tell_tally(tally)
    return {"rows": tally.rows, "shown": len(first), "stopped": tally.stopped}


def all_rows(latest: Latest, sent: GridSent) -> Iterator[bytes]:
    """All rows as the command writes them into its file; errors as in `first_rows`."""
    many = _many(latest, sent)
    return grid_csv(many, many.rows())


def _many(latest: Latest, sent: GridSent) -> Grid:
    design, shop = latest.design(sent.text), latest.shop.state.shop
    asked = grid_asked(
        design,
        sizes=sent.sizes,
        widths=sent.widths,
        thicknesses=sent.thicknesses,
        alloys=sent.alloys,
        places=sent.places,
    )
    if asked.rows > MOST_ROWS:
        raise InputError(
            Problem(
                text=f"this grid has {asked.rows:,} rows",
                allowed=f"{MOST_ROWS:,} at most here; `ringgeom grid` takes more",
            )
        )
    return Grid(design=design, shop=shop, asked=asked, further=quote_columns(shop))


def _watched(many: Grid, told: Told) -> Iterator[Row]:
    for number, row in enumerate(many.rows(told=told), start=1):
        if number % EVERY == 0:
            told(f"ring {number:,} of {many.asked.rows:,}")
        yield row
