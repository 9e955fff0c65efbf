"""The partition of a band that tapers: drawn at every angle by itself, then put side by side.

At each angle the ring is laid out as if it were all round as it is there; angles at which the
same curves meet the same cuts are then one drawing, whose curves vary from angle to angle.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, NamedTuple

import numpy as np

from ringgeom.form.claim import Claim
from ringgeom.form.curve import Array, Whole
from ringgeom.form.drawing import Drawing, Mark
from ringgeom.form.frame import Frame
from ringgeom.form.partition import Known, parted, sections
from ringgeom.form.section import Section


class Layout(NamedTuple):
    """A frame, the finished ring in it, and the claims, as they are at one angle."""

    frame: Frame
    finished: Frame
    claims: Sequence[Claim]


def tapered(
    layouts: Sequence[Layout], angles: Array, known: dict[Any, Known]
) -> list[tuple[Whole, Section]]:
    """Sections as of `partition.sections`, each angle with a layout of its own.

    Parameters
    ----------
    angles : Array
        Shape (n,), as many as there are layouts [rad].
    known : dict
        Columns shared out before, by the marks of their cuts; it is added to.
    """
    if len(layouts) == 1:
        ((frame, finished, claims),) = layouts
        return sections(frame=frame, finished=finished, claims=claims, angles=angles)
    found: list[tuple[Whole, Section]] = []
    for marks, (which, drawings, cuts) in named(layouts, angles).items():
        together = drawings[0].beside(drawings)
        columns = known.setdefault(marks, {})
        found += [
            (which[some], section)
            for some, section in parted(together, cuts, angles[which], columns)
        ]
    return found


def named(
    layouts: Sequence[Layout], angles: Array
) -> dict[tuple[Mark, ...], tuple[Whole, list[Drawing], Array]]:
    """Drawings of one angle each, those with the same marks together.

    Returns
    -------
    dict
        By marks: indices of the angles, their drawings, and the cuts of these, shape
        (cuts, angles), within the frame [mm].
    """
    drawn: dict[tuple[Mark, ...], tuple[list[int], list[Drawing], list[Array]]] = {}
    for k, (frame, finished, claims) in enumerate(layouts):
        drawing = Drawing(frame, finished, claims, angles[k : k + 1], 0.0)
        marks, cuts = drawing.named_cuts()
        which, drawings, rows = drawn.setdefault(marks, ([], [], []))
        which.append(k)
        drawings.append(drawing)
        rows.append(np.clip(cuts, -frame.half_mm, frame.half_mm))
    return {
        marks: (np.array(which), drawings, np.column_stack(rows))
        for marks, (which, drawings, rows) in drawn.items()
    }
