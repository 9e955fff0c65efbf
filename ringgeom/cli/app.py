"""The program itself: its options, and how a job is read, told and refused."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, Optional

import typer

from ringgeom import __version__
from ringgeom.errors import InputError, Problem

if TYPE_CHECKING:
    from ringgeom.design import Design
    from ringgeom.jobs import Job
    from ringgeom.shop import Shop
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


def read_asked(design: Path, shop: Path | None, *, named: str = "") -> tuple[Design, Shop, str]:
    """The design and the shop, and the design file's text; all that is wrong with both at once.

    `named` is the design file's name where several are read, so that problems say which.
    """
    from ringgeom.design import Design, beside
    from ringgeom.reading import read_model
    from ringgeom.shop import read_shop

    problems: list[Problem] = []
    try:
        found, text = read_model(design, Design, "design file")
        asked = beside(found, design)
    except InputError as error:
        problems += [replace(one, file=one.file or named) for one in error.problems]
    try:
        settings = read_shop(shop)
    except InputError as error:
        # with two files in hand, say which
        problems += [replace(one, file=str(shop)) for one in error.problems]
    if problems:
        raise InputError(problems)
    return asked, settings, text


def read_job(design: Path, shop: Path | None, *, named: str = "") -> tuple[Job, dict[Keys, int]]:
    """The job, and the line of every key when there is something to tell of it."""
    from ringgeom.jobs import job

    asked, settings, text = read_asked(design, shop, named=named)
    found = job(asked, settings)
    if not found.findings:
        return found, {}
    from ringgeom.toml_lines import key_lines

    return found, key_lines(text)


def stopped(job: Job, lines: dict[Keys, int], json: bool) -> bool:
    """Tell the reasons if the design is stopped."""
    if not job.stopped:
        return False
    if json:
        print_job(job, lines)
    else:
        from ringgeom.report.ring import tell_findings

        print(f"{job.design.job.name} cannot be made as designed; nothing was written")
        tell_findings(job, lines, notes=False)
    return True


def print_job(job: Job, lines: dict[Keys, int]) -> None:
    """Print a job as one JSON object."""
    from ringgeom.output.json import job_json

    say_json(job_json(job, lines))


def say_json(data: dict[str, Any]) -> None:
    """One JSON object, whatever the command, with the contract it follows."""
    from ringgeom.output.json import SCHEMA, json_text

    print(json_text({"schema": SCHEMA, **data}, plain=not wide()), end="", flush=True)


def wide() -> bool:
    """Whether standard output holds letters beyond ASCII."""
    return "utf" in (sys.stdout.encoding or "").lower()
