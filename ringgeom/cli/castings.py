"""Commands on what was cast: the readings of the bench, and what the shop learns from them."""

from __future__ import annotations

import datetime
from pathlib import Path
from typing import Annotated, Optional

import typer

from ringgeom.cli.app import STOPPED, AsJson, DesignFile, ShopFile, app, read_job, say_json, stopped
from ringgeom.errors import InputError, Problem

ReadingsFile = Annotated[
    Optional[Path],  # noqa: UP045  typer reads the annotation at run time
    typer.Argument(metavar="READINGS", help="A file of readings (TOML); --form writes one."),
]


@app.command()
def measured(
    design: DesignFile,
    readings: ReadingsFile = None,
    form: Annotated[
        Optional[Path],  # noqa: UP045  typer reads the annotation at run time
        typer.Option("--form", metavar="FILE", help="Write a form to fill in, and nothing else."),
    ] = None,
    accept: Annotated[
        bool, typer.Option("--accept", help="Take the proposed figures into the shop file.")
    ] = False,
    shop: ShopFile = None,
    json: AsJson = False,
) -> None:
    """Castings as they came out: shrink, pores, loss, and the shop's own figures from them.

    Examples: ringgeom measured designs/heron.toml --form form.toml; and when it is filled in:
    ringgeom measured designs/heron.toml designs/shop/heron-readings.toml
    """
    if (readings is None) == (form is None) or (accept and form is not None):
        raise InputError(
            Problem(
                text="a file of readings is needed",
                allowed="measured DESIGN READINGS, or measured DESIGN --form FILE to begin one",
            )
        )
    job, lines = read_job(design, shop)
    if stopped(job, lines, json):
        raise typer.Exit(STOPPED)
    from ringgeom.terminal import say

    if readings is None:
        from ringgeom.output.readings_form import write_form

        assert form is not None
        write_form(form, job, datetime.date.today())
        say(f"{form} is written; fill it in, then: ringgeom measured {design} {form}")
        return
    from ringgeom.afterwards import measured as as_measured
    from ringgeom.output.json_measured import measured_json
    from ringgeom.readings import read_readings
    from ringgeom.report.measured import tell_measured, tell_proposals
    from ringgeom.toml_lines import key_lines

    read, text = read_readings(readings)
    found = as_measured(job, read, key_lines(text))
    if accept:
        from ringgeom.output.accepting import accept as take_in

        take_in(found, shop, readings)
    if json:
        say_json({**measured_json(found), "accepted": accept})
        return
    tell_measured(found)
    tell_proposals(found)
    if accept:
        say(f"{shop} has these figures now; {readings} is marked as taken in")
    elif found.teaches:
        say("  nothing is changed until it is accepted: --accept with --shop FILE")
