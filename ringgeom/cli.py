"""The commands. No arithmetic here, and nothing heavy is loaded before it is needed."""

from __future__ import annotations

import os
import sys
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, Optional

import typer

from ringgeom import __version__
from ringgeom.errors import InputError, OutputError, Problem, RinggeomError
from ringgeom.spout import Spout

if TYPE_CHECKING:
    from ringgeom.jobs import Job
    from ringgeom.toml_lines import Path as Keys

DONE, STOPPED, UNREADABLE = 0, 1, 2

app = typer.Typer(
    name="ringgeom",
    help="Design a ring of several metals: parts that fit, grams to melt, waxes to print.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    # frames and colours for a person; plain, and quicker, when piped
    rich_markup_mode="rich" if sys.stdout and sys.stdout.isatty() else None,
)

DesignFile = Annotated[Path, typer.Argument(metavar="DESIGN", help="A design file (TOML).")]
ShopFile = Annotated[
    Optional[Path],  # noqa: UP045  typer reads the annotation at run time
    typer.Option("--shop", metavar="FILE", help="The shop's own settings (TOML)."),
]
OutFolder = Annotated[
    Path, typer.Option("--out", metavar="DIR", help="Where the job's folder goes.")
]
AsJson = Annotated[bool, typer.Option("--json", help="Print JSON for scripts.")]


@app.callback(invoke_without_command=True)
def _top(
    version: Annotated[bool, typer.Option("--version", help="Print the version.")] = False,
) -> None:
    if version:
        print(f"ringgeom {__version__}")
        raise typer.Exit(DONE)


@app.command()
def make(
    design: DesignFile,
    shop: ShopFile = None,
    out: OutFolder = Path("exports"),
    json: AsJson = False,
) -> None:
    """Everything of a ring: weights, waxes, assembly, into DIR/<job>/."""
    _written(design, shop, out, json, "write")


@app.command()
def wax(
    design: DesignFile,
    shop: ShopFile = None,
    out: OutFolder = Path("exports"),
    json: AsJson = False,
) -> None:
    """The waxes: one scaled STL per part, and a 3MF plate with the parts apart."""
    _written(design, shop, out, json, "write_waxes")


@app.command()
def weigh(design: DesignFile, shop: ShopFile = None, json: AsJson = False) -> None:
    """Grams of each part, and grams to melt of each alloy."""
    job, lines = _job(design, shop)
    if _stopped(job, lines, json):
        raise typer.Exit(STOPPED)
    if json:
        _print_json(job, lines)
        return
    from ringgeom.report import tell_findings, tell_melts, tell_parts, tell_size

    tell_size(job)
    tell_parts(job)
    tell_melts(job)
    tell_findings(job, lines)


@app.command()
def check(design: DesignFile, shop: ShopFile = None, json: AsJson = False) -> None:
    """What is wrong with a design, each with its number, its limit and the way out."""
    job, lines = _job(design, shop)
    if json:
        _print_json(job, lines)
    else:
        from ringgeom.report import tell_findings, tell_size

        tell_size(job)
        tell_findings(job, lines)
    if job.stopped:
        raise typer.Exit(STOPPED)


@app.command()
def size(
    asked: Annotated[list[str], typer.Argument(metavar="SIZE", help='Such as "US 7 1/4".')],
    json: AsJson = False,
) -> None:
    """A finger size on every scale, in mm."""
    from ringgeom.finger import hints, labels, read_size
    from ringgeom.terminal import say, table

    found = read_size(" ".join(asked))
    near = labels(found.inside_diameter_mm)
    if json:
        from ringgeom.output.json import size_json

        _say_json(size_json(found))
        return
    say(
        f"{found.asked} = {found.inside_diameter_mm:.2f} mm across, "
        f"{found.circumference_mm:.2f} mm around"
    )
    table(
        ("scale", "nearest mark", "mm across", "off by, mm around"),
        [[n.scale, n.label, f"{n.inside_diameter_mm:.2f}", f"{n.residual_mm:+.2f}"] for n in near],
    )
    for hint in hints(found):
        say(f"note: {hint}")


