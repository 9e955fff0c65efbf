"""The d attribute: commands → runs of strokes in the drawing's own units."""

from __future__ import annotations

import re
from dataclasses import dataclass

import numpy as np

from ringgeom.engraving.arcs import through_ends
from ringgeom.engraving.stroke import Stroke, line
from ringgeom.engraving.svg.numbers import LARGEST, NUMBER, number
from ringgeom.engraving.svg.tree import Node, refused

MOST_STROKES = 16_000
"""Strokes of all paths together."""

LEAST_RADIUS = 1e-9
"""An arc of a smaller radius is a straight line."""

TAKES = {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "S": 4, "Q": 4, "T": 2, "A": 7, "Z": 0}
TOKEN = re.compile(rf"\s*(?:(,)\s*)?([A-Za-z]|{NUMBER})")
FLAG = re.compile(r"\s*(?:,\s*)?([01])")
Spot = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Run:
    """Strokes from pen down to pen up; `closed` where the path says so."""

    strokes: tuple[Stroke, ...]
    closed: bool


def runs(d: str, node: Node, within: float) -> list[Run]:
    """The runs of a path.

    Parameters
    ----------
    within : float
        How near cubics stay to arcs, in the drawing's units.

    Raises
    ------
    InputError
        A command that does not exist, numbers missing or beyond all measure, too many strokes.
    """
    reading = _Reading(d, node)
    pen = _Pen(node, within)
    command = ""
    while not reading.done:
        word = reading.word()
        if word.isalpha():
            command = word
            if command.upper() not in TAKES:
                raise refused(f"the path has an unknown command {command}", node)
            if not pen.down and command.upper() != "M":
                raise refused("the path must begin with M", node, value=d)
            if command.upper() == "Z":
                pen.close()
                continue
            first = reading.word()
        elif not command or command.upper() == "Z":
            raise refused("the path has numbers without a command", node, value=word)
        else:
            first = word
        given = [number(first, node, "a number of the path")]
        given += reading.rest(command.upper())
        pen.draw(command, given)
        command = {"M": "L", "m": "l"}.get(command, command)
    return pen.finished()


class _Reading:
    """Words of the path one after the other."""

    def __init__(self, d: str, node: Node) -> None:
        self.d, self.node, self.at = d.rstrip(), node, 0
        self.begun = False

    @property
    def done(self) -> bool:
        return self.at >= len(self.d)

    def word(self) -> str:
        found = TOKEN.match(self.d, self.at)
        if not found or (found[1] and (not self.begun or found[2].isalpha())):
            raise refused("the path is not understood", self.node, value=self.d[self.at :])
        self.begun = True
        self.at = found.end()
        return found[2]

    def rest(self, command: str) -> list[float]:
        found: list[float] = []
        for index in range(1, TAKES[command]):
            if command == "A" and index in (3, 4):
                flag = FLAG.match(self.d, self.at)
                if not flag:
                    raise refused("an arc's flags are 0 or 1", self.node, value=self.d[self.at :])
                self.at = flag.end()
                found.append(float(flag[1]))
                continue
            word = "" if self.done else self.word()
            if not word or word.isalpha():
                raise refused(
                    f"command {command} needs {TAKES[command]} numbers", self.node, value=word
                )
            found.append(number(word, self.node, "a number of the path"))
        return found


class _Pen:
    """Where the pen stands, and what it drew."""

    def __init__(self, node: Node, within: float) -> None:
        self.node, self.within = node, within
        self.down = False
        self.here: Spot = (0.0, 0.0)
        self.first: Spot = (0.0, 0.0)
        self.handle: tuple[str, Spot] | None = None
        self.strokes: list[Stroke] = []
        self.found: list[Run] = []
        self.count = 0

    def close(self) -> None:
        if self.here != self.first:
            self._add(line(self.here, self.first))
        self.found.append(Run(tuple(self.strokes), True))
        self.strokes, self.here, self.handle = [], self.first, None

    def finished(self) -> list[Run]:
        if self.strokes:
            self.found.append(Run(tuple(self.strokes), False))
        return [run for run in self.found if run.strokes]

    def draw(self, command: str, given: list[float]) -> None:
        kind, relative = command.upper(), command.islower()
        x, y = self.here if relative else (0.0, 0.0)
        if kind == "M":
            if self.strokes:
                self.found.append(Run(tuple(self.strokes), False))
                self.strokes = []
            self.here = self.first = (x + given[0], y + given[1])
            self.down, self.handle = True, None
            return
        if kind == "H":
            points = [(x + given[0], self.here[1])]
        elif kind == "V":
            points = [(self.here[0], y + given[0])]
        else:
            pairs = given[-2:] if kind == "A" else given
            points = [(x + a, y + b) for a, b in zip(pairs[::2], pairs[1::2], strict=True)]
        if kind in "ST":
            points.insert(0, self._mirrored("C" if kind == "S" else "Q"))
            kind = "C" if kind == "S" else "Q"
        if kind == "A":
            self._arc(given, points[-1])
        elif kind in "CQ":
            self._add(Stroke(np.array([self.here, *points])))
        else:
            self._add(line(self.here, points[0]))
        self.handle = (kind, points[-2]) if kind in "CQ" else None
        self.here = points[-1]

    def _mirrored(self, kind: str) -> Spot:
        if self.handle is None or self.handle[0] != kind:
            return self.here
        (x, y), (u, v) = self.here, self.handle[1]
        return 2 * x - u, 2 * y - v

    def _arc(self, given: list[float], end: Spot) -> None:
        rx, ry, tilt, large, sweep = given[:5]
        if self.here == end:
            return
        if min(abs(rx), abs(ry)) < LEAST_RADIUS:
            self._add(line(self.here, end))
            return
        reach = np.hypot(self.here[0] - end[0], self.here[1] - end[1])
        if max(abs(rx), abs(ry)) * max(1.0, reach / min(abs(rx), abs(ry))) > LARGEST:
            raise refused("an arc is larger, or flatter, than can be drawn", self.node)
        for stroke in through_ends(
            self.here,
            end,
            (rx, ry),
            tilt=np.radians(tilt),
            large=bool(large),
            sweep=bool(sweep),
            within_mm=self.within,
        ):
            self._add(stroke)

    def _add(self, stroke: Stroke) -> None:
        self.count += 1
        if self.count > MOST_STROKES:
            raise refused(
                "this path has too many strokes", self.node, allowed=f"{MOST_STROKES}; simplify it"
            )
        if np.ptp(stroke.points, axis=0).any():
            self.strokes.append(stroke)
