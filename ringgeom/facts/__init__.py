"""Tables of facts, each with its source. This module is the only code that opens them.

A table is a CSV file beside this one, a row is a dict of the texts as written,
and ``sources.toml`` says of each table what it holds and how far to trust it.
"""

from __future__ import annotations

import csv
import io
from functools import cache
from importlib.resources import files
from typing import Any


@cache
def table(name: str) -> tuple[dict[str, str], ...]:
    """All rows of a table, read once.

    Parameters
    ----------
    name : str
        The file's name without ``.csv``.

    Returns
    -------
    tuple of dict
        One dict per row, column name to text; an empty cell is ``""``. Shared: do not alter.

    Raises
    ------
    LookupError
        There is no such table.
    ValueError
        A row has more or fewer cells than the head, which is a fault in the table.

    Examples
    --------
    >>> table("elements")[0]["symbol"]
    'Au'
    """
    place = files(__name__).joinpath(f"{name}.csv")
    if not place.is_file():
        raise LookupError(f"no table of facts named {name!r}; there are: {', '.join(tables())}")
    reader = csv.DictReader(io.StringIO(place.read_text(encoding="utf-8")), strict=True)
    rows = tuple(reader)
    for count, row in enumerate(rows, start=1):
        # DictReader pads a short row with None and collects a long row's rest under None.
        if None in row or None in row.values():
            raise ValueError(f"{name}.csv: row {count} does not have the cells of the head")
    return rows


def tables() -> tuple[str, ...]:
    """Names of all tables, in alphabetical order."""
    found = (entry.name for entry in files(__name__).iterdir())
    return tuple(sorted(name.removesuffix(".csv") for name in found if name.endswith(".csv")))


@cache
def sources() -> dict[str, Any]:
    """What each table holds, where it is from and what mark it carries.

    Returns
    -------
    dict
        Table name to its entry of ``sources.toml``: ``file``, ``what``, ``from``, ``known``,
        ``note``, and for the alloys ``left_out``. Shared: do not alter.
    """
    # Only the outputs that print sources need a TOML reader; weighing does not.
    import tomllib

    return tomllib.loads(files(__name__).joinpath("sources.toml").read_text(encoding="utf-8"))
