"""Elements that draw → runs of strokes: path, rect, circle, ellipse, line, polyline, polygon."""

from __future__ import annotations

from math import pi

from ringgeom.engraving.arcs import arc, closed
from ringgeom.engraving.flat import chained
from ringgeom.engraving.stroke import Stroke, line
from ringgeom.engraving.svg.numbers import numbers, user_length
from ringgeom.engraving.svg.path_data import MOST_STROKES, Run, runs
from ringgeom.engraving.svg.tree import Node, refused

DRAWING = ("path", "rect", "circle", "ellipse", "line", "polyline", "polygon")


def figure(node: Node, within: float) -> list[Run]:
    """What an element draws, in its own units; `within` is how near cubics stay to arcs."""
    if node.tag == "path":
        return runs(node.values.get("d", ""), node, within)
    if node.tag == "rect":
        return [_rect(node, within)]
    if node.tag in ("circle", "ellipse"):
        return [_round(node, within)]
    if node.tag == "line":
        x1, y1, x2, y2 = (user_length(node, key) for key in ("x1", "y1", "x2", "y2"))
        return [Run((line((x1, y1), (x2, y2)),), False)]
    found = numbers(node.values.get("points", ""), node, "points")
    if len(found) % 2 or len(found) < 4:
        raise refused("points need x and y for two corners or more", node)
    if len(found) > 2 * MOST_STROKES:
        raise refused("too many points", node, allowed=f"{MOST_STROKES}; simplify it")
    corners = list(zip(found[::2], found[1::2], strict=True))
    if node.tag == "polygon":
        corners.append(corners[0])
    strokes = tuple(stroke for stroke in chained(corners) if stroke.start != stroke.end)
    if not strokes:
        raise refused("all its points lie in one place", node)
    return [Run(strokes, node.tag == "polygon")]


def _size(node: Node, key: str) -> float:
    size = user_length(node, key)
    if size <= 0:
        raise refused(f"{key} must be above 0", node, value=node.values.get(key, "nothing"))
    return size


def _round(node: Node, within: float) -> Run:
    cx, cy = user_length(node, "cx"), user_length(node, "cy")
    keys = ("r", "r") if node.tag == "circle" else ("rx", "ry")
    if node.tag == "ellipse":
        told = [key for key in keys if node.values.get(key, "auto").strip() != "auto"]
        keys = (told[0], told[-1]) if told else keys
    radii = _size(node, keys[0]), _size(node, keys[1])
    return Run(closed(arc((cx, cy), radii, 0.0, 2 * pi, within_mm=within)), True)


def _rect(node: Node, within: float) -> Run:
    x, y = user_length(node, "x"), user_length(node, "y")
    wide, high = _size(node, "width"), _size(node, "height")
    told = {
        key: user_length(node, key)
        for key in ("rx", "ry")
        if node.values.get(key, "auto").strip() != "auto"
    }
    if any(size < 0 for size in told.values()):
        raise refused("rx and ry must not be below 0", node)
    rx = min(told.get("rx", told.get("ry", 0.0)), wide / 2)
    ry = min(told.get("ry", told.get("rx", 0.0)), high / 2)
    left, right, top, foot = x, x + wide, y, y + high
    if rx == 0 or ry == 0:
        return Run(
            chained([(left, top), (right, top), (right, foot), (left, foot), (left, top)]), True
        )
    strokes: list[Stroke] = []
    for (cx, cy), start in (
        ((right - rx, top + ry), -pi / 2),
        ((right - rx, foot - ry), 0.0),
        ((left + rx, foot - ry), pi / 2),
        ((left + rx, top + ry), pi),
    ):
        corner = arc((cx, cy), (rx, ry), start, pi / 2, within_mm=within)
        if strokes:
            strokes.append(line(strokes[-1].end, corner[0].start))
        strokes += corner
    strokes.append(line(strokes[-1].end, strokes[0].start))
    return Run(closed([one for one in strokes if _long(one)]), True)


def _long(stroke: Stroke) -> bool:
    """False for the straight side that a full rounding leaves nothing of."""
    (x1, y1), (x2, y2) = stroke.start, stroke.end
    return stroke.degree > 1 or abs(x1 - x2) + abs(y1 - y2) > 1e-12 * (1 + abs(x1) + abs(y1))
