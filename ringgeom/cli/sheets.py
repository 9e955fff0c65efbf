"""The command that prints: the bench sheet, the client's card, the templates."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from ringgeom.cli.app import STOPPED, DesignFile, OutFolder, ShopFile, app, read_job, stopped


@app.command()
def sheet(
    design: DesignFile,
    paper: Annotated[
        str, typer.Option("--paper", metavar="SIZE", help="A4 or Letter; else the shop's own.")
    ] = "",
    shop: ShopFile = None,
    out: OutFolder = Path("exports"),
) -> None:
    """The bench sheet, the client's card, templates and laser files, into DIR/<job>/.

    Example: ringgeom sheet designs/heron.toml --paper Letter
    """
    from ringgeom.output.pack import write_sheets
    from ringgeom.sheet.paper import paper_named
    from ringgeom.terminal import say

    if paper:
        paper_named(paper)
    job, lines = read_job(design, shop)
    if stopped(job, lines, json=False):
        raise typer.Exit(STOPPED)
    for path in write_sheets(job, out, paper=paper):
        say(str(path))
