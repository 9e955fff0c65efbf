"""Commands on melts: what to weigh out of the stock, what may be stamped, colour maps."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Optional

import typer

from ringgeom.cli.app import STOPPED, AsJson, ShopFile, app, read_job, say_json, stopped
from ringgeom.errors import InputError, Problem

if TYPE_CHECKING:
    from collections.abc import Sequence

    from ringgeom.making.poured import Casting
    from ringgeom.melt import MeltPlan
    from ringgeom.metal import Alloy
    from ringgeom.shop import Shop

Designs = Annotated[
    Optional[list[Path]],  # noqa: UP045  typer reads the annotation at run time
    typer.Argument(metavar="DESIGN", help="Design files; several share the stock in one plan."),
]


@app.command()
def melt(
    designs: Designs = None,
    alloy: Annotated[
        str, typer.Option("--alloy", metavar="ALLOY", help="Or one melt of this alloy.")
    ] = "",
    grams: Annotated[
        Optional[float],  # noqa: UP045  typer reads the annotation at run time
        typer.Option("--grams", metavar="G", help="How much of it to pour."),
    ] = None,
    have: Annotated[
        Optional[list[str]],  # noqa: UP045  typer reads the annotation at run time
        typer.Option(
            "--have", metavar="PORTION", help='Or as much as "31.1 g Au", or a lot, makes.'
        ),
    ] = None,
    one_flask: Annotated[
        bool, typer.Option("--one-flask", help="Waxes of one alloy on one tree, one button.")
    ] = False,
    shop: ShopFile = None,
    json: AsJson = False,
) -> None:
    """What to weigh out for each melt from the shop's lots, so that it reaches its fineness.

    Several designs share the stock; with --one-flask their waxes of one alloy share a flask.

    Examples: ringgeom melt designs/heron.toml --shop designs/shop/drawer.toml; ringgeom melt
    --alloy "Au 75 Ag 16 Cu 9" --grams 20; ringgeom melt --alloy "Au 75 Ag 16 Cu 9" --have
    "31.1 g Au"
    """
    if designs and not (alloy or have) and grams is None:
        _melt_designs(designs, shop, json, one_flask)
    elif alloy and not (designs or one_flask) and (grams is None) != (not have):
        if have:
            _melt_all_of(alloy, have, shop, json)
        else:
            _melt_grams(alloy, grams or 0.0, shop, json)
    else:
        raise InputError(
            Problem(
                text="a melt needs design files, or an alloy with its grams or with "
                "what is in hand",
                allowed='melt DESIGN ..., melt --alloy "Au 75 Ag 25" --grams 20, or melt --alloy '
                '"Au 75 Ag 25" --have "31.1 g Au"',
            )
        )


def _melt_designs(designs: list[Path], shop: Path | None, json: bool, one_flask: bool) -> None:
    from ringgeom.afterwards import shared_castings, shared_melts

    jobs = []
    for design in designs:
        job, lines = read_job(design, shop, named=str(design) if len(designs) > 1 else "")
        if stopped(job, lines, json):
            raise typer.Exit(STOPPED)
        jobs.append(job)
    settings = jobs[0].shop
    alloys = [alloy for job in jobs for alloy, _ in job.colours]
    castings = shared_castings(jobs) if one_flask else ()
    if castings and not json:
        from ringgeom.report.castings import tell_castings
        from ringgeom.terminal import say

        tell_castings(castings, settings.casting, flasks=True)
        say()
    _tell_plan(shared_melts(jobs, castings), settings, alloys, json, castings)


def _melt_grams(alloy: str, grams: float, shop: Path | None, json: bool) -> None:
    from ringgeom.melt import melt_plan, wanted_grams
    from ringgeom.metal import alloy_meant
    from ringgeom.shop import read_shop

    settings, made = read_shop(shop), alloy_meant(alloy)
    plan = melt_plan([wanted_grams(made, grams)], settings.lots, settings.melt, settings.prices)
    _tell_plan(plan, settings, [made], json)


def _tell_plan(
    plan: MeltPlan,
    settings: Shop,
    alloys: list[Alloy],
    json: bool,
    castings: Sequence[Casting] = (),
) -> None:
    from ringgeom.metal.caution import melting_cautions
    from ringgeom.output.json_bench import plan_json
    from ringgeom.report.melts import tell_cautions, tell_plan

    warned = melting_cautions([alloy.recipe for alloy in alloys])
    if json:
        say_json(plan_json(plan, settings.melt, warned, castings))
    else:
        tell_plan(plan, settings.melt)
        tell_cautions(warned)
    if not plan.possible:
        raise typer.Exit(STOPPED)


def _melt_all_of(alloy: str, have: list[str], shop: Path | None, json: bool) -> None:
    from ringgeom.melt import wanted_grams
    from ringgeom.metal import alloy_meant
    from ringgeom.metal.mixing import most_alloy
    from ringgeom.metal.portion_text import lot_in_hand, metals_in_hand
    from ringgeom.metal.reaching import reach_recipe
    from ringgeom.metal.weighed_change import weighed_out
    from ringgeom.output.json_bench import in_hand_json, reached_json
    from ringgeom.report.bench import tell_in_hand, tell_reached
    from ringgeom.shop import read_shop

    step = read_shop(shop).melt.balance_g
    made = alloy_meant(alloy)
    wanted_grams(made, 1.0)
    if (lot := lot_in_hand(have)) is not None:
        source = (lot.alloy.recipe, lot.grams)
        reached = reach_recipe(*source, made.recipe)
        out = weighed_out(made.recipe, reached.add, whole={}, balance_g=step, lot=source)
        if json:
            say_json(reached_json(made, lot, reached, out))
        else:
            tell_reached(made, lot, reached, out)
        return
    held = metals_in_hand(have)
    found = most_alloy(made.recipe, held)
    limiting = {found.limiting: held[found.limiting]}
    out = weighed_out(made.recipe, found.needed, whole=limiting, balance_g=step)
    if json:
        say_json(in_hand_json(made, found, out))
    else:
        tell_in_hand(made, found, out)


@app.command()
def mark(
    design: Annotated[Path, typer.Argument(metavar="DESIGN", help="A design file (TOML).")],
    region: Annotated[
        str, typer.Option("--region", help="uk, us, convention or iso; else the shop's, else all.")
    ] = "",
    solder: Annotated[
        Optional[list[str]],  # noqa: UP045  typer reads the annotation at run time
        typer.Option("--solder", metavar="G PERMILLE", help='Solder in it: "0.1 585".'),
    ] = None,
    why: Annotated[bool, typer.Option("--why", help="With every rule behind it.")] = False,
    shop: ShopFile = None,
    json: AsJson = False,
) -> None:
    """What may be stamped on each part, region by region, and why. A proposal only.

    Example: ringgeom mark designs/heron.toml --region uk
    """
    from ringgeom.afterwards import job_marks, job_solder_rooms
    from ringgeom.output.json_making import solder_room_json
    from ringgeom.output.json_metal import marks_json
    from ringgeom.report.melts import tell_marks

    job, lines = read_job(design, shop)
    if stopped(job, lines, json):
        raise typer.Exit(STOPPED)
    found = job_marks(job, region, solder or ())
    rooms = job_solder_rooms(job, region, solder) if solder else ()
    if json:
        told = [marks_json(one) for one in found]
        say_json({"marks": told, "solder": [solder_room_json(one) for one in rooms]})
    else:
        tell_marks(found, rooms, words=why)


@app.command()
def chart(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="A .png or .svg to write.")],
    design: Annotated[
        Optional[Path],  # noqa: UP045  typer reads the annotation at run time
        typer.Option("--design", metavar="DESIGN", help="Marks the alloys of this design."),
    ] = None,
    alloys: Annotated[
        Optional[list[str]],  # noqa: UP045  typer reads the annotation at run time
        typer.Option("--alloy", metavar="ALLOY", help="Marks this alloy; may be repeated."),
    ] = None,
    green: Annotated[
        bool, typer.Option("--green-line", help="The line from gold to silver instead.")
    ] = False,
    shop: ShopFile = None,
) -> None:
    """A map of predicted colours over gold, silver and copper, with fineness and ISO 8654.

    Example: ringgeom chart map.png --design designs/heron.toml
    """
    from ringgeom.metal import alloy_meant
    from ringgeom.output.chart_file import write_chart
    from ringgeom.terminal import say

    if shop is not None and design is None:
        raise InputError(
            Problem(text="a shop file counts with a design", allowed="--design FILE --shop FILE")
        )
    marked = [alloy_meant(one) for one in alloys or ()]
    title = "Gold, silver and copper"
    if design is not None:
        job, lines = read_job(design, shop)
        if stopped(job, lines, False):
            raise typer.Exit(STOPPED)
        marked += [one for one, _ in job.colours]
        title = job.design.job.name
    for told in write_chart(file, marked, title=title, green=green):
        say(told)
