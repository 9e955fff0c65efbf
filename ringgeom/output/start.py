"""A commented design to begin from, in the few kinds of ring that people ask for."""

from __future__ import annotations

import difflib
from importlib.resources import files
from pathlib import Path

from pydantic_core import PydanticCustomError

from ringgeom.asked import safe_name
from ringgeom.errors import InputError, Problem
from ringgeom.output.one_file import write_new_file


def start_kinds() -> tuple[str, ...]:
    """Kinds of ring that a design can be started from."""
    found = (files("ringgeom") / "starts").iterdir()
    return tuple(sorted(item.name.removesuffix(".toml") for item in found if ".toml" in item.name))


def start_text(kind: str) -> str:
    """The commented design of a kind.

    Raises
    ------
    InputError
        There is no such kind; the nearest is named.
    """
    kinds = start_kinds()
    if kind not in kinds:
        near = difflib.get_close_matches(kind, kinds, n=1, cutoff=0.3)
        raise InputError(
            Problem(
                text="no such kind of ring",
                where="--kind",
                value=kind,
                allowed=", ".join(kinds),
                nearest=near[0] if near else "",
            )
        )
    return (files("ringgeom") / "starts" / f"{kind}.toml").read_text(encoding="utf-8")


def _job_name(path: Path) -> str:
    """A job's name after its file, where that can name a job."""
    name = path.stem.replace("-", " ").replace("_", " ").strip().capitalize()[:60].strip()
    try:
        name.encode()
        return safe_name(name)
    except (PydanticCustomError, UnicodeEncodeError):
        return "My ring"


def write_start(path: Path, kind: str) -> None:
    """Write a commented design, its job named after the file; no file is ever overwritten.

    Raises
    ------
    InputError
        No such kind of ring.
    OutputError
        The file exists already, or cannot be written.
    """
    text = start_text(kind).replace('"My ring"', f'"{_job_name(path)}"', 1)
    write_new_file(path, text)
