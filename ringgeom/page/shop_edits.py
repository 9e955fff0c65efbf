"""Keys of the shop file's text set anew, lots put in and taken out; every remark stays."""

from __future__ import annotations

import datetime
import tomllib
from collections.abc import Sequence
from contextlib import suppress
from copy import deepcopy
from typing import Any

from ringgeom.errors import InputError, Problem
from ringgeom.output.toml_key import put
from ringgeom.page.edits import Change

LOTS = "lot"

TYPED = {("casting", "melt_loss_percent"): ("casting", "melt_loss_from")}
"""A figure that is typed is no longer one that ledgers taught."""


def changed_shop(text: str, changes: Sequence[Change]) -> str:
    """The text of a shop file with some keys set; None takes a key, or a lot, away.

    A lot behind the last one is put in. What is read back decides: the text is taken only if
    it says what was asked and nothing else.

    Raises
    ------
    InputError
        The text is no TOML, or cannot be changed safely.
    """
    from tomlkit.exceptions import TOMLKitError

    taught = [Change(key=TYPED[one.key], value=None) for one in changes if one.key in TYPED]
    for change in (*changes, *taught):
        wanted = _plain(text)
        try:
            _set_plain(wanted, change)
            text = _set(text, change)
            same = _plain(text) == wanted
        except (KeyError, IndexError, TypeError, ValueError, TOMLKitError, AttributeError):
            same = False
        if not same:
            where = ".".join(map(str, change.key))
            raise InputError(
                Problem(
                    text="this cannot be changed safely here: write it in the text", where=where
                )
            )
    return text


def _plain(text: str) -> dict[str, Any]:
    try:
        return tomllib.loads(text.replace("\r\n", "\n"))
    except (tomllib.TOMLDecodeError, RecursionError) as error:
        raise InputError(Problem(text=f"this is not TOML: {error}")) from None


def _value(change: Change) -> Any:
    """What is set: the day of the prices is a day, as TOML has it."""
    value = change.value
    if change.key == ("prices", "date") and isinstance(value, str):
        with suppress(ValueError):
            return datetime.date.fromisoformat(value)
    return round(value, 6) if isinstance(value, float) else value


def _set_plain(data: dict[str, Any], change: Change) -> None:
    """The same change to what was read."""
    *parents, last = change.key
    inner: Any = data
    for step in parents:
        if isinstance(step, str):
            inner = inner.setdefault(step, [] if step == LOTS else {})
        else:
            inner = inner[step]
    if change.value is None:
        if isinstance(inner, dict):
            inner.pop(last, None)
        else:
            del inner[last]
            if not inner:
                data.pop(LOTS)
    elif isinstance(inner, list) and last == len(inner):
        inner.append(deepcopy(_value(change)))
    else:
        inner[last] = deepcopy(_value(change))


def _set(text: str, change: Change) -> str:
    import tomlkit

    *parents, last = change.key
    document = tomlkit.parse(text)
    lots = document.get(LOTS, [])
    if parents == [LOTS] and isinstance(change.value, dict):
        # a table of its own can stand at the end of any file; nothing before it is touched
        lines = tomlkit.dumps({LOTS: [change.value]})
        return f"{text.rstrip()}\n\n{lines}" if text.strip() else lines
    if parents == [LOTS] and change.value is None and isinstance(last, int):
        _without_lot(document, lots, last)
        return tomlkit.dumps(document)
    table: Any = document
    for step in parents:
        if isinstance(step, str) and step not in table:
            if change.value is None:
                return text
            put(table, step, tomlkit.table())
        table = table[step]
    if change.value is None:
        if last in table:
            del table[last]
    else:
        put(table, str(last), tomlkit.item(_value(change)))
    return tomlkit.dumps(document)


def _without_lot(document: Any, lots: Any, number: int) -> None:
    """Take a lot out; remarks that stand behind it lead over to what comes next, and stay."""
    import tomlkit

    body = lots[number].value.body
    tail = []
    while body and body[-1][0] is None:
        tail.append(body.pop())
    del lots[number]
    if not lots:
        del document[LOTS]
    remarks = [item for _, item in reversed(tail) if item.as_string().strip()]
    home = lots[number - 1] if lots and number else document
    for item in remarks:
        home.add(tomlkit.comment(item.as_string().strip().removeprefix("#").strip()))
