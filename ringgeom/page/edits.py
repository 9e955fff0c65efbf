"""Keys of a design's text set anew; every remark stays, and what is read back decides."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from pydantic import JsonValue

from ringgeom.errors import InputError, Problem
from ringgeom.output.toml_key import put

if TYPE_CHECKING:
    from tomlkit import TOMLDocument

Keys = tuple[str | int, ...]

MOST_CHANGES = 60

HEAD = re.compile(r"\s*\[")
"""A line that begins a table."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """A key of the design file and its new value; None takes the key away."""

    key: Keys
    value: JsonValue


def changed_text(text: str, changes: Sequence[Change]) -> str:
    """The text with some keys set.

    Raises
    ------
    InputError
        The text is no TOML, or a key has no place in it.
    """
    if not changes:
        return text
    import tomlkit
    from tomlkit.exceptions import TOMLKitError

    try:
        document = tomlkit.parse(text)
    except (TOMLKitError, ValueError, RecursionError) as error:
        raise InputError(Problem(text=f"this is not TOML: {error}")) from None
    for change in changes:
        try:
            if _is_listed(document, change.key) and change.value is None:
                text = without_table(text, str(change.key[0]), int(change.key[1]))
                document = tomlkit.parse(text)
                continue
            _set(document, change)
            # what was put in may be of a kind that has no place there: it is told here, not later
            text = tomlkit.dumps(document)
        except (KeyError, IndexError, TypeError, ValueError, TOMLKitError, AttributeError):
            where = ".".join(map(str, change.key))
            raise InputError(
                Problem(
                    text="this cannot be changed safely here: write it in the text", where=where
                )
            ) from None
    return text


def _set(document: TOMLDocument, change: Change) -> None:
    import tomlkit

    *parents, last = change.key
    if len(parents) == 1 and isinstance(last, int) and _appended(document, str(parents[0]), change):
        return None
    table: Any = document
    for number, step in enumerate(parents):
        if isinstance(step, str) and step not in table:
            put(table, step, tomlkit.inline_table() if number else tomlkit.table())
        inner = table[step]
        if step in ("outside", "inside") and last == "rise_mm":
            return _rise(table, step, change.value)
        if step == "gap_mm" and not isinstance(inner, dict):
            # one number for both faces becomes one for each
            both = tomlkit.inline_table()
            both.update({"side": inner, "floor": inner})
            table[step] = both
            inner = table[step]
        table = inner
    if isinstance(last, int):
        if change.value is None:
            del table[last]
        elif last == len(table):
            table.append(_item(change.value))
        else:
            table[last] = _item(change.value)
        return None
    if change.value is None:
        if last in table:
            del table[last]
        return None
    put(table, last, _item(change.value))
    return None


def _is_listed(document: TOMLDocument, key: Keys) -> bool:
    """Whether a key is one table of a list written as `[[...]]`."""
    from tomlkit.items import AoT

    return (
        len(key) == 2
        and isinstance(key[1], int)
        and isinstance(document.get(str(key[0])), AoT)
        and 0 <= key[1] < len(document[str(key[0])])
    )


def _appended(document: TOMLDocument, name: str, change: Change) -> bool:
    """Put a table at the end of a list written as `[[...]]`; False where that is not asked."""
    import tomlkit
    from tomlkit.items import AoT

    listed = document.get(name)
    if not isinstance(change.value, dict) or not (listed is None or isinstance(listed, AoT)):
        return False
    if change.key[-1] != len(listed or ()):
        raise KeyError(change.key)
    table = tomlkit.table()
    for key, value in change.value.items():
        table.append(key, _item(value))
    if listed is None:
        document.add(tomlkit.nl())
        listed = tomlkit.aot()
        listed.append(table)
        document.append(name, listed)
        return True
    listed[-1].add(tomlkit.nl())
    listed.append(table)
    return True


def without_table(text: str, name: str, number: int) -> str:
    """A text without one `[[name]]`; remarks that stand after it stay for what follows.

    Raises
    ------
    KeyError
        It is not where it seems to be.
    """
    import tomlkit

    lines = text.splitlines(keepends=True)
    heads = [n for n, one in enumerate(lines) if HEAD.match(one)]
    mine = [n for n in heads if lines[n].split("#")[0].strip("[] \t\r\n") == name]
    start = mine[number]
    end = next((n for n in heads if n > start), len(lines))
    while end > start and lines[end - 1].strip().startswith("#"):
        end -= 1
    left = "".join(lines[:start] + lines[end:])
    was, now = tomlkit.parse(text).unwrap(), tomlkit.parse(left).unwrap()
    del was[name][number]
    if (was if was[name] else {k: v for k, v in was.items() if k != name}) != now:
        raise KeyError(name)
    return left


def _rise(table: Any, side: str, rise: JsonValue) -> None:
    """A flat face with a rise is domed, a domed one without is flat; others keep their form."""
    known = table.get(side)
    if isinstance(known, dict) and known.get("form", "flat") not in ("flat", "domed"):
        put(known, "rise_mm", _item(rise))
        return
    form: JsonValue = {"form": "domed", "rise_mm": rise} if rise else {"form": "flat"}
    put(table, side, _item(form))


def _item(value: JsonValue) -> Any:
    """A value as TOML: tables in one line, lengths without the dust of binary fractions."""
    import tomlkit

    if isinstance(value, dict):
        line = tomlkit.inline_table()
        line.update({key: _item(one) for key, one in value.items()})
        return line
    if isinstance(value, list):
        row = tomlkit.array()
        row.extend(_item(one) for one in value)
        return row
    if isinstance(value, float):
        return tomlkit.item(round(value, 6))
    return tomlkit.item(value)
