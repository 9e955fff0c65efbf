"""The rows of a grid as CSV, piece by piece: one line for each ring, for a spreadsheet."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator

from ringgeom.grid import Grid, Row

LINES = 500
"""Lines that are written at once."""

MASSES = ("finished_g", "as_cast_g", "sprue_g", "button_g", "loss_g", "melt_g")


def grid_csv(grid: Grid, rows: Iterable[Row]) -> Iterator[bytes]:
    """A grid as CSV in UTF-8; mm3 and g to 4 decimals, grams empty where a ring is stopped.

    The alloys to melt stand side by side, as many as a ring can have; `level` is that of the
    worst rule broken, `reason` the words of all that stops or is questioned.
    """
    stream = io.StringIO(newline="")
    writer = csv.writer(stream, lineterminator="\r\n")
    writer.writerow(_head(grid))
    most, further = len(grid.roles), tuple(grid.further)
    for number, row in enumerate(rows, start=1):
        writer.writerow(_cells(row, most, further))
        if number % LINES == 0:
            yield _taken(stream)
    yield _taken(stream)


def _taken(stream: io.StringIO) -> bytes:
    text = stream.getvalue()
    stream.seek(0)
    stream.truncate()
    return text.encode("utf-8")


def _head(grid: Grid) -> list[str]:
    head = ["row", "size", "bore_mm", "width_mm", "thickness_mm"]
    for role in grid.roles:
        head += [f"{role} alloy", f"{role} mm3"]
    head.append("ring mm3")
    for number in range(1, len(grid.roles) + 1):
        head += [f"melt {number}", *(f"melt {number} {mass}" for mass in MASSES)]
    return [*head, "finished_g", "melt_g", *grid.further, "level", "codes", "reason"]


def _cells(row: Row, most: int, further: tuple[str, ...]) -> list[str]:
    cells = [
        str(row.number),
        row.size,
        "" if row.bore_mm is None else f"{row.bore_mm:.4f}",
        f"{row.width_mm:.10g}",
        f"{row.thickness_mm:.10g}",
    ]
    volumes = [f"{mm3:.4f}" for mm3 in row.volumes_mm3] or [""] * len(row.alloys)
    for alloy, volume in zip(row.alloys, volumes, strict=True):
        cells += (alloy, volume)
    made = bool(row.castings)
    cells.append(f"{row.volume_mm3:.4f}" if made else "")
    for one in row.castings:
        masses = one.finished_g, one.parts_g, one.sprue_g, one.button_g, one.loss_g, one.melt_g
        cells += (one.alloy, *(f"{grams:.4f}" for grams in masses))
    cells += [""] * (7 * (most - len(row.castings)))
    cells += (f"{row.finished_g:.4f}", f"{row.melt_g:.4f}") if made else ("", "")
    for name in further:
        value = row.further.get(name)
        cells.append("" if value is None else f"{value:.4f}")
    cells += (row.level, " ".join(dict.fromkeys(mark.code for mark in row.marks)), row.reason)
    return cells
