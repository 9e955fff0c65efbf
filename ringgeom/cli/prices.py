"""Commands on money and choice: what a ring costs, and the ring in other alloys."""

from __future__ import annotations

import datetime
from dataclasses import replace
from typing import Annotated, Optional

import typer

from ringgeom.cli.app import STOPPED, AsJson, DesignFile, ShopFile, app, read_job, say_json, stopped
from ringgeom.errors import InputError


@app.command()
def price(
    design: DesignFile,
    on: Annotated[
        str, typer.Option("--on", metavar="DAY", help="Day of the quote; today if none is given.")
    ] = "",
    shop: ShopFile = None,
    json: AsJson = False,
) -> None:
    """A quote: metal with what comes back, labour, margin, how long it stands.

    All figures are the shop's own: [prices] and [labour] of its file. None is built in.

    Example: ringgeom price designs/heron.toml --shop designs/shop/priced.toml --on 2026-11-21
    """
    from ringgeom.price import day_from_text, quote_on

    day = day_from_text(on) if on else datetime.date.today()
    job, lines = read_job(design, shop)
    if stopped(job, lines, json):
        raise typer.Exit(STOPPED)
    from ringgeom.quoting import grams_and_minutes

    try:
        found = quote_on(grams_and_minutes(job), day)
    except InputError as error:
        # with two files in hand, say which
        raise InputError([replace(one, file=str(shop)) for one in error.problems]) from None
    if json:
        from ringgeom.output.json_price import quote_on_json

        say_json({"job": {"name": job.design.job.name}, **quote_on_json(found)})
        return
    from ringgeom.report.price import tell_quote

    tell_quote(job.design.job.name, found)


@app.command()
def swap(
    design: DesignFile,
    part: Annotated[str, typer.Option("--part", metavar="NAME", help="Only this part.")] = "",
    fineness: Annotated[
        Optional[float],  # noqa: UP045  typer reads the annotation at run time
        typer.Option("--fineness", metavar="PERMILLE", help="Of the alloys to try."),
    ] = None,
    any_metal: Annotated[
        bool, typer.Option("--any", help="Any precious metal, any fineness unless one is given.")
    ] = False,
    together: Annotated[
        bool, typer.Option("--together", help="All parts at once, not one by one.")
    ] = False,
    most: Annotated[
        int, typer.Option("--most", min=1, max=500, help="How many rings with --together.")
    ] = 20,
    shop: ShopFile = None,
    json: AsJson = False,
) -> None:
    """The design in every sensible alloy: grams, price, contrast, and the rules it would break.

    Examples: ringgeom swap designs/heron.toml --part reed; ringgeom swap designs/heron.toml
    --fineness 585 --together
    """
    job, lines = read_job(design, shop)
    if stopped(job, lines, json):
        raise typer.Exit(STOPPED)
    from ringgeom.swap import swaps

    found = swaps(
        job,
        part=part,
        fineness_permille=fineness,
        any_metal=any_metal,
        together=together,
        most=most,
    )
    if json:
        from ringgeom.output.json_price import swap_json

        say_json({"job": {"name": job.design.job.name}, **swap_json(found)})
        return
    from ringgeom.report.swap import tell_swaps

    tell_swaps(found)
