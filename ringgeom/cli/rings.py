"""Commands on a ring: make, wax, weigh, check, and those on its size and its file."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from ringgeom.cli.app import (
    STOPPED,
    AsJson,
    DesignFile,
    OutFolder,
    ShopFile,
    app,
    print_job,
    read_job,
    say_json,
    stopped,
)

if TYPE_CHECKING:
    from ringgeom.jobs import Job


@app.command()
def make(
    design: DesignFile,
    shop: ShopFile = None,
    out: OutFolder = Path("exports"),
    pictures: Annotated[
        bool, typer.Option("--pictures/--no-pictures", help="Pictures take the longest.")
    ] = True,
    json: AsJson = False,
) -> None:
    """Everything of a ring: weights, waxes, assembly, sheets, pictures, into DIR/<job>/.

    Examples: ringgeom make designs/heron.toml; ringgeom make designs/heron.toml --no-pictures
    --shop designs/shop/drawer.toml --out exports
    """
    _written(design, shop, out, json, pictures=pictures)


@app.command()
def wax(
    design: DesignFile,
    shop: ShopFile = None,
    out: OutFolder = Path("exports"),
    json: AsJson = False,
) -> None:
    """The waxes: one scaled STL per part, and a 3MF plate with the parts apart.

    Example: ringgeom wax designs/heron.toml
    """
    _written(design, shop, out, json, waxes_only=True)


@app.command()
def weigh(design: DesignFile, shop: ShopFile = None, json: AsJson = False) -> None:
    """Grams of each part, and grams to melt of each alloy.

    Example: ringgeom weigh designs/heron.toml
    """
    job, lines = read_job(design, shop)
    if stopped(job, lines, json):
        raise typer.Exit(STOPPED)
    if json:
        print_job(job, lines)
        return
    from ringgeom.report.ring import tell_findings

    _tell_weights(job, flasks=False)
    tell_findings(job, lines)


@app.command()
def check(design: DesignFile, shop: ShopFile = None, json: AsJson = False) -> None:
    """What is wrong with a design, each with its number, its limit and the way out.

    Example: ringgeom check designs/heron.toml
    """
    job, lines = read_job(design, shop)
    if json:
        print_job(job, lines)
    else:
        from ringgeom.report.engraving import tell_engravings
        from ringgeom.report.inlays import tell_inlays
        from ringgeom.report.making import tell_band, tell_joints, tell_routes
        from ringgeom.report.ring import tell_findings, tell_size

        tell_size(job)
        tell_inlays(job)
        tell_engravings(job)
        tell_band(job)
        tell_routes(job)
        tell_joints(job)
        tell_findings(job, lines)
    if job.stopped:
        raise typer.Exit(STOPPED)


@app.command()
def size(
    asked: Annotated[list[str], typer.Argument(metavar="SIZE", help='Such as "US 7 1/4".')],
    json: AsJson = False,
) -> None:
    """A finger size on every scale, in mm.

    Examples: ringgeom size "US 7 1/4"; ringgeom size 54.4 mm around
    """
    from ringgeom.finger import hints, labels, read_size
    from ringgeom.terminal import say, table

    found = read_size(" ".join(asked))
    near = labels(found.inside_diameter_mm)
    if json:
        from ringgeom.output.json import size_json

        say_json(size_json(found))
        return
    say(
        f"{found.asked} = {found.inside_diameter_mm:.2f} mm across, "
        f"{found.circumference_mm:.2f} mm around"
    )
    table(
        ("scale", "nearest size", "mm across", "off by, mm around"),
        [[n.scale, n.label, f"{n.inside_diameter_mm:.2f}", f"{n.residual_mm:+.2f}"] for n in near],
    )
    for hint in hints(found):
        say(f"note: {hint}")


@app.command()
def resize(
    design: DesignFile,
    to: Annotated[str, typer.Option("--to", metavar="SIZE", help='Such as "US 8".')],
    shop: ShopFile = None,
    json: AsJson = False,
) -> None:
    """A finished ring at another size: which way works, what every part gains or loses.

    Example: ringgeom resize designs/heron.toml --to "US 7 1/2"
    """
    job, lines = read_job(design, shop)
    if stopped(job, lines, json):
        raise typer.Exit(STOPPED)
    from ringgeom.output.json_making import resize_json
    from ringgeom.report.resize import tell_resize
    from ringgeom.resizing import resize as resized

    found = resized(job.design, job.shop, to)
    if json:
        say_json(resize_json(found))
    else:
        tell_resize(found)


@app.command()
def start(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="The design file to write.")],
    kind: Annotated[
        str,
        typer.Option(
            "--kind", help="channel, liner, stripes, rails, waves, segments, halves or plain."
        ),
    ] = "channel",
) -> None:
    """Write a commented design to begin from.

    Example: ringgeom start my-ring.toml --kind waves
    """
    from ringgeom.output.start import write_start
    from ringgeom.terminal import say

    write_start(file, kind)
    say(f"{file} is written; next: ringgeom weigh {file}")


@app.command()
def forms(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="The sheet to write, FILE.svg.")],
) -> None:
    """A sheet of every form of outside and bore with its measures, in mm, to print.

    Example: ringgeom forms forms.svg
    """
    from ringgeom.output.forms_file import write_forms
    from ringgeom.terminal import say

    write_forms(file)
    say(f"{file} is written")


def _tell_weights(job: Job, *, flasks: bool) -> None:
    """Size, parts and what is let in or cut into them, grams to melt, colours."""
    from ringgeom.report.castings import tell_castings
    from ringgeom.report.engraving import tell_engravings
    from ringgeom.report.inlays import tell_inlays
    from ringgeom.report.ring import tell_colours, tell_parts, tell_size

    tell_size(job)
    tell_parts(job)
    tell_inlays(job)
    tell_engravings(job)
    tell_castings(job.castings, job.shop.casting, flasks=flasks)
    tell_colours(job)


def _written(
    design: Path,
    shop: Path | None,
    out: Path,
    json: bool,
    *,
    waxes_only: bool = False,
    pictures: bool = False,
) -> None:
    from ringgeom.output import pack
    from ringgeom.terminal import complain, progress, say

    job, lines = read_job(design, shop)
    if stopped(job, lines, json):
        if (folder := pack.left_from_before(job, out)) is not None:
            complain(f"the files in {folder} are of an earlier design: do not print them")
        raise typer.Exit(STOPPED)
    shown = None
    with progress() as told:
        if pictures:
            from ringgeom.output.pictures import pictures as made

            shown = made(job, told=told)
        if waxes_only:
            paths = pack.write_waxes(job, out, told=told)
        else:
            paths = pack.write(job, out, pictures=shown, told=told)
    if json:
        print_job(job, lines)
        return
    from ringgeom.report.making import tell_going_together
    from ringgeom.report.ring import tell_findings

    _tell_weights(job, flasks=True)
    tell_going_together(job)
    tell_findings(job, lines)
    say()
    for path in paths:
        say(str(path))
    for words in () if shown is None else shown.words:
        say(words)
