"""A form for the bench: what to read on each casting, with what it should read beside it."""

from __future__ import annotations

import datetime
import json
from collections.abc import Iterator
from pathlib import Path

from ringgeom.jobs import Job
from ringgeom.output.one_file import write_new_file

HEAD = """\
# What was read on the castings of {name}, before anything is filed; sprues cut off.
# Take the # away in front of what was read, and write the reading instead of the figure.
# A casting without readings stays out; for several castings of one part repeat its block.
date = {date}
calliper_mm = 0.02   # how far a reading may be off, jaws and hand
balance_g = {balance:g}     # step of the balance
# water_c = 20       # of the water, where castings are weighed hanging in it (water_g)
"""

LEDGER = """
# Where the metal went: one block for each melt. Weigh each part finished but not yet joined:
# afterwards solder is with it, and the other metals.
# [[ledger]]
# alloy = {alloy}
# issued_g = {issued:.2f}
# in_ring_g = {ring:.2f}
# clean_returns_g = {returns:.2f}   # sprue, button, offcuts
# filings_g = {filings:.2f}         # to the mixed tray
"""


def write_form(path: Path, job: Job, date: datetime.date) -> None:
    """Write the form; no file is ever overwritten.

    Raises
    ------
    OutputError
        The file exists already, or cannot be written.
    """
    write_new_file(path, form_text(job, date))


def form_text(job: Job, date: datetime.date) -> str:
    """The form of a job, dated."""
    head = HEAD.format(
        name=job.design.job.name, date=date.isoformat(), balance=job.shop.melt.balance_g
    )
    return "\n".join((head, *_castings(job), *_ledgers(job)))


def _castings(job: Job) -> Iterator[str]:
    for part in job.parts:
        cast = part.wax.scaled(1 / part.scale.scale)
        lines = [
            "[[casting]]",
            f"part = {_quoted(part.name)}",
            f"scale = {part.scale.scale:.4f}   # of its pattern, as the file's name says",
        ]
        if part.plate is not None:
            # many small pieces: a calliper reads none of these, the scale all of them
            lines.append(f"# weight_g = {part.as_cast_g:.3f}   # of all {part.count}")
            yield "\n".join(lines) + "\n"
            continue
        if part.cast_piece.sector is None:
            lines.append(f"# bore_mm = {cast.bore_mm:.2f}")
            lines.append(f"# outside_mm = {cast.outside_mm:.2f}")
        lines.append(f"# width_mm = {cast.width_mm:.2f}")
        lines.append(f"# weight_g = {part.as_cast_g:.2f}")
        yield "\n".join(lines) + "\n"


def _ledgers(job: Job) -> Iterator[str]:
    for casting in job.castings:
        flask = casting.flask
        yield LEDGER.format(
            alloy=_quoted(casting.alloy.name),
            issued=flask.melt_g,
            ring=flask.finished_g,
            returns=flask.returns_g,
            filings=flask.filings_g,
        ).lstrip("\n")


def _quoted(name: str) -> str:
    """A name as TOML text; its escapes are those of JSON, and one letter more."""
    return json.dumps(name, ensure_ascii=False).replace("\x7f", "\\u007f")
