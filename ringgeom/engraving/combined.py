"""Shapes united, cut from each other or to what they share, with curves of their own.

Every outline is parted at its crossings. A piece belongs to the outcome where metal lies on one
side of it and none on the other; the pieces are then followed round. Where outlines run along
each other there is no crossing to part them at: they, and what lies over them, are drawn with
straight pieces within `CHORD_MM`, and `exact` is false.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from ringgeom.engraving.crossings import Unclear, parted
from ringgeom.engraving.flat import Flat, flats, shape_of
from ringgeom.engraving.followed import Piece, followed
from ringgeom.engraving.shape import Loop, Shape, joined
from ringgeom.form.curve import Array, Whole

Way = Literal["united", "less", "shared"]
Rule = Literal["nonzero", "evenodd"]

BESIDE_MM = 1e-6
"""How far beside a piece it is asked whether there is metal."""

SHORT_MM = 20 * BESIDE_MM
"""A shorter piece is too small to be asked beside."""

GRID_MM = 1e-7
"""Straight pieces are parted on a grid, so that every crossing of theirs is found."""

NO_LOOP = -1
"""Of a point that lies on no loop."""

CLEAR_MM = 3e-4
"""Nearer than this to another outline, its straight pieces could mislead."""


@dataclass(frozen=True, slots=True)
class Combined:
    """A shape; `exact` where all of it is made of the outlines' own curves."""

    shape: Shape
    exact: bool


@dataclass(frozen=True, slots=True)
class Figure:
    """Loops that are filled by one rule."""

    loops: tuple[Loop, ...]
    rule: Rule = "nonzero"


def united(shapes: Sequence[Shape]) -> Combined:
    """All that lies in any of the shapes."""
    return combined([Figure(shape.loops) for shape in shapes], "united")


def less(shape: Shape, others: Sequence[Shape]) -> Combined:
    """What is left of a shape outside all others."""
    return combined([Figure(one.loops) for one in (shape, *others)], "less")


def shared(shapes: Sequence[Shape]) -> Combined:
    """What lies in all of the shapes."""
    return combined([Figure(shape.loops) for shape in shapes], "shared")


def combined(
    figures: Sequence[Figure], way: Way = "united", outlines: list[Flat] | None = None
) -> Combined:
    """Figures put together; every loop of theirs is closed and does not cross itself.

    `outlines` are their loops as straight pieces, where these are at hand.

    Raises
    ------
    ShapeError
        They cross too often.
    """
    loops = [loop for figure in figures for loop in figure.loops]
    if not loops:
        return Combined(Shape(()), True)
    outlines = flats(loops) if outlines is None else outlines
    ask = _Asking(figures, outlines, way)
    touching: set[int] = set()
    try:
        touching, pieces = parted(loops, outlines)
        found, lost = followed(ask.kept(pieces))
        if lost == 0:
            return Combined(Shape(found), True)
    except Unclear as unclear:
        touching = touching | unclear.loops
    touching = ask.together(touching or set(range(len(loops))))
    straight = _straightened(ask, outlines, touching)
    others = [index for index in range(len(loops)) if index not in touching]
    left = [
        Figure(tuple(loops[k] for k in others if ask.figure[k] == number), figure.rule)
        for number, figure in enumerate(figures)
    ]
    rest = combined(left, way, [outlines[index] for index in others])
    return Combined(joined([straight, rest.shape]), False)


def _straightened(ask: _Asking, outlines: list[Flat], touching: set[int]) -> Shape:
    """Loops of figures that nothing else lies over, put together as straight pieces."""
    from shapely import LinearRing, get_parts, point_on_surface, polygonize, unary_union

    rings = [LinearRing(outlines[index].corners) for index in sorted(touching)]
    faces = get_parts(polygonize(list(get_parts(unary_union(rings, grid_size=GRID_MM)))))
    inside = np.array([point_on_surface(face).coords[0] for face in faces])
    metal = ask.metal(inside, np.full(len(faces), NO_LOOP), 1)
    return shape_of(unary_union(faces[metal]))


