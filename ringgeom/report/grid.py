"""A grid told in the terminal: every row of a small one, groups of rows of a large one."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from ringgeom.findings.scope import NOT_OF_MANY
from ringgeom.grid import Grid, Row
from ringgeom.grid.tally import Group, Tally
from ringgeom.terminal import finding_line, say, table
from ringgeom.units import grams


def tell_grid(grid: Grid, tally: Tally, out: Path | None) -> None:
    """What a grid comes to, and where all its rows are."""
    tell_axes(grid)
    say()
    if tally.single:
        tell_rows(grid, tally.single)
    else:
        _tell_groups(grid, tally.groups)
        if tally.more_groups:
            say(f"  and {tally.more_groups:,} more groups")
    say()
    tell_tally(tally)
    if out is not None:
        say(f"all {tally.rows:,} rows are in {out}")
    elif not tally.single:
        say("for every row: --out FILE.csv or --out FILE.json")


def tell_axes(grid: Grid) -> None:
    """How many rings, and in what they differ."""
    asked = grid.asked
    say(
        f"{grid.design.job.name}: {asked.rows:,} rings, {len(asked.sizes)} sizes x "
        f"{len(asked.widths_mm)} widths x {len(asked.thicknesses_mm)} thicknesses x "
        f"{len(asked.choices)} choices of alloys"
    )


def tell_tally(tally: Tally) -> None:
    """How many can be made, and which rules the others break."""
    made = tally.rows - tally.stopped
    say(f"{made:,} can be made, {tally.warned:,} of them with a warning; {tally.stopped:,} cannot")
    for one in tally.broken:
        if one.level != "note":
            told = f"{one.rows:,} rows, the first is {one.first}"
            finding_line(one.level, one.code, told, one.text, "")
    notes = [f"{one.code} ({one.rows:,})" for one in tally.broken if one.level == "note"]
    if notes:
        say(f"notes: {', '.join(notes)}; `weigh` gives them for one ring")
    say(f"not judged for many rings at once: the stock and the balance ({', '.join(NOT_OF_MANY)})")


def tell_rows(grid: Grid, rows: Sequence[Row]) -> None:
    """Rows one by one."""
    vary = _varying(grid, [row.alloys for row in rows])
    further = tuple(grid.further)
    head = ["row", "size", "bore, mm", "width", "thick", *(grid.roles[n] for n in vary)]
    head += ["finished, g", "to melt, g", *further, "marked"]
    table(
        head,
        [
            [
                str(row.number),
                row.size,
                "" if row.bore_mm is None else f"{row.bore_mm:.2f}",
                f"{row.width_mm:g}",
                f"{row.thickness_mm:g}",
                *(row.alloys[n] for n in vary),
                grams(row.finished_g) if row.castings else "",
                ", ".join(f"{grams(c.melt_g)} {c.alloy}" for c in row.castings),
                *(_number(row.further.get(name)) for name in further),
                _marked(row),
            ]
            for row in rows
        ],
    )


def _number(value: float | None) -> str:
    return "" if value is None else f"{value:.2f}"


def _marked(row: Row) -> str:
    codes = dict.fromkeys(mark.code for mark in row.marks if mark.level == row.level)
    return f"{row.level}: {', '.join(codes)}" if row.level in ("stop", "warn") else ""


def _tell_groups(grid: Grid, groups: Sequence[Group]) -> None:
    vary = _varying(grid, [group.alloys for group in groups])
    names = [grid.roles[n] for n in vary]
    table(
        ["rows", "width", "thick", *names, "sizes", "finished, g", "to melt, g", "marked"],
        [
            [
                f"{group.first}-{group.last}",
                f"{group.width_mm:g}",
                f"{group.thickness_mm:g}",
                *(group.alloys[n] for n in vary),
                " to ".join(group.made),
                _span(group.finished_g),
                ", ".join(f"{_span(span)} {alloy}" for alloy, span in group.melt_g.items()),
                _counts(group),
            ]
            for group in groups
        ],
    )


def _varying(grid: Grid, alloys: Sequence[tuple[str, ...]]) -> list[int]:
    """Roles whose alloy is not the same in all that is told."""
    return [n for n in range(len(grid.roles)) if len({one[n] for one in alloys}) > 1]


def _span(span: tuple[float, float] | None) -> str:
    if span is None:
        return ""
    low, high = (grams(value) for value in span)
    return low if low == high else f"{low} to {high}"


def _counts(group: Group) -> str:
    said = [(group.stopped, "stopped"), (group.warned, "warned")]
    return ", ".join(f"{count} {what}" for count, what in said if count)
