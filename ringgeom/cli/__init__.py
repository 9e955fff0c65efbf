"""The commands. No arithmetic here, and nothing heavy is loaded before it is needed."""

from __future__ import annotations

import os
import sys
from contextlib import suppress

# in this order they are listed by --help
# isort: off
from ringgeom.cli import rings, pages, sheets, pictures, grids, metals, melts, castings, prices

# isort: on
from ringgeom.cli.app import DONE, STOPPED, UNREADABLE, app, say_json
from ringgeom.errors import InputError, OutputError, Problem, RinggeomError
from ringgeom.spout import Spout

__all__ = [
    "DONE",
    "STOPPED",
    "UNREADABLE",
    "app",
    "castings",
    "grids",
    "main",
    "melts",
    "metals",
    "pages",
    "pictures",
    "prices",
    "rings",
    "sheets",
]


def main() -> None:
    """Run a command; what was refused on purpose is told without a traceback."""
    # looking for plugins costs more than weighing a ring, and none is wanted
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "true")
    # a stream that was closed by the caller is None
    if sys.stdout is None:
        sys.stdout = open(os.devnull, "w", encoding="utf-8")  # noqa: SIM115  lives as long as the process
    if sys.stderr is None:
        sys.stderr = open(os.devnull, "w", encoding="utf-8")  # noqa: SIM115  lives as long as the process
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

        _as_json(error)
        problems(error)
        sys.exit(UNREADABLE)
    except OutputError as error:
        _as_json(InputError(Problem(text=str(error))))
        print(f"nothing was written: {error}", file=sys.stderr)
        sys.exit(UNREADABLE)
    except RinggeomError as error:
        print(f"this ring cannot be made as designed: {error}", file=sys.stderr)
        sys.exit(STOPPED)


def _as_json(error: InputError) -> None:
    """The problems for a script that asked for JSON, unless nobody can be told any more."""
    if "--json" not in sys.argv:
        return
    from ringgeom.output.json import problems_json

    # a full disk behind standard output has been told of already, or is about to be
    with suppress(OutputError):
        say_json(problems_json(error))
