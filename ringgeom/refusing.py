"""From the validation's entries to our own problems: place, words, what is allowed, the nearest."""

from __future__ import annotations

import datetime
import difflib
from collections.abc import Iterator, Mapping
from typing import Any, get_args

from pydantic import BaseModel, ValidationError

from ringgeom.errors import Problem
from ringgeom.toml_lines import key_lines, line_of

Keys = tuple[str | int, ...]

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
    "date_type": "a date such as 2026-11-20, without quotes, is needed",
    "date_from_datetime_inexact": "a date such as 2026-11-20, without a time, is needed",
    "string_too_short": "this must not be empty",
    "string_too_long": "the name is too long",
    "too_short": "at least one is needed",
    "too_long": "there are too many",
}


def refusals(error: ValidationError, model: type[BaseModel], data: Any, text: str) -> list[Problem]:
    """Every problem of a validation, with its key path and line, in the order of the file."""
    lines = key_lines(text)
    problems = []
    for entry in error.errors(include_url=False):
        path = _path(entry["loc"], data, missing=entry["type"] == "missing")
        for one, at in _problems(entry, model):
            place = (*path, *at)
            problems.append(one.at(where=spelled(place, data), line=line_of(lines, place)))
    return sorted(problems, key=lambda problem: problem.line or 0)


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


def _path(loc: tuple[str | int, ...], data: Any, *, missing: bool) -> Keys:
    """The keys of an error's place, without the marks of which alternative was tried."""
    path: list[str | int] = []
    here = data
    for number, key in enumerate(loc):
        inside = _step(here, key)
        if isinstance(here, dict) and here.get("kind") == key and number + 1 < len(loc):
            continue  # the kind of a table, which has a key of the same name
        if inside is not None or (isinstance(here, dict) and key in here):
            path.append(key)
            here = inside
        elif missing and number == len(loc) - 1 and isinstance(here, dict):
            path.append(key)
    return tuple(path)


def _problems(entry: Any, model: type[BaseModel]) -> list[tuple[Problem, Keys]]:
    """What one entry of the validation says, each with its place below the entry's own."""
    if entry["type"] == "told":
        return list(entry["ctx"]["problems"])
    return [(one, ()) for one in _plain_problems(entry, model)]


def _plain_problems(entry: Any, model: type[BaseModel]) -> list[Problem]:
    kind, given, context = entry["type"], entry["input"], entry.get("ctx", {})
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
        if loc and isinstance(loc[-1], int):
            return [Problem(text="too few numbers: a colour has three, L, a and b")]
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
    plain = isinstance(given, str | int | float | bool | datetime.date)
    return [Problem(text=text, value=_shown(given) if plain else "")]


def _number(value: Any) -> str:
    return f"{value:g}" if isinstance(value, int | float) else str(value)


def _shown(value: Any) -> str:
    try:
        text = f'"{value}"' if isinstance(value, str) else str(value)
    except ValueError:
        return "a number of thousands of digits"
    if isinstance(value, bool):
        text = text.lower()
    return text if len(text) <= 60 else text[:57] + "..."


def _keys_at(model: type[BaseModel], loc: tuple[str | int, ...]) -> set[str]:
    """Keys that the model knows at a place."""
    models = _models_at(model, loc)
    return {info.alias or name for one in models for name, info in one.model_fields.items()}


def _tags(model: type[BaseModel], loc: tuple[str | int, ...], tag: str) -> list[str]:
    """Words that a table at a place may be marked with."""
    return [word for one in _models_at(model, loc) for word in _own_tags(one, tag)]


def _models_at(model: type[BaseModel], loc: tuple[str | int, ...]) -> list[type[BaseModel]]:
    """What a table at a place may be; the marks in its path narrow it down."""
    models = [model]
    for key in loc:
        found = [
            one
            for parent in models
            for name, info in parent.model_fields.items()
            if key in (name, info.alias)
            for one in _models_in(info.annotation)
        ]
        if not found and isinstance(key, str):
            found = [one for one in models if key in _own_tags(one) or key == one.__name__]
        models = found or models
    return models


def _own_tags(model: type[BaseModel], tag: str = "") -> list[str]:
    return [
        str(word)
        for name, info in model.model_fields.items()
        if name == tag or (not tag and name in ("place", "form", "kind", "pattern"))
        for word in get_args(info.annotation)
    ]


def _models_in(annotation: Any) -> Iterator[type[BaseModel]]:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation
    for inner in get_args(annotation):
        yield from _models_in(inner)
