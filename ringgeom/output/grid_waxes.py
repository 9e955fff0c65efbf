"""Waxes of chosen rows of a grid, each row in a folder of its own, several at a time.

The work goes through joblib, so that it runs on the cores of this machine or, inside
`joblib.parallel_config(backend="dask")`, on a Dask cluster.
"""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

from ringgeom.asked import file_word
from ringgeom.design import Design
from ringgeom.errors import InputError, OutputError, Problem, RinggeomError
from ringgeom.finger.numerals import number, plain
from ringgeom.finger.stepped import listed, range_in, stepped
from ringgeom.grid import Grid
from ringgeom.jobs import job
from ringgeom.output.grid_file import ENDINGS
from ringgeom.output.pack import write_waxes
from ringgeom.shop import Shop

Told = Callable[[str], None]
Kind = Literal["written", "stopped", "failed"]

LONGEST_NAME = 60
"""Letters of a job's name, as in a design."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RowWaxes:
    """What came of one row: where its waxes are, or why there are none."""

    row: int
    kind: Kind
    said: str


MOST_LOST = 3
"""So many rows one after the other that kill their workers, and no more are tried."""

Work = Callable[[int, Design, Shop, str], RowWaxes]


def rows_from_text(text: str, most: int) -> tuple[int, ...]:
    """Rows from a list such as "1, 5, 20..30", each once.

    Raises
    ------
    InputError
        An item is no whole number, or no row of the grid.
    """
    found: dict[int, None] = {}
    problems = []
    for item in listed(text):
        asked = range_in(item)
        ends = [
            number(plain(end)) for end in ((asked.first, asked.last) if asked else (item, item))
        ]
        first, last = ends
        if first is None or last is None or first % 1 or last % 1 or not 1 <= first <= last <= most:
            problems.append(
                Problem(
                    text="no rows of this grid",
                    where="--wax",
                    value=item,
                    allowed=f'1 to {most}, such as "1, 5, 20..30"',
                )
            )
            continue
        values = stepped(item, first, last, asked.step if asked else "")
        found.update(dict.fromkeys(int(value) for value in values))
    if problems or not found:
        raise InputError(
            problems or Problem(text="no row was given", where="--wax", allowed=f"1 to {most}")
        )
    return tuple(found)


def write_grid_waxes(
    grid: Grid,
    rows: Sequence[int],
    out: str | Path = "exports",
    *,
    told: Told = lambda step: None,
    workers: int = -1,
    work: Work | None = None,
) -> tuple[RowWaxes, ...]:
    """Write the waxes of some rows, each into its own folder under `out`.

    A row that is stopped or no design, or whose worker is killed, is told of; the others are
    written.

    Parameters
    ----------
    workers : int
        At a time; -1 for as many as there are cores, or on a cluster workers.
    work : callable, optional
        What is done for one row.

    Raises
    ------
    InputError
        The grid has no such row, or `out` is called like a table.
    OutputError
        Nothing can be written there at all.
    """
    if Path(out).suffix.removeprefix(".").lower() in ENDINGS:
        raise InputError(
            Problem(
                text="waxes go into a folder", where="--out", value=str(out),
                allowed="a folder; the table of all rows is written without --wax",
                nearest=str(Path(out).with_suffix("")),
            )
        )  # fmt: skip
    tasks: dict[int, Any] = {}
    found: dict[int, RowWaxes] = {}
    for row in rows:
        try:
            tasks[row] = (row, _named(grid, row), grid.shop, str(out))
        except InputError as error:
            if not 1 <= row <= grid.asked.rows:
                raise
            found[row] = RowWaxes(row=row, kind="stopped", said=str(error))
    with _made(Path(out)):
        for done, one in enumerate(_done(tasks, work or waxes_of_row, workers), start=1):
            told(f"waxes of {done} of {len(tasks)} rows")
            found[one.row] = one
    return tuple(found[row] for row in rows)


def waxes_of_row(row: int, design: Design, shop: Shop, out: str) -> RowWaxes:
    """The waxes of one row; what is refused on purpose is told, not raised."""
    try:
        made = job(design, shop)
        if made.stopped:
            reasons = "; ".join(f.text for f in made.findings if f.level == "stop")
            return RowWaxes(row=row, kind="stopped", said=reasons)
        write_waxes(made, out)
    except RinggeomError as error:
        return RowWaxes(row=row, kind="failed", said=str(error))
    return RowWaxes(row=row, kind="written", said=str(Path(out) / file_word(design.job.name)))


def _done(tasks: dict[int, Any], work: Work, workers: int) -> Iterator[RowWaxes]:
    """Every row as it is done; if a worker dies, the rows that it took with it one by one."""
    left = dict(tasks)
    try:
        for one in _parallel(list(left.values()), work, workers if len(tasks) > 1 else 1):
            del left[one.row]
            yield one
    except RinggeomError:
        raise
    except Exception:  # whatever a backend says of a dead worker
        pass
    lost = 0
    for row, task in left.items():
        try:
            if lost == MOST_LOST:
                raise ChildProcessError("no process is left to make it")
            (one,) = _parallel([task], work, 2)
            lost = 0
            yield one
        except Exception as error:  # as above: this row is the one
            lost = min(lost + 1, MOST_LOST)
            reason = str(error) if lost == MOST_LOST else type(error).__name__
            said = f"the process that made it was stopped, and nothing of it is written ({reason})"
            yield RowWaxes(row=row, kind="failed", said=said)


def _parallel(tasks: list[Any], work: Work, workers: int) -> Iterator[RowWaxes]:
    from joblib import Parallel, delayed

    run = Parallel(n_jobs=workers, return_as="generator_unordered")
    found: Iterator[RowWaxes] = run(delayed(work)(*task) for task in tasks)
    yield from found


def _named(grid: Grid, row: int) -> Design:
    """A row's design under a name of its own."""
    design = grid.design_of(row)
    tail = f" row {row}"
    name = design.job.name[: LONGEST_NAME - len(tail)].rstrip(" .") + tail
    return design.model_copy(update={"job": design.job.model_copy(update={"name": name})})


@contextmanager
def _made(folder: Path) -> Iterator[None]:
    """The folder made and tried before anything is computed; taken away if it stays empty.

    Raises
    ------
    OutputError
        It cannot be made or written.
    """
    above = [one for one in (folder, *folder.parents) if not one.exists()]
    try:
        folder.mkdir(parents=True, exist_ok=True)
        # it has no name, or none for longer than it takes to make it
        tempfile.TemporaryFile(dir=folder).close()
    except OSError as error:
        reason = error.strerror or str(error)
        raise OutputError(f"{folder} cannot be written: {reason}; choose another --out") from None
    try:
        yield
    finally:
        for one in above:
            with suppress(OSError):
                one.rmdir()
