"""Rules on lettering and on room for marks, by what was asked: font, length, size, overlaps."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations
from math import ceil, floor, pi, tau
from typing import TYPE_CHECKING, cast

from ringgeom.engraving.asked import LEAST_LINES, Lettering, MarkBox
from ringgeom.errors import InputError
from ringgeom.findings.context import Asking
from ringgeom.findings.finding import Finding, Rules
from ringgeom.form.frame import LEAST_EDGE_MM

if TYPE_CHECKING:
    from ringgeom.engraving.row import Row

RULES: Rules[Asking] = Rules()

MARK_ROW_MM = 6.0
"""Room along the bore for a row of punched marks (common practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Laid:
    """An engraving with the room it takes on its face: length and z of each copy [mm]."""

    number: int
    asked: Lettering | MarkBox
    row: Row | None
    length_mm: float
    low_mm: float
    high_mm: float
    around_mm: float

    @property
    def copies(self) -> int:
        """How often it is laid round the ring."""
        return self.asked.repeat if isinstance(self.asked, Lettering) else 1

    @property
    def key(self) -> tuple[str | int, ...]:
        """Where it stands in the design file."""
        return ("engraving", self.number)

    @property
    def words(self) -> str:
        """What it is called."""
        return self.asked.words

    def middles(self) -> Iterator[float]:
        """Middle of each copy along the face [mm]."""
        start = self.asked.angle / tau * self.around_mm
        return (start + n * self.around_mm / self.copies for n in range(self.copies))


def laid_out(a: Asking) -> list[Laid]:
    """Every engraving that can be set."""
    found = []
    for number, (asked, row) in enumerate(zip(a.design.engravings, a.rows, strict=True)):
        if not isinstance(asked, Lettering | MarkBox) or isinstance(row, InputError):
            continue
        radius = a.band.crest_mm if asked.on == "outside" else a.band.bore_mm
        text = cast("Row | None", row)
        if text is None:
            assert isinstance(asked, MarkBox)
            length, half = asked.width_mm, asked.height_mm / 2
            low, high = -half, half
        else:
            length = text.length_mm
            *_, low, high = text.bounds_mm
        found.append(
            Laid(
                number=number,
                asked=asked,
                row=text,
                length_mm=length,
                low_mm=asked.centre_mm + low,
                high_mm=asked.centre_mm + high,
                around_mm=2 * pi * radius,
            )
        )
    return found


@RULES.add
def text_is_set(a: Asking) -> Iterator[Finding]:
    """Fonts that cannot be read or lack letters, and texts that are no line of letters."""
    for number, row in enumerate(a.rows):
        lettering = isinstance(a.design.engravings[number], Lettering)
        if not isinstance(row, InputError) or not lettering:
            continue
        for problem in row.problems:
            yield Finding(
                code="text-cannot-be-set",
                level="stop",
                text=problem.text,
                fix=problem.allowed,
                key=("engraving", number, "font" if "font" in problem.text else "text"),
            )


@RULES.add
def text_goes_round(a: Asking) -> Iterator[Finding]:
    """Text, with all its repetitions, longer than its face."""
    for one in laid_out(a):
        room = one.around_mm / one.copies
        if one.length_mm <= room:
            continue
        times = "" if one.copies == 1 else f", {one.copies} times,"
        fix = f"{room:.2f} mm for each" if one.copies > 1 else f"{room:.2f} mm at most"
        if isinstance(one.asked, Lettering):
            fix = f"height_mm = {one.asked.height_mm * room / one.length_mm - 0.005:.2f} or less"
        yield Finding(
            code="text-too-long",
            level="stop",
            value=one.length_mm * one.copies,
            limit=one.around_mm,
            unit="mm",
            text=f"{one.words}{times} is {one.length_mm * one.copies:.2f} mm long, and its face "
            f"{one.around_mm:.2f} mm round",
            fix=fix,
            key=(*one.key, "height_mm"),
        )


@RULES.add
def on_its_face(a: Asking) -> Iterator[Finding]:
    """What runs over the edge, or on to its rounding."""
    half = a.form.least_half_mm
    edge = a.form.edge_mm if a.form.edge_mm >= LEAST_EDGE_MM else 0.0
    for one in laid_out(a):
        reach = max(-one.low_mm, one.high_mm)
        off = reach > half + 1e-9
        if not off and reach <= half - edge + 1e-9:
            continue
        limit = half if off else half - edge
        where = "the edge" if off else "the rounding of the edge"
        yield Finding(
            code="runs-off-face" if off else "on-edge-rounding",
            level="stop" if off else "warn",
            value=reach,
            limit=limit,
            unit="mm",
            text=f"{one.words} reaches {reach:.2f} mm from mid-width, over {where}",
            fix=_back_on_face(one, half - edge),
            key=(*one.key, "centre_mm" if one.asked.centre_mm else "height_mm"),
        )


def _back_on_face(one: Laid, half_mm: float) -> str:
    """Where to put something, or how small to make it, that runs off a face."""
    tall = one.high_mm - one.low_mm
    if tall > 2 * half_mm:
        smaller = floor(100 * one.asked.height_mm * 2 * half_mm / tall - 1e-6) / 100
        return f"height_mm = {smaller:.2f} or less, in the middle of the width"
    below, above = one.asked.centre_mm - one.low_mm, one.high_mm - one.asked.centre_mm
    low = ceil(100 * (below - half_mm) - 1e-6) / 100
    high = floor(100 * (half_mm - above) + 1e-6) / 100
    if low > high:
        return "centre_mm nearer to mid-width, or smaller letters"
    return f"centre_mm = {min(max(one.asked.centre_mm, low), high):.2f}"


@RULES.add
def letters_are_large_enough(a: Asking) -> Iterator[Finding]:
    """Heights and strokes too fine to cut, to print or to read (common practice, no source)."""
    limits = a.shop.limits
    for one in laid_out(a):
        if one.row is None or not isinstance(one.asked, Lettering):
            continue
        if one.asked.height_mm < limits.letter_height_warn_mm - 1e-9:
            yield Finding(
                code="letters-small",
                level="warn",
                value=one.asked.height_mm,
                limit=limits.letter_height_warn_mm,
                unit="mm",
                text=f"capitals of {one.words} are {one.asked.height_mm:g} mm high: hard to read",
                fix=f"height_mm = {limits.letter_height_warn_mm:g} or more",
                key=(*one.key, "height_mm"),
            )
        cast = one.asked.cast_in
        limit = limits.letter_cast_warn_mm if cast else limits.letter_line_warn_mm
        stem = one.asked.cut_mm
        if not one.asked.single_lines:
            from ringgeom.engraving.stems import stem_mm

            stem = stem_mm(one.row.shapes)
        if stem < limit - 1e-3:
            higher = ceil(10.5 * one.asked.height_mm * limit / stem) / 10
            fix = f"height_mm = {higher:.1f} or more, or a bolder font"
            if one.asked.single_lines:
                fix = f"line_mm = {limit:g} or more"
                if limit > one.asked.height_mm / LEAST_LINES:
                    fix += f", with height_mm = {LEAST_LINES * limit:g} or more"
            yield Finding(
                code="letters-fine",
                level="warn",
                value=stem,
                limit=limit,
                unit="mm",
                text=f"the strokes of {one.words} are about {stem:.2f} mm wide: too fine to "
                + ("print and cast" if cast else "engrave cleanly"),
                fix=fix + (', or made = "engraved"' if cast and not one.asked.raised else ""),
                key=(*one.key, "line_mm" if one.asked.single_lines else "height_mm"),
            )


@RULES.add
def engravings_overlap(a: Asking) -> Iterator[Finding]:
    """Two engravings of one face that want the same room."""
    for one, two in combinations(laid_out(a), 2):
        if one.asked.on != two.asked.on:
            continue
        if min(one.high_mm, two.high_mm) <= max(one.low_mm, two.low_mm):
            continue
        apart = min(
            abs((x - y + one.around_mm / 2) % one.around_mm - one.around_mm / 2)
            for x in one.middles()
            for y in two.middles()
        )
        needed = (one.length_mm + two.length_mm) / 2
        if apart >= needed - 1e-9:
            continue
        struck = one.row is None or two.row is None
        yield Finding(
            code="engravings-overlap",
            level="warn" if struck else "stop",
            value=apart,
            limit=needed,
            unit="mm",
            text=f"{one.words} and {two.words} lie over each other: their middles are "
            f"{apart:.2f} mm apart along the face",
            fix=f"{needed:.2f} mm apart or more, by at or by centre_mm",
            key=(*two.key, "at"),
        )


@RULES.add
def room_for_marks(a: Asking) -> Iterator[Finding]:
    """Lettering inside that leaves no room for a row of marks (common practice, no source)."""
    inside = [one for one in laid_out(a) if one.asked.on == "inside"]
    texts = [one for one in inside if one.row is not None]
    if not texts or any(one.row is None for one in inside):
        return
    if any(one.length_mm * one.copies > one.around_mm for one in texts):
        return
    around = texts[0].around_mm
    ends = sorted(
        ((x - one.length_mm / 2) % around, one.length_mm) for one in texts for x in one.middles()
    )
    free = max(
        (ends[n + 1][0] if n + 1 < len(ends) else ends[0][0] + around) - start - length
        for n, (start, length) in enumerate(ends)
    )
    if free < MARK_ROW_MM - 1e-9:
        yield Finding(
            code="no-room-for-marks",
            level="note",
            value=max(0.0, free),
            limit=MARK_ROW_MM,
            unit="mm",
            text=f"the lettering leaves {max(0.0, free):.1f} mm of the bore free, and a row of "
            f"marks takes about {MARK_ROW_MM:g}",
            fix="a shorter text, or the marks where the maker wants them, asked for as "
            'kind = "mark"',
            key=(*texts[0].key, "text"),
        )
