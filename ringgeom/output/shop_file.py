"""The shop file with new figures in it; every remark and every other line stays as it was."""

from __future__ import annotations

import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ringgeom.afterwards import JobMeasured
from ringgeom.errors import InputError, OutputError, Problem
from ringgeom.output.one_file import write_file
from ringgeom.reading import read_text
from ringgeom.readings import Readings
from ringgeom.shop import shop_from_text

if TYPE_CHECKING:
    from tomlkit import TOMLDocument


def accept(found: JobMeasured, shop: Path | None, readings: Path) -> None:
    """Take the proposed figures into the shop file, and mark the readings as taken in.

    Raises
    ------
    InputError
        No shop file, nothing to take in, or readings that were taken in before.
    OutputError
        A file cannot be written, or cannot hold the figures as it is written.
    """
    if shop is None:
        raise InputError(
            Problem(text="figures are taken into a shop file", allowed="--accept with --shop FILE")
        )
    if (day := found.readings.accepted) is not None:
        raise InputError(
            Problem(
                text=f"these readings were taken in on {day.isoformat()} already",
                file=str(readings),
                allowed="readings count once; take away `accepted` if the shop file never got them",
            )
        )
    if not found.teaches:
        raise InputError(Problem(text="these readings teach no figure", file=str(readings)))
    new_shop = shop_text(read_text(shop, "shop file"), found)
    marked = marked_text(read_text(readings, "file of readings"), found.readings)
    write_file(shop, new_shop.encode())
    write_file(readings, marked.encode())


def shop_text(text: str, found: JobMeasured) -> str:
    """A shop file's text with the figures that castings taught.

    Raises
    ------
    OutputError
        The text is written in a way that cannot be changed safely; it says what to write.
    """
    import tomlkit
    from tomlkit.exceptions import TOMLKitError

    wanted = found.learnt()
    said = f"the shop file cannot be changed safely; write into it: {_lines(found)}"
    document = tomlkit.parse(text)
    try:
        _enter(document, found)
    except (TOMLKitError, ValueError, TypeError) as error:
        raise OutputError(f"{said} ({error})") from None
    changed = tomlkit.dumps(document)
    # a file may be written in a hundred ways; what is read back decides
    try:
        same = shop_from_text(changed) == wanted
    except InputError:
        same = False
    if not same:
        raise OutputError(said)
    return changed


def _enter(document: TOMLDocument, found: JobMeasured) -> None:
    import tomlkit

    for one in found.proposals:
        entry = tomlkit.inline_table()
        entry.update({"percent": one.percent, "castings": one.count, "date": one.on})
        _put(_table(_table(document, "shrink"), "alloy"), one.alloy_name, entry)
    if (loss := found.loss) is not None:
        of = tomlkit.inline_table()
        of.update({"melts": loss.melts, "issued_g": loss.issued_g, "date": loss.on})
        casting = _table(document, "casting")
        _put(casting, "melt_loss_percent", loss.percent)
        _put(casting, "melt_loss_from", of)


def marked_text(text: str, readings: Readings) -> str:
    """The readings' text, marked as taken in on their own day."""
    import tomlkit

    document = tomlkit.parse(text)
    document["accepted"] = readings.date
    return tomlkit.dumps(document)


def _table(parent: Any, key: str) -> Any:
    import tomlkit

    if key not in parent:
        _put(parent, key, tomlkit.table())
    return parent[key]


def _put(table: Any, key: str, value: Any) -> None:
    """Set a key; a new one comes before the remarks that lead over to the next table."""
    body = getattr(getattr(table, "value", None), "body", [])
    tail = []
    while key not in table and body and body[-1][0] is None:
        tail.append(body.pop())
    table[key] = value
    body.extend(reversed(tail))


def _lines(found: JobMeasured) -> str:
    said = [
        f'[shrink.alloy] "{one.alloy_name}" = {_inline(one.percent, one.count, one.on)}'
        for one in found.proposals
    ]
    if found.loss is not None:
        said.append(f"[casting] melt_loss_percent = {found.loss.percent:g}")
    return "; ".join(said)


def _inline(percent: float, castings: int, day: datetime.date) -> str:
    return f"{{ percent = {percent:g}, castings = {castings}, date = {day.isoformat()} }}"
