"""Hatching: a pattern for each alloy, so that black and white printing tells the metals apart."""

from __future__ import annotations

from math import cos, hypot, radians, sin

from ringgeom.drawing.shapes import Path, Point

PATTERNS: tuple[tuple[tuple[float, float], ...], ...] = (
    ((45.0, 1.6),),
    ((135.0, 1.6),),
    ((45.0, 2.2), (135.0, 2.2)),
    ((0.0, 1.4),),
    ((90.0, 1.4),),
    ((0.0, 2.2), (90.0, 2.2)),
    ((20.0, 1.1),),
    ((160.0, 1.1),),
)
"""For each alloy in turn, angles [degree] and distances [mm] of its lines."""


def hatching(loops: tuple[tuple[Point, ...], ...], number: int) -> tuple[Path, ...]:
    """Lines over an area, cut off at its outline and its holes.

    Parameters
    ----------
    loops : tuple of tuples of points
        Outline and holes, as they lie on the paper [mm].
    number : int
        Of the alloy; patterns come round again after the last.
    """
    from shapely import LineString, MultiLineString, Polygon, intersection

    outer = max(loops, key=_spread)
    area = Polygon(outer, [loop for loop in loops if loop is not outer])
    if not area.is_valid:
        area = area.buffer(0)
    if area.is_empty:
        return ()
    x0, y0, x1, y1 = area.bounds
    middle, reach = ((x0 + x1) / 2, (y0 + y1) / 2), hypot(x1 - x0, y1 - y0)
    found: list[Path] = []
    for angle, apart in PATTERNS[number % len(PATTERNS)]:
        along = cos(radians(angle)), sin(radians(angle))
        across = -along[1], along[0]
        count = int(reach / apart / 2) + 1
        lines = []
        for step in range(-count, count + 1):
            base = tuple(m + step * apart * a for m, a in zip(middle, across, strict=True))
            ends = [
                tuple(b + way * reach * d for b, d in zip(base, along, strict=True))
                for way in (-1, 1)
            ]
            lines.append(LineString(ends))
        cut = intersection(area, MultiLineString(lines))
        for piece in getattr(cut, "geoms", [cut]):
            points = tuple(map(tuple, getattr(piece, "coords", ())))
            if len(points) == 2:
                found.append(Path(points=points, ink="hair"))
    return tuple(found)


def _spread(loop: tuple[Point, ...]) -> float:
    xs, ys = [x for x, _ in loop], [y for _, y in loop]
    return (max(xs) - min(xs)) * (max(ys) - min(ys))
