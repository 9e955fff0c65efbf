"""Setting a key of a TOML document so that every remark stays where it stood."""

from __future__ import annotations

from typing import Any


def put(table: Any, key: str, value: Any) -> None:
    """Set a key; a new one comes before the remarks that lead over to the next table."""
    body = getattr(getattr(table, "value", None), "body", [])
    tail = []
    while key not in table and body and body[-1][0] is None:
        tail.append(body.pop())
    table[key] = value
    body.extend(reversed(tail))
