"""The command that opens the bench page."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Optional

import typer

from ringgeom.cli.app import ShopFile, app


@app.command()
def bench(
    design: Annotated[
        Optional[Path],  # noqa: UP045  typer reads the annotation at run time
        typer.Argument(metavar="[DESIGN]", help="A design file (TOML) to begin with."),
    ] = None,
    shop: ShopFile = None,
    port: Annotated[
        int, typer.Option("--port", min=0, max=65535, help="Port; any free one if none is given.")
    ] = 0,
    no_browser: Annotated[
        bool, typer.Option("--no-browser", help="Only print the address.")
    ] = False,
) -> None:
    """Design in the browser, on this machine alone; Ctrl-C ends it.

    Example: ringgeom bench designs/heron.toml --shop designs/shop/drawer.toml
    """
    from ringgeom.page.serve import serve_bench
    from ringgeom.terminal import say

    serve_bench(
        design,
        shop,
        port=port,
        browser=not no_browser,
        told=lambda address: say(f"the bench is at {address}  (Ctrl-C ends it)"),
    )
