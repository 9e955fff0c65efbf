"""Reading a TOML file: every problem at once, each with its place and way out."""

from __future__ import annotations

import difflib
import re
import tomllib
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any, TypeVar, get_args

from pydantic import BaseModel, ValidationError

from ringgeom.errors import InputError, Problem

Model = TypeVar("Model", bound=BaseModel)
Keys = tuple[str | int, ...]

LARGEST_BYTES = 1_000_000
"""A design is a page of text; anything larger is some other file."""

LIMIT_WORDS = {
    "gt": "more than {}",
    "ge": "{} or more",
    "lt": "less than {}",
    "le": "{} or less",
}

TYPE_WORDS = {
    "float_type": "a number is needed",
    "float_parsing": "a number is needed",
    "finite_number": "a finite number is needed",
    "int_type": "a whole number is needed",
    "int_from_float": "a whole number is needed",
    "string_type": "text in quotes is needed",
    "bool_type": "true or false is needed",
    "model_type": "a table of keys is needed",
    "model_attributes_type": "a table of keys is needed",
    "dict_type": "a table of keys is needed",
    "list_type": "a list is needed",
    "tuple_type": "a list is needed",
    "string_too_short": "a name is needed",
    "string_too_long": "the name is too long",
    "too_short": "at least one is needed",
    "too_long": "there are too many",
}


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
        return InputError(Problem(text=text, where=str(path), allowed=allowed))

    try:
        if path.is_dir():
            raise refuse(f"this is a folder, not a {kind}", "a TOML file")
        if path.exists() and not path.is_file():
            raise refuse(f"this is not a plain file, so no {kind}", "a TOML file")
        with path.open("rb") as file:
            raw = file.read(LARGEST_BYTES + 1)
    except FileNotFoundError:
        near = difflib.get_close_matches(path.name, _siblings(path), n=1, cutoff=0.5)
        raise InputError(
            Problem(
                text=f"there is no such {kind}",
                where=str(path),
                nearest=str(path.with_name(near[0])) if near else "",
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
        raise refuse(f"this is no text, so no {kind}", "a TOML file in UTF-8") from None
    if "\0" in text:
        raise refuse(f"this is no text, so no {kind}", "a TOML file in UTF-8")
    return text


def _siblings(path: Path) -> list[str]:
    try:
        return [item.name for item in path.parent.iterdir() if item.suffix == ".toml"]
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
    except RecursionError:
        raise InputError(Problem(text="this is not TOML: nested too deeply")) from None
    try:
        return model.model_validate(data)
    except ValidationError as error:
        from ringgeom.toml_lines import key_lines, line_of

        lines = key_lines(text)
        problems = []
        for entry in error.errors(include_url=False):
            path = _path(entry["loc"], data)
            place, line = spelled(path, data), line_of(lines, path)
            problems += [one.at(where=place, line=line) for one in _problems(entry, model)]
        problems.sort(key=lambda problem: problem.line or 0)
        raise InputError(problems) from None


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


def spelled(path: Keys, data: Mapping[str, Any]) -> str:
    """A key path in words: part 2 "reed", depth_mm."""
    words: list[str] = []
    here: Any = data
    for key in path:
        here = _step(here, key)
        if isinstance(key, int):
            name = here.get("name") if isinstance(here, dict) else None
            words[-1] += f" {key + 1}" + (f' "{name}"' if isinstance(name, str) else "")
        else:
            words.append(key)
    return ".".join(words)


def _step(here: Any, key: str | int) -> Any:
    if isinstance(here, dict):
        return here.get(key)
    if isinstance(here, list) and isinstance(key, int) and key < len(here):
        return here[key]
    return None


def _path(loc: tuple[str | int, ...], data: Any) -> Keys:
    """The keys of an error's place, without the marks of which alternative was tried."""
    path: list[str | int] = []
    here = data
    for number, key in enumerate(loc):
        inside = _step(here, key)
        if inside is not None or (isinstance(here, dict) and key in here):
            path.append(key)
            here = inside
        elif number == len(loc) - 1 and isinstance(here, dict) and isinstance(key, str):
            path.append(key)
    return tuple(path)


def _problems(entry: Any, model: type[BaseModel]) -> list[Problem]:
    kind, given, context = entry["type"], entry["input"], entry.get("ctx", {})
    if kind == "told":
        return list(context["problems"])
    loc = entry["loc"]
    if kind == "extra_forbidden":
        keys = sorted(_keys_at(model, loc[:-1]))
        near = difflib.get_close_matches(str(loc[-1]), keys, n=1, cutoff=0.4)
        return [
            Problem(
                text="unknown key",
                allowed=", ".join(keys),
                nearest=near[0] if near else "",
            )
        ]
    if kind == "missing":
        return [Problem(text="this key is missing")]
    if kind in ("literal_error", "union_tag_invalid", "union_tag_not_found"):
        allowed = context.get("expected") or context.get("expected_tags") or ""
        names = [name.strip(" '") for name in str(allowed).replace(" or ", ", ").split(",")]
        tag = str(context.get("discriminator", "")).strip("'")
        if kind == "union_tag_not_found":
            names = _tags(model, loc, tag)
            return [Problem(text=f"the key {tag} is missing", allowed=", ".join(names))]
        said = str(context.get("tag", given))
        meant = getattr(model, "trade_words", {}).get(said.lower())
        near = [meant] if meant in names else difflib.get_close_matches(said, names, 1, 0.4)
        what = f"no such {tag}" if tag else "not one of the words known here"
        return [
            Problem(
                text=what,
                value=_shown(said),
                allowed=", ".join(names),
                nearest=near[0] if near else "",
            )
        ]
    limits = [
        words.format(_number(context[key])) for key, words in LIMIT_WORDS.items() if key in context
    ]
    if limits:
        return [Problem(text="out of range", value=_shown(given), allowed=" and ".join(limits))]
    text = TYPE_WORDS.get(kind) or str(entry["msg"]).removeprefix("Value error, ")
    if kind == "string_too_long":
        text += f" ({context['max_length']} letters at most)"
    plain = isinstance(given, str | int | float | bool)
    return [Problem(text=text, value=_shown(given) if plain else "")]


def _number(value: Any) -> str:
    return f"{value:g}" if isinstance(value, int | float) else str(value)


def _shown(value: Any) -> str:
    text = f'"{value}"' if isinstance(value, str) else str(value)
    return text if len(text) <= 60 else text[:57] + "..."


def _keys_at(model: type[BaseModel], loc: tuple[str | int, ...]) -> set[str]:
    """Keys that the model knows at a place."""
    models = [model]
    for key in loc:
        found = [
            one
            for parent in models
            for name, info in parent.model_fields.items()
            if key in (name, info.alias)
            for one in _models_in(info.annotation)
        ]
        if found:
            models = found
        elif isinstance(key, str):
            tagged = [one for one in models if key in _own_tags(one) or key == one.__name__]
            models = tagged or models
    return {info.alias or name for one in models for name, info in one.model_fields.items()}


def _tags(model: type[BaseModel], loc: tuple[str | int, ...], tag: str) -> list[str]:
    models = [model]
    for key in loc:
        found = [
            one
            for parent in models
            for name, info in parent.model_fields.items()
            if key in (name, info.alias)
            for one in _models_in(info.annotation)
        ]
        models = found or models
    return [word for one in models for word in _own_tags(one, tag)]


def _own_tags(model: type[BaseModel], tag: str = "") -> list[str]:
    return [
        str(word)
        for name, info in model.model_fields.items()
        if name == tag or (not tag and name in ("place", "form"))
        for word in get_args(info.annotation)
    ]


def _models_in(annotation: Any) -> Iterator[type[BaseModel]]:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation
    for inner in get_args(annotation):
        yield from _models_in(inner)
