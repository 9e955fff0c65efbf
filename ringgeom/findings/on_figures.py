"""Rules on motifs and patterns by what was asked: drawn at all, on their face, closing round it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, cast

from ringgeom.engraving.asked import Figure, Lettering, MarkBox, Motif
from ringgeom.engraving.patterns.brushed import Brushed
from ringgeom.errors import InputError
from ringgeom.findings.context import Asking
from ringgeom.findings.finding import Finding, Rules
from ringgeom.form.frame import LEAST_EDGE_MM

if TYPE_CHECKING:
    from ringgeom.engraving.figures import Figures

RULES: Rules[Asking] = Rules()


def _figures(a: Asking) -> Iterator[tuple[int, Figure, Figures | InputError]]:
    for number, (asked, found) in enumerate(zip(a.design.engravings, a.rows, strict=True)):
        if not isinstance(asked, Lettering | MarkBox):
            yield number, asked, cast("Figures | InputError", found)


@RULES.add
def figure_is_drawn(a: Asking) -> Iterator[Finding]:
    """Drawings that cannot be read, figures that do not fit their face or do not close."""
    for number, asked, found in _figures(a):
        if not isinstance(found, InputError):
            continue
        motif = isinstance(asked, Motif)
        for problem in found.problems:
            said = str(problem) if problem.file else problem.text
            if not motif:
                said = f"{asked.words}: {said}"
            yield Finding(
                code="figure-cannot-be-drawn",
                level="stop",
                text=said,
                fix=problem.allowed
                or ("another drawing, or other measures" if motif else "other measures"),
                key=("engraving", number, "file" if motif else "pattern"),
            )


@RULES.add
def figure_on_its_face(a: Asking) -> Iterator[Finding]:
    """Motifs that run over the edge, or on to its rounding; patterns keep to the face."""
    half = a.form.least_half_mm
    edge = a.form.edge_mm if a.form.edge_mm >= LEAST_EDGE_MM else 0.0
    for number, asked, found in _figures(a):
        if isinstance(found, InputError) or not found.cuts:
            continue
        low, high = found.reach_mm
        reach = max(-low, high)
        off = reach > half + 1e-9
        if not off and reach <= half - edge + 1e-9:
            continue
        yield Finding(
            code="runs-off-face" if off else "on-edge-rounding",
            level="stop" if off else "warn",
            value=reach,
            limit=half if off else half - edge,
            unit="mm",
            text=f"{asked.words} reaches {reach:.2f} mm from mid-width, over "
            + ("the edge" if off else "the rounding of the edge"),
            fix=f"centre_mm nearer to mid-width, or smaller: it is {high - low:.2f} mm tall and "
            f"{2 * (half - edge):.2f} are there",
            key=("engraving", number, "centre_mm"),
        )


@RULES.add
def figure_closes(a: Asking) -> Iterator[Finding]:
    """Copies that run into each other; measures that gave way to close round the ring."""
    for number, asked, found in _figures(a):
        if isinstance(found, InputError):
            continue
        if found.apart_mm == 0.0:
            fewer = max(1, int(found.round_mm / (1.1 * found.length_mm)))
            yield Finding(
                code="copies-run-together",
                level="warn",
                value=0.0,
                limit=0.0,
                unit="mm",
                text=f"{found.count} copies of {asked.words}, each {found.length_mm:.2f} "
                f"mm long, touch or run into each other on {found.round_mm:.2f} mm; they are "
                "united",
                fix=f"count = {fewer}, or smaller, unless that is meant",
                key=("engraving", number, "count"),
            )
        notes = () if isinstance(asked, Brushed) else found.notes
        for note in notes:
            yield Finding(
                code="figure-fitted",
                level="note",
                text=f"{asked.words}: {note}",
                fix="nothing, if it may be so",
                key=("engraving", number, "file" if isinstance(asked, Motif) else "pattern"),
            )