class _Asking:
    """Whether there is metal at a point."""

    def __init__(self, figures: Sequence[Figure], outlines: list[Flat], way: Way) -> None:
        from shapely import LinearRing, Polygon, STRtree

        self.figure = np.repeat(np.arange(len(figures)), [len(one.loops) for one in figures])
        self.odd = np.array([one.rule == "evenodd" for one in figures])
        self.sense = np.array([1 if one.doubled_area_mm2 > 0 else -1 for one in outlines])
        self.tree = STRtree([Polygon(one.corners) for one in outlines])
        self.rings = STRtree([LinearRing(one.corners) for one in outlines])
        self.filled = _ways(way, len(figures))

    def together(self, loops: set[int]) -> set[int]:
        """These loops and all that lie over them, over those, and so on."""
        from scipy.sparse import coo_array
        from scipy.sparse.csgraph import connected_components

        a, b = self.tree.query(self.tree.geometries, predicate="intersects")
        size = len(self.sense)
        graph = coo_array((np.ones(len(a)), (a, b)), shape=(size, size))
        _, group = connected_components(graph, directed=False)
        return set(np.flatnonzero(np.isin(group, group[sorted(loops)])).tolist())

    def kept(self, pieces: list[Piece]) -> list[Piece]:
        """Pieces with metal on one side only, turned so that it lies to their left.

        Raises
        ------
        Unclear
            A curve lies too near to others to tell; the loops it is of, and those.
        """
        short = {piece.loop for piece in pieces if _within(piece, SHORT_MM)}
        if short:
            raise Unclear(short)
        at, beside = self._middles(pieces)
        loop = np.array([piece.loop for piece in pieces], dtype=np.intp)
        left = self.metal(at + beside, loop, 1)
        right = self.metal(at - beside, loop, -1)
        found = [piece for piece, a, b in zip(pieces, left, right, strict=True) if a and not b]
        found += [p.turned() for p, a, b in zip(pieces, left, right, strict=True) if b and not a]
        return found

    def metal(self, points: Array, loop: Whole, side: int) -> Array:
        """Whether each point lies in metal; its own loop is passed by on the given side."""
        from shapely import points as spots

        asked, inside = self.tree.query(spots(points), predicate="within")
        other = loop[asked] != inside
        within = np.flatnonzero((loop != NO_LOOP) & (self.sense[loop] == side))
        asked = np.concatenate([asked[other], within])
        inside = np.concatenate([inside[other], loop[within]])
        keys, back = np.unique(asked * len(self.odd) + self.figure[inside], return_inverse=True)
        turns = np.zeros(len(keys), dtype=int)
        np.add.at(turns, back, self.sense[inside])
        which = keys % len(self.odd)
        holds = np.where(self.odd[which], turns % 2 != 0, turns != 0)
        return self.filled(keys[holds] // len(self.odd), which[holds], len(points))

    def _middles(self, pieces: list[Piece]) -> tuple[Array, Array]:
        """A point on every piece away from other loops, and a step to its left."""
        from shapely import points as spots

        at, beside = (np.empty((len(pieces), 2)) for _ in range(2))
        sought = np.arange(len(pieces))
        for share in (0.5, 0.31, 0.73, 0.12, 0.89):
            for index in sought:
                at[index], beside[index] = _spot(pieces[index], share)
            near, rings = self.rings.query(
                spots(at[sought]), predicate="dwithin", distance=CLEAR_MM
            )
            own = np.array([pieces[index].loop for index in sought], dtype=np.intp)
            foreign = own[near] != rings
            sought = sought[np.unique(near[foreign])]
            if not len(sought):
                return at, beside
        raise Unclear({*own[near[foreign]].tolist(), *rings[foreign].tolist()})


def _within(piece: Piece, size_mm: float) -> bool:
    """Whether a piece is no larger than a size."""
    if len(piece.strokes) > 2:
        return False
    points = np.vstack([stroke.points for stroke in piece.strokes])
    return bool(np.ptp(points, axis=0).max() < size_mm)


def _spot(piece: Piece, share: float) -> tuple[Array, Array]:
    """A point at a share of a piece's strokes, and a step of `BESIDE_MM` to the left there."""
    place = share * len(piece.strokes)
    stroke = piece.strokes[int(place)]
    t = np.array([min(max(place - int(place), 0.1), 0.9)])
    (x, y), (dx, dy) = stroke.at(t)[0], stroke.slope(t)[0]
    long = float(np.hypot(dx, dy))
    if long == 0:
        raise Unclear({piece.loop})
    return np.array([x, y]), np.array([-dy, dx]) * (BESIDE_MM / long)


def _ways(way: Way, count: int) -> Callable[[Whole, Whole, int], Array]:
    """From (point, figure) pairs that hold to whether there is metal at each point."""

    def filled(point: Whole, figure: Whole, points: int) -> Array:
        held = np.bincount(point, minlength=points)
        if way == "united":
            return np.asarray(held > 0)
        if way == "shared":
            return np.asarray(held == count)
        first = np.bincount(point[figure == 0], minlength=points)
        return np.asarray((first == 1) & (held == 1))

    return filled
