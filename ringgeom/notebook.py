"""What a notebook shows of a result: plain tables, every word of them escaped."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from html import escape
from typing import Protocol, TypeVar

Cells = Mapping[str, str]
"""One row: what each column says, by its heading."""


class Told(Protocol):
    """What can be a row."""

    def cells(self) -> Cells:
        """The row, figures rounded as they are read."""


One = TypeVar("One", bound=Told, covariant=True)


class Rows(tuple[One, ...]):
    """A tuple that a notebook shows as a table, one row for each."""

    __slots__ = ()

    def _repr_html_(self) -> str:
        return table_html(one.cells() for one in self)


def table_html(rows: Iterable[Cells], *, title: str = "") -> str:
    """A table under its title; the columns are those of the first row. Empty without rows."""
    found = list(rows)
    if not found:
        return ""
    head = list(found[0])
    lines = [_row("th", head), *(_row("td", [row.get(key, "") for key in head]) for row in found)]
    named = f"<caption>{escape(title)}</caption>" if title else ""
    return f"<table>{named}{''.join(lines)}</table>"


def words_html(text: str) -> str:
    """A paragraph."""
    return f"<p>{escape(text)}</p>"


def _row(kind: str, cells: Sequence[str]) -> str:
    return f"<tr>{''.join(f'<{kind}>{escape(cell)}</{kind}>' for cell in cells)}</tr>"
