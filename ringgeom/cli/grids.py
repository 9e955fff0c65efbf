"""The command on many rings: sizes, widths, thicknesses and alloys of one design."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Optional

import typer

from ringgeom.cli.app import (
    STOPPED,
    UNREADABLE,
    AsJson,
    DesignFile,
    ShopFile,
    app,
    read_asked,
    say_json,
    wide,
)

if TYPE_CHECKING:
    from ringgeom.grid import Grid


@app.command()
def grid(
    design: DesignFile,
    sizes: Annotated[
        str, typer.Option("--sizes", metavar="SIZES", help='"US 5..12 by 1/2", "ISO 50, 52".')
    ] = "",
    widths: Annotated[
        str, typer.Option("--widths", metavar="MM", help='"4..8 by 0.5", "4, 5, 6".')
    ] = "",
    thicknesses: Annotated[
        str, typer.Option("--thicknesses", metavar="MM", help='"1.8, 2.0, 2.2".')
    ] = "",
    alloy: Annotated[
        Optional[list[str]],  # noqa: UP045  typer reads the annotation at run time
        typer.Option(
            "--alloy",
            metavar="PART=ALLOY",
            help='reed="Au 75 Ag 25"; given several times, every combination.',
        ),
    ] = None,
    places: Annotated[
        str,
        typer.Option("--places", help="fixed: places keep their mm; share: their share."),
    ] = "fixed",
    wax: Annotated[
        str, typer.Option("--wax", metavar="ROWS", help='Waxes of rows "1, 5, 20..30" into --out.')
    ] = "",
    out: Annotated[
        Optional[Path],  # noqa: UP045  typer reads the annotation at run time
        typer.Option("--out", metavar="FILE", help="All rows, .csv or .json; with --wax a folder."),
    ] = None,
    shop: ShopFile = None,
    json: AsJson = False,
) -> None:
    """Many rings of one design: grams of each, grams to melt, and which of them cannot be made.

    Example: ringgeom grid designs/heron.toml --sizes "US 5..12 by 1/2" --widths "5..7 by 0.5"
    --alloy reed=gold-750-green --alloy reed="Au 75 Ag 25" --out heron.csv
    """
    from ringgeom.grid import Grid, grid_asked
    from ringgeom.quoting.many import quote_columns

    asked, settings, _ = read_asked(design, shop)
    many = Grid(
        design=asked,
        shop=settings,
        asked=grid_asked(
            asked,
            sizes=sizes,
            widths=widths,
            thicknesses=thicknesses,
            alloys=alloy or (),
            places=places,
        ),
        further=quote_columns(settings),
    )
    if wax:
        _waxes(many, wax, out or Path("exports"), json)
    else:
        _rows(many, out, json)


def _rows(many: Grid, out: Path | None, json: bool) -> None:
    from ringgeom.grid.tally import Tally
    from ringgeom.output.grid_file import ending_of, write_grid
    from ringgeom.output.json_grid import grid_json, summary_json
    from ringgeom.report.grid import tell_grid
    from ringgeom.terminal import progress

    if out is not None:
        ending_of(out)
    tally = Tally()
    with progress() as told:
        if out is not None:
            write_grid(many, out, tally, told=told)
        else:
            rows = tally.passing(many.rows(told=told))
            for piece in grid_json(many, rows, tally, plain=not wide()) if json else rows:
                if json:
                    sys.stdout.write(str(piece))
    if out is not None and json:
        say_json({"file": str(out), **summary_json(tally)})
    elif not json:
        tell_grid(many, tally, out)
    if tally.stopped == tally.rows:
        raise typer.Exit(STOPPED)


def _waxes(many: Grid, wax: str, out: Path, json: bool) -> None:
    from ringgeom.output.grid_waxes import rows_from_text, write_grid_waxes
    from ringgeom.terminal import progress, table

    numbers = rows_from_text(wax, many.asked.rows)
    with progress() as told:
        found = write_grid_waxes(many, numbers, out, told=told)
    if json:
        say_json({"waxes": [{"row": w.row, "kind": w.kind, "said": w.said} for w in found]})
    else:
        table(("row", "", "waxes"), [[str(one.row), one.kind, one.said] for one in found])
    kinds = {one.kind for one in found}
    if "failed" in kinds:
        raise typer.Exit(UNREADABLE)
    if "stopped" in kinds:
        raise typer.Exit(STOPPED)
