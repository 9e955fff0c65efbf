"""Dimension lines: arrows, figures on their line, leaders that keep clear of each other."""

from __future__ import annotations

from collections.abc import Sequence

from ringgeom.drawing.shapes import Path, Point, Shape, Word

FIGURE_MM = 2.7
"""Height of the em of a figure."""

ARROW_MM = 1.5
CLEAR_MM = 0.7
"""Between a line and its figure."""


def across(x0: float, x1: float, y: float, text: str) -> list[Shape]:
    """A dimension along x with its figure above the line; places in mm of paper."""
    shapes: list[Shape] = [Path(points=((x0, y), (x1, y)))]
    if x1 - x0 > 2 * ARROW_MM + 0.4:
        shapes += [_arrow((x0, y), (-1, 0)), _arrow((x1, y), (1, 0))]
    else:
        # arrows from outside, as drawing practice does where there is no room
        shapes += [_arrow((x0, y), (1, 0)), _arrow((x1, y), (-1, 0))]
        shapes.append(Path(points=((x0 - 2 * ARROW_MM, y), (x0, y))))
        shapes.append(Path(points=((x1, y), (x1 + 2 * ARROW_MM, y))))
    at = (x0 + x1) / 2, y + CLEAR_MM
    shapes.append(Word(at=at, text=text, size_mm=FIGURE_MM, anchor="middle"))
    return shapes


def upright(x: float, y0: float, y1: float, text: str) -> list[Shape]:
    """A dimension along y, its figure to the left, read from the right; in mm of paper."""
    shapes: list[Shape] = [Path(points=((x, y0), (x, y1)))]
    if y1 - y0 > 2 * ARROW_MM + 0.4:
        shapes += [_arrow((x, y0), (0, -1)), _arrow((x, y1), (0, 1))]
    else:
        shapes += [_arrow((x, y0), (0, 1)), _arrow((x, y1), (0, -1))]
    shapes.append(
        Word(
            at=(x - CLEAR_MM, (y0 + y1) / 2),
            text=text,
            size_mm=FIGURE_MM,
            anchor="middle",
            upwards=True,
        )
    )
    return shapes


def _arrow(tip: Point, way: tuple[int, int]) -> Path:
    """A slim filled arrowhead pointing in a direction."""
    (x, y), (dx, dy) = tip, way
    back, half = ARROW_MM, ARROW_MM / 5
    one = x - back * dx + half * dy, y - back * dy + half * dx
    other = x - back * dx - half * dy, y - back * dy - half * dx
    return Path(points=(tip, one, other), closed=True, filled=True)


def spread(wanted: Sequence[float], apart: float) -> list[float]:
    """Places as near to the wanted ones as they can be when they keep apart, in the same order.

    In mm of paper. Pools of neighbours that would overlap are centred on the mean of what
    they want.
    """
    order = sorted(range(len(wanted)), key=lambda i: wanted[i])
    pools: list[tuple[float, list[int]]] = []
    for index in order:
        pools.append((wanted[index], [index]))
        while len(pools) > 1 and _first(pools[-1], apart) < _last(pools[-2], apart) + apart:
            (m1, a), (m0, b) = pools.pop(), pools.pop()
            merged = b + a
            mean = (m0 * len(b) + m1 * len(a)) / len(merged)
            pools.append((mean, merged))
    found = [0.0] * len(wanted)
    for mean, members in pools:
        for number, index in enumerate(members):
            found[index] = mean + (number - (len(members) - 1) / 2) * apart
    return found


def _first(pool: tuple[float, list[int]], apart: float) -> float:
    return pool[0] - (len(pool[1]) - 1) / 2 * apart


def _last(pool: tuple[float, list[int]], apart: float) -> float:
    return pool[0] + (len(pool[1]) - 1) / 2 * apart
