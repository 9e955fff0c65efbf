"""Reading a TOML file: every problem at once, each with its place and way out."""

from __future__ import annotations

import difflib
import re
import tomllib
from pathlib import Path
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

from ringgeom.errors import InputError, Problem

Model = TypeVar("Model", bound=BaseModel)
Keys = tuple[str | int, ...]

LARGEST_BYTES = 1_000_000
"""A design is a page of text; anything larger is some other file."""

DEEPEST = 12
"""A design nests five deep; more is some other file, or mischief."""


def read_model(path: str | Path, model: type[Model], kind: str) -> tuple[Model, str]:
    """Read a file into a model; returns it with the text it was read from.

    Parameters
    ----------
    path : str or Path
        A TOML file.
    model : type
        The model to fill.
    kind : str
        What the file is, in words, for the errors.

    Raises
    ------
    InputError
        Everything that is wrong with the file or in it.
    """
    text = read_text(Path(path), kind)
    return model_from_text(text, model), text


def read_text(path: Path, kind: str) -> str:
    """Text of a file; InputError says why not."""

    def refuse(text: str, allowed: str = "") -> InputError:
        return InputError(Problem(text=text, file=str(path), allowed=allowed))

    try:
        if path.is_dir():
            raise refuse(f"this is a folder, not a {kind}", "a TOML file")
        if path.exists() and not path.is_file():
            raise refuse(f"this is not a plain file, so it is no {kind}", "a TOML file")
        with path.open("rb") as file:
            raw = file.read(LARGEST_BYTES + 1)
    except FileNotFoundError:
        near = difflib.get_close_matches(path.stem, _siblings(path), n=1, cutoff=0.5)
        raise InputError(
            Problem(
                text=f"there is no such {kind}",
                file=str(path),
                nearest=str(path.with_name(f"{near[0]}.toml")) if near else "",
            )
        ) from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise refuse(f"the {kind} cannot be read: {reason}") from None
    if len(raw) > LARGEST_BYTES:
        raise refuse(f"too large for a {kind}", f"up to {LARGEST_BYTES:,} bytes")
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise refuse(f"this is not text, so it is no {kind}", "a TOML file in UTF-8") from None
    if "\0" in text:
        raise refuse(f"this is not text, so it is no {kind}", "a TOML file in UTF-8")
    return text


def _siblings(path: Path) -> list[str]:
    """Names of the TOML files beside it, without their ending."""
    try:
        return [item.stem for item in path.parent.iterdir() if item.suffix == ".toml"]
    except OSError:
        return []


def model_from_text(text: str, model: type[Model]) -> Model:
    """Fill a model from TOML text.

    Raises
    ------
    InputError
        The text is no TOML, or keys or values are wrong; all are listed.
    """
    try:
        data = tomllib.loads(text.replace("\r\n", "\n"))
    except tomllib.TOMLDecodeError as error:
        raise InputError(_not_toml(text, str(error))) from None
    except (RecursionError, ValueError) as error:
        reason = "nested too deeply" if isinstance(error, RecursionError) else "a number too long"
        raise InputError(Problem(text=f"this is not TOML: {reason}")) from None
    if _deeper(data, DEEPEST):
        raise InputError(
            Problem(text="keys are nested too deeply", allowed=f"{DEEPEST} levels at most")
        )
    try:
        return model.model_validate(data)
    except ValidationError as error:
        from ringgeom.refusing import refusals

        raise InputError(refusals(error, model, data, text)) from None


def _deeper(data: Any, levels: int) -> bool:
    """Whether tables and lists are nested more deeply than any design needs."""
    layer = [data]
    for _ in range(levels):
        inner = (n.values() if isinstance(n, dict) else n for n in layer)
        layer = [n for held in inner for n in held if isinstance(n, dict | list)]
        if not layer:
            return False
    return True


def _not_toml(text: str, told: str) -> Problem:
    """The parser's own words, its line, and the way out of the usual slip."""
    line = re.search(r"line (\d+)", told)
    number = int(line[1]) if line else None
    here = text.splitlines()[number - 1].strip() if number else ""
    comma = re.search(r"=\s*(\d+),(\d+)", here)
    return Problem(
        text=f"this is not TOML: {told.split(' (at')[0]}",
        line=number,
        value=here[:60],
        nearest=f"{comma[1]}.{comma[2]}, with a point" if comma else "",
    )
