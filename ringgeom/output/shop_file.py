"""The shop file with new figures in it; every remark and every other line stays as it was."""

from __future__ import annotations

import codecs
import datetime
from difflib import SequenceMatcher
from typing import TYPE_CHECKING, Any

from ringgeom.afterwards import JobMeasured
from ringgeom.errors import InputError, OutputError
from ringgeom.output.toml_key import put
from ringgeom.readings import Readings
from ringgeom.shop import Shop, shop_from_text

if TYPE_CHECKING:
    from tomlkit import TOMLDocument


def as_written(old: bytes, text: str) -> bytes:
    """A text with the line ends and the byte order mark that its file had before."""
    plain = text.replace("\r\n", "\n")
    if b"\r\n" in old and b"\n" not in old.replace(b"\r\n", b""):
        plain = plain.replace("\n", "\r\n")
    mark = codecs.BOM_UTF8 if old.startswith(codecs.BOM_UTF8) else b""
    return mark + plain.encode()


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
        _enter(document, found, wanted)
    except (TOMLKitError, ValueError, TypeError) as error:
        raise OutputError(f"{said} ({error})") from None
    changed = tomlkit.dumps(document)
    # a file may be written in a hundred ways; what is read back decides
    try:
        same = shop_from_text(changed) == wanted
    except InputError:
        same = False
    if not same or not _only_figures(text, changed, found):
        raise OutputError(said)
    return changed


def _only_figures(before: str, after: str, found: JobMeasured) -> bool:
    """Whether no line went or moved but those that hold the figures themselves."""
    figures = ("percent", "castings", "date", "melts", "issued_g", "melt_loss")
    names = [one.alloy_name for one in found.proposals]
    old, new = before.splitlines(), after.splitlines()
    for kind, i0, i1, _, _ in SequenceMatcher(None, old, new, autojunk=False).get_opcodes():
        for line in old[i0:i1] if kind in ("delete", "replace") else ():
            bare = line.strip()
            if bare and not any(word in bare for word in (*figures, *names)):
                return False
            if "#" in bare and bare[bare.index("#") :] not in after:
                return False
    return True


def _enter(document: TOMLDocument, found: JobMeasured, wanted: Shop) -> None:
    for one in found.proposals:
        taken = wanted.shrink.alloy[one.alloy_name]
        figures = {"percent": taken.percent, "castings": taken.castings, "date": taken.date}
        _fill(_table(_table(document, "shrink"), "alloy"), one.alloy_name, figures)
    if (of := wanted.casting.melt_loss_from) is not None and found.loss is not None:
        casting = _table(document, "casting")
        put(casting, "melt_loss_percent", wanted.casting.melt_loss_percent)
        figures = {"melts": of.melts, "issued_g": of.issued_g, "date": of.date}
        _fill(casting, "melt_loss_from", figures)


def _fill(table: Any, key: str, figures: dict[str, Any]) -> None:
    """Figures under a key: into the table that is there, else as one line."""
    import tomlkit

    there = table.get(key)
    if isinstance(there, dict):
        for name, value in figures.items():
            put(there, name, value)
        return
    line = tomlkit.inline_table()
    line.update(figures)
    put(table, key, line)


def marked_text(text: str, readings: Readings) -> str:
    """The readings' text, marked as taken in on their own day."""
    import tomlkit

    document = tomlkit.parse(text)
    document["accepted"] = readings.date
    return tomlkit.dumps(document)


def _table(parent: Any, key: str) -> Any:
    import tomlkit

    if key not in parent:
        put(parent, key, tomlkit.table())
    return parent[key]


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