@app.command()
def start(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="The design file to write.")],
    kind: Annotated[
        str,
        typer.Option("--kind", help="channel, liner, stripes, rails, waves, segments or halves."),
    ] = "channel",
) -> None:
    """Write a commented design to begin from."""
    from ringgeom.output.start import write_start
    from ringgeom.terminal import say

    write_start(file, kind)
    say(f"{file} is written; next: ringgeom weigh {file}")


def main() -> None:
    """Run a command; what was refused on purpose is told without a traceback."""
    # looking for plugins costs more than weighing a ring, and none is wanted
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "true")
    # a stream that was closed by the caller is None
    if sys.stdout is None:
        sys.stdout = open(os.devnull, "w")  # noqa: SIM115  lives as long as the process
    if sys.stderr is None:
        sys.stderr = open(os.devnull, "w")  # noqa: SIM115  lives as long as the process
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
    sys.stdout = Spout(sys.stdout)
    try:
        try:
            app(standalone_mode=True)
        finally:
            sys.stdout.flush()
    except InputError as error:
        from ringgeom.terminal import problems

        if "--json" in sys.argv:
            from ringgeom.output.json import problems_json

            _say_json(problems_json(error))
        problems(error)
        sys.exit(UNREADABLE)
    except OutputError as error:
        if "--json" in sys.argv:
            from ringgeom.output.json import problems_json

            _say_json(problems_json(InputError(Problem(text=str(error)))))
        print(f"nothing was written: {error}", file=sys.stderr)
        sys.exit(UNREADABLE)
    except RinggeomError as error:
        print(f"this ring cannot be made as designed: {error}", file=sys.stderr)
        sys.exit(STOPPED)


def _job(design: Path, shop: Path | None) -> tuple[Job, dict[Keys, int]]:
    """The job, and the line of every key when there is something to tell of it."""
    from ringgeom.design import Design
    from ringgeom.jobs import job
    from ringgeom.reading import read_model
    from ringgeom.shop import read_shop

    problems: list[Problem] = []
    try:
        asked, text = read_model(design, Design, "design file")
    except InputError as error:
        problems += error.problems
    try:
        settings = read_shop(shop)
    except InputError as error:
        # with two files in hand, say which
        problems += [replace(one, file=str(shop)) for one in error.problems]
    if problems:
        raise InputError(problems)
    found = job(asked, settings)
    if not found.findings:
        return found, {}
    from ringgeom.toml_lines import key_lines

    return found, key_lines(text)


def _stopped(job: Job, lines: dict[Keys, int], json: bool) -> bool:
    """Tell the reasons if the design is stopped."""
    if not job.stopped:
        return False
    if json:
        _print_json(job, lines)
    else:
        from ringgeom.report import tell_findings

        print("this ring cannot be made as designed; nothing was written")
        tell_findings(job, lines, notes=False)
    return True


def _print_json(job: Job, lines: dict[Keys, int]) -> None:
    from ringgeom.output.json import job_json

    _say_json(job_json(job, lines))


def _say_json(data: dict[str, Any]) -> None:
    from ringgeom.output.json import json_text

    wide = "utf" in (sys.stdout.encoding or "").lower()
    print(json_text(data, plain=not wide), end="", flush=True)


def _written(design: Path, shop: Path | None, out: Path, json: bool, how: str) -> None:
    from ringgeom.output import pack
    from ringgeom.terminal import complain, progress, say

    job, lines = _job(design, shop)
    if _stopped(job, lines, json):
        if (folder := pack.left_from_before(job, out)) is not None:
            complain(f"the files in {folder} are of an earlier design: do not print them")
        raise typer.Exit(STOPPED)
    with progress() as told:
        paths = getattr(pack, how)(job, out, told=told)
    if json:
        _print_json(job, lines)
        return
    from ringgeom.report import tell_findings, tell_melts, tell_parts, tell_size

    tell_size(job)
    tell_parts(job)
    tell_melts(job)
    tell_findings(job, lines)
    say()
    for path in paths:
        say(str(path))
