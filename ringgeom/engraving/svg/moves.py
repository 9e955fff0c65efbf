"""The transform attribute: a list of moves → one matrix (3, 3)."""

from __future__ import annotations

import re
from math import cos, radians, sin, tan

import numpy as np

from ringgeom.engraving.svg.numbers import LARGEST, numbers
from ringgeom.engraving.svg.tree import Node, refused
from ringgeom.form.curve import Array

MOST_MOVES = 100
COUNTS = {
    "matrix": (6,),
    "translate": (1, 2),
    "scale": (1, 2),
    "rotate": (1, 3),
    "skewX": (1,),
    "skewY": (1,),
}
"""How many numbers each move takes."""

MOVE = re.compile(r"\s*([A-Za-z]+)\s*\(([^()]*)\)\s*,?")


def moved(node: Node) -> Array:
    """The matrix of an element's own transform; the identity without one."""
    text = node.values.get("transform", "")
    matrix = np.eye(3)
    at, count = 0, 0
    while text[at:].strip():
        found = MOVE.match(text, at)
        count += 1
        if not found or found[1] not in COUNTS or count > MOST_MOVES:
            raise refused(
                "this transform is not understood", node, value=text[at:], allowed=", ".join(COUNTS)
            )
        given = numbers(found[2], node, found[1])
        if len(given) not in COUNTS[found[1]]:
            raise refused(f"{found[1]} takes other numbers than these", node, value=found[0])
        matrix = matrix @ _move(found[1], given)
        at = found.end()
    if not np.abs(matrix).max() <= LARGEST:
        raise refused("this transform is larger than can be drawn", node, value=text)
    return matrix


def _move(name: str, given: list[float]) -> Array:
    first = given[0]
    if name == "matrix":
        a, b, c, d, e, f = given
        return np.array([(a, c, e), (b, d, f), (0, 0, 1.0)])
    if name == "translate":
        return shift(first, given[1] if len(given) > 1 else 0.0)
    if name == "scale":
        return np.diag([first, given[1] if len(given) > 1 else first, 1.0])
    if name == "skewX":
        return np.array([(1, tan(radians(first)), 0), (0, 1, 0), (0, 0, 1.0)])
    if name == "skewY":
        return np.array([(1, 0, 0), (tan(radians(first)), 1, 0), (0, 0, 1.0)])
    c, s = cos(radians(first)), sin(radians(first))
    turn = np.array([(c, -s, 0), (s, c, 0), (0, 0, 1.0)])
    if len(given) == 3:
        turn = shift(given[1], given[2]) @ turn @ shift(-given[1], -given[2])
    return turn


def shift(x: float, y: float) -> Array:
    """The matrix that moves by so much, in units of the drawing."""
    return np.array([(1, 0, x), (0, 1, y), (0, 0, 1.0)])
