"""The command for pictures."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Optional

import typer

from ringgeom.cli.app import (
    STOPPED,
    AsJson,
    DesignFile,
    OutFolder,
    ShopFile,
    app,
    read_job,
    say_json,
    stopped,
)


@app.command()
def picture(
    design: DesignFile,
    shop: ShopFile = None,
    out: OutFolder = Path("exports"),
    view: Annotated[
        Optional[list[str]],  # noqa: UP045  typer reads the annotation at run time
        typer.Option(
            "--view", metavar="NAME", help="three-quarter, front, section or exploded; repeatable."
        ),
    ] = None,
    turntable: Annotated[
        bool, typer.Option("--turntable", help="The ring turning too, an animated PNG.")
    ] = False,
    to_send: Annotated[
        bool,
        typer.Option("--to-send", help="One HTML file too: the ring to turn, metals, sizes."),
    ] = False,
    json: AsJson = False,
) -> None:
    """Pictures in the predicted colours, each with its scale bar, into DIR/<job>/pictures/.

    Example: ringgeom picture designs/heron.toml --view front
    """
    from ringgeom.output.picture_files import write_pictures
    from ringgeom.output.pictures import views_meant
    from ringgeom.terminal import progress

    # a name that is wrong is told before anything is worked out
    views_meant(view or ())
    job, lines = read_job(design, shop)
    if stopped(job, lines, json):
        raise typer.Exit(STOPPED)
    beside = {}
    if to_send:
        from ringgeom.page.sent import sent_html, sent_name

        beside = {sent_name(job): sent_html(job)}
    with progress() as told:
        paths, found = write_pictures(
            job, out, view or (), turntable=turntable, beside=beside, told=told
        )
    if json:
        from ringgeom.output.json_pictures import pictures_json

        say_json(pictures_json(job.design.job.name, paths, found))
    else:
        from ringgeom.report.pictures import tell_pictures

        tell_pictures(paths, found)
