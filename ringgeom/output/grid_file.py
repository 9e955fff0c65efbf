"""A grid in a file, written row by row as it is computed: CSV or JSON, by the file's ending."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from pathlib import Path

from ringgeom.errors import InputError, Problem
from ringgeom.grid import Grid, Row
from ringgeom.grid.tally import Tally
from ringgeom.output.grid_table import grid_csv
from ringgeom.output.json_grid import grid_json
from ringgeom.output.one_file import write_pieces

Told = Callable[[str], None]

ENDINGS = ("csv", "json")


def ending_of(path: Path) -> str:
    """csv or json.

    Raises
    ------
    InputError
        The file's name ends otherwise.
    """
    ending = path.suffix.removeprefix(".").lower()
    if ending not in ENDINGS:
        raise InputError(
            Problem(
                text="the rows of a grid go into a table",
                where="--out",
                value=str(path),
                allowed="a file that ends in .csv or .json",
                nearest=str(path.with_suffix(f".{ENDINGS[0]}")) if path.name else "",
            )
        )
    return ending


def write_grid(grid: Grid, path: Path, tally: Tally, *, told: Told) -> None:
    """Write a grid; an older file is replaced when the last row is written.

    Raises
    ------
    InputError
        The file's name ends in something else.
    OutputError
        It cannot be written; an older file is untouched.
    """
    rows = tally.passing(grid.rows(told=told))
    write_pieces(path, _PIECES[ending_of(path)](grid, rows, tally))


def _csv(grid: Grid, rows: Iterable[Row], tally: Tally) -> Iterator[bytes]:
    return grid_csv(grid, rows)


def _json(grid: Grid, rows: Iterable[Row], tally: Tally) -> Iterator[bytes]:
    return (piece.encode("utf-8") for piece in grid_json(grid, rows, tally))


_PIECES = {"csv": _csv, "json": _json}
