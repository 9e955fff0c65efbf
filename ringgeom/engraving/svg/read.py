"""A drawing file → shapes and single lines in mm.

Path data, transforms and styles are read here and not by a library of general use: those that
were tried take unknown commands and endless numbers without a word, and draw arcs as cubics
25 um off; they are referees in the tests instead.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from ringgeom.engraving.arcs import WITHIN_MM
from ringgeom.engraving.combined import Figure, combined
from ringgeom.engraving.crossings import self_crossing_mm
from ringgeom.engraving.flat import CHORD_MM, Flat, flats
from ringgeom.engraving.shape import Loop, Shape
from ringgeom.engraving.stroke import Stroke, line
from ringgeom.engraving.svg.figures import figure
from ringgeom.engraving.svg.path_data import MOST_STROKES, Run
from ringgeom.engraving.svg.tree import MOST_BYTES, Node, refused, tree
from ringgeom.engraving.svg.walk import Placed, Walk
from ringgeom.errors import InputError, Problem, ShapeError

LARGEST_GAP_MM = 0.01
"""A filled path may be open by this much; it is then closed."""

LARGEST_MM = 1000.0
"""No drawing for a ring reaches further from its origin."""

LEAST_AREA_MM2 = 1e-6
MOST_CORNERS = 200_000
"""Corners of all outlines together, when drawn as fine straight pieces."""


@dataclass(frozen=True, slots=True, eq=False)
class Drawn:
    """What a drawing file holds, in mm, y upwards from the foot of its page.

    `lines` are single lines to engrave along. `exact` is false where outlines touched or ran
    along each other and were joined as straight pieces; `notes` say so, and what else was taken
    for granted.
    """

    shape: Shape
    lines: tuple[tuple[Stroke, ...], ...]
    exact: bool
    notes: tuple[str, ...]


def read_drawing(path: Path) -> Drawn:
    """Read a drawing file (SVG).

    Raises
    ------
    InputError
        It cannot be read, or holds what cannot be cut into metal; told with element and line.
    """
    try:
        with path.open("rb") as file:
            data = file.read(MOST_BYTES + 1)
    except OSError as error:
        raise InputError(
            Problem(text=f"this file cannot be read: {error.strerror}", file=str(path))
        ) from None
    try:
        return drawn(data)
    except InputError as error:
        raise InputError([_in_file(problem, path) for problem in error.problems]) from None


def _in_file(problem: Problem, path: Path) -> Problem:
    return replace(problem, file=path.name)


def drawn(data: bytes) -> Drawn:
    """The bytes of a drawing file as shapes and lines; see `read_drawing`."""
    walk = Walk(tree(data))
    figures: list[Figure] = []
    lines: list[tuple[Stroke, ...]] = []
    outlines: list[Flat] = []
    strokes = corners = 0
    for placed in list(walk.placed()):
        runs = _in_mm(placed)
        strokes += sum(len(run.strokes) for run in runs)
        if strokes > MOST_STROKES:
            raise refused(
                "the drawing has too many strokes", placed.node, allowed=f"{MOST_STROKES}; simplify"
            )
        if not placed.style.fill or placed.node.tag == "line":
            lines += [run.strokes for run in runs] if placed.style.line else []
            continue
        loops = [_loop(run, placed.node) for run in runs]
        found = flats(loops)
        outlines += found
        corners += sum(len(one.corners) for one in found)
        if corners > MOST_CORNERS:
            raise refused("the drawing's curves are too long and too many; simplify", placed.node)
        for one in found:
            _sound(one, placed.node)
        figures.append(Figure(tuple(loops), placed.style.rule))
        walk.notes |= _remarks(placed)
    if not figures and not lines:
        raise InputError(Problem(text="this drawing holds nothing to cut: no filled path, no line"))
    try:
        whole = combined(figures, "united", outlines)
    except ShapeError as error:
        raise InputError(Problem(text=str(error))) from None
    if not whole.exact:
        walk.notes.add(
            "outlines that touch or run along each other are joined as straight pieces "
            f"within {CHORD_MM * 1000:g} um"
        )
    return Drawn(
        whole.shape,
        tuple(lines),
        whole.exact,
        tuple(sorted(walk.notes)),
    )


def _remarks(placed: Placed) -> set[str]:
    found = set()
    if placed.style.line:
        found.add("a figure is filled and outlined: the middle of its outline is followed")
    if placed.style.dim:
        found.add("a figure is half transparent: it is cut like the others")
    return found


def _in_mm(placed: Placed) -> list[Run]:
    """The runs of an element in mm."""
    linear, shift = placed.matrix[:2, :2], placed.matrix[:2, 2].tolist()
    scale = float(np.linalg.norm(linear, 2))
    if scale == 0 or abs(float(np.linalg.det(linear))) < 1e-12 * scale**2:
        raise refused("its transform leaves no size", placed.node)
    runs = [
        Run(tuple(stroke.moved(linear, shift) for stroke in run.strokes), run.closed)
        for run in figure(placed.node, WITHIN_MM / scale)
    ]
    if not runs:
        raise refused("it draws nothing", placed.node)
    for run in runs:
        far = max(float(np.abs(stroke.points).max()) for stroke in run.strokes)
        if not far <= LARGEST_MM:
            raise refused(
                "it reaches too far",
                placed.node,
                value=f"{far:.4g} mm",
                allowed=f"{LARGEST_MM:g} mm",
            )
    return runs


def _loop(run: Run, node: Node) -> Loop:
    """A run as a loop that ends where it begins."""
    strokes = list(run.strokes)
    (x0, y0), (x1, y1) = strokes[0].start, strokes[-1].end
    gap = float(np.hypot(x1 - x0, y1 - y0))
    if not run.closed and gap > LARGEST_GAP_MM:
        raise refused(
            "it is filled, but its outline is open; close it, or give it fill none to be "
            "engraved as a line",
            node,
            value=f"open by {gap:.3f} mm, from ({x1:.3f}, {y1:.3f}) to ({x0:.3f}, {y0:.3f})",
            allowed=f"{LARGEST_GAP_MM:g} mm",
        )
    if gap > 1e-9:
        strokes.append(line((x1, y1), (x0, y0)))
    elif gap:
        points = strokes[-1].points.copy()
        points[-1] = (x0, y0)
        strokes[-1] = Stroke(points)
    return tuple(stroke for stroke in strokes if np.ptp(stroke.points, axis=0).any())


def _sound(outline: Flat, node: Node) -> None:
    """A loop has a size and does not cross itself.

    Raises
    ------
    InputError
        It has none, or it does; the place is told in mm.
    """
    place = self_crossing_mm(outline)
    if place is not None:
        raise refused(
            "its outline crosses or touches itself; unite it with itself in the drawing program",
            node,
            value=f"at x {place[0]:.3f}, y {place[1]:.3f} mm from the page's lower left",
        )
    x, y = outline.corners[0].tolist()
    if len(outline.corners) < 3 or abs(outline.doubled_area_mm2) < 2 * LEAST_AREA_MM2:
        raise refused("its outline encloses nothing", node, value=f"at ({x:.3f}, {y:.3f}) mm")
