"""Taking castings' figures into the shop file and marking the readings: both files or none."""

from __future__ import annotations

import json
from hashlib import sha256
from pathlib import Path
from typing import BinaryIO

from ringgeom.afterwards import JobMeasured
from ringgeom.errors import InputError, OutputError, Problem, RinggeomError
from ringgeom.output.held import held, hidden_beside
from ringgeom.output.one_file import write_file
from ringgeom.output.shop_file import as_written, marked_text, shop_text
from ringgeom.output.unbroken import unbroken
from ringgeom.reading import read_text
from ringgeom.readings import read_readings


def accept(found: JobMeasured, shop: Path | None, readings: Path) -> None:
    """Take the proposed figures into the shop file, and mark the readings as taken in.

    What it is about to write is noted beside the readings, so that a run that was killed
    between the two files is finished by the next.

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
    if not found.teaches and found.readings.accepted is None:
        raise InputError(Problem(text="these readings teach no figure", file=str(readings)))
    try:
        with held(_note_beside(readings)) as note:
            _settle(note, readings)
            _once(readings)
            _both(note, found, shop.resolve(), readings)
    except OSError as error:
        raise OutputError(f"{readings} cannot be marked: {error.strerror or error}") from None


def _note_beside(readings: Path) -> Path:
    return hidden_beside(readings.resolve(), "accepting")


def _both(note: BinaryIO, found: JobMeasured, shop: Path, readings: Path) -> None:
    text = read_text(shop, "shop file")
    old = shop.read_bytes()
    new = as_written(old, shop_text(text, found))
    noted = {"shop": str(shop), "before": _stamp(old), "after": _stamp(new)}
    _say(note, json.dumps(noted).encode())
    with unbroken():
        try:
            write_file(shop, new)
            try:
                _mark(readings)
            except RinggeomError:
                write_file(shop, old)
                raise
        except RinggeomError:
            _forget_unless_half(note, shop, new)
            raise
        _say(note, b"")


def _forget_unless_half(note: BinaryIO, shop: Path, new: bytes) -> None:
    """What was noted stays only if the shop file could not be put back."""
    if shop.read_bytes() != new:
        _say(note, b"")


def _settle(note: BinaryIO, readings: Path) -> None:
    """Finish what a killed run has begun, if its figures are in the shop file."""
    try:
        noted = json.loads(note.read())
        shop = Path(noted["shop"])
        now = _stamp(shop.read_bytes()) if shop.exists() else ""
        before, after = noted["before"], noted["after"]
    except (ValueError, KeyError, TypeError):
        # half a note, or none: nothing was written
        now = before = after = ""
    if now == after and now:
        _mark(readings)
    elif now != before:
        raise OutputError(
            f"taking in {readings} was interrupted, and {shop} was changed since: look whether it "
            f"has their figures; if so write `accepted` with a date into {readings}, then take "
            f"{_note_beside(readings)} away"
        )
    _say(note, b"")


def _once(readings: Path) -> None:
    """Readings count once."""
    day = read_readings(readings)[0].accepted
    if day is not None:
        raise InputError(
            Problem(
                text=f"these readings were taken in on {day.isoformat()} already",
                file=str(readings),
                allowed="readings count once; delete `accepted` if the shop file never got them",
            )
        )


def _mark(readings: Path) -> None:
    """Mark the readings as taken in, on their own day."""
    found, text = read_readings(readings)
    write_file(readings, as_written(readings.read_bytes(), marked_text(text, found)))


def _stamp(content: bytes) -> str:
    return sha256(content).hexdigest()


def _say(note: BinaryIO, words: bytes) -> None:
    note.seek(0)
    note.truncate()
    note.write(words)
    note.flush()
