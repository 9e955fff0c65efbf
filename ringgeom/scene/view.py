"""The views of a ring: how it stands, what is shown of it, and how large.

Sight is parallel, so that a length square to it measures the same everywhere in a picture.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import cos, radians, sin

import numpy as np

from ringgeom.colour.predict import Finish
from ringgeom.form.curve import Array
from ringgeom.form.mesh import Mesh
from ringgeom.scene.apart import shifts_mm
from ringgeom.scene.cut import ON_PLANE_MM, opened, outline
from ringgeom.scene.shown import Shown
from ringgeom.scene.skin import Skin, skin

WIDTH, HEIGHT = 1600, 1200
"""Dots of a picture."""

HEAD, FOOT, SIDE = 120, 190, 90
"""Dots that are kept free above, below and beside what is shown."""

TURNING_SIZE, TURNING_FRAMES = (960, 720), 36
"""Width and height of a turntable, and its steps in a turn."""

LARGEST_PX_PER_MM = 150
"""A thin ring is not blown up further: facets would show."""

GAP = -1
"""Number of a gap among the parts."""

BORE = 0.5
"""A facet all of whose corners look to the finger's axis by more than this is of the bore."""

CUT_AT_DEG, CUT_ARC_DEG = 90.0, 74.0
"""Where the ring is cut, at the top, and how much of it is kept behind the cut."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """A surface of one part, in the ring's own place.

    Attributes
    ----------
    part : int
        Its number among the parts shown; -1 for a gap.
    finish : str
        Its own; the part's, but for a bore.
    cut : bool
        A face of the cut: shown flat, without light.
    """

    part: int
    skin: Skin
    finish: Finish = "polished"
    cut: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class View:
    """What one picture shows.

    Attributes
    ----------
    turns : Array
        For every shape, from the ring's place to the picture's, shape (shapes, 4, 4):
        x to the right, y up, z towards the eye, from the middle of the picture [mm].
    px_per_mm : int
        Dots of the picture for a millimetre.
    ink_mm : Array
        Edges of the cut faces that the eye sees, shape (k, 2, 2), in the picture.
    size : (int, int)
        Width and height of the picture [dots].
    """

    name: str
    shapes: tuple[Shape, ...]
    turns: Array
    px_per_mm: int
    ink_mm: Array
    size: tuple[int, int] = (WIDTH, HEIGHT)


NO_INK = np.zeros((0, 2, 2))


def standing(turn_deg: float, height_deg: float) -> Array:
    """Rotation (3, 3) of a ring that stands on its edge, seen from a side and from above.

    turn_deg is between sight and the finger's axis; the axis runs to the right for 0 to 90.
    """
    turn, height = radians(turn_deg), radians(height_deg)
    about = np.array([[cos(turn), 0, sin(turn)], [0, 1, 0], [-sin(turn), 0, cos(turn)]])
    above = np.array([[1, 0, 0], [0, cos(height), -sin(height)], [0, sin(height), cos(height)]])
    turned: Array = above @ about
    return turned


LYING = np.array([[-1.0, 0.0, 0.0], [0.0, 0.0, 1.0], [0.0, 1.0, 0.0]])
"""Rotation of a ring whose axis points up the picture, its top at angle 90 towards the eye."""


def three_quarter(shown: Shown) -> View:
    """The ring standing, its outside and its bore."""
    return _placed("three-quarter", _whole(shown), standing(42, 20))


def front(shown: Shown) -> View:
    """The outside straight from the front, the finger upwards: width and outside to scale."""
    return _placed("front", _whole(shown), LYING)


def section(shown: Shown) -> View:
    """The ring cut across and seen on the cut: outside up, finger down."""
    start = shown.clear_angle(radians(CUT_AT_DEG))
    meshes = [*(part.mesh for part in shown.parts), *shown.gaps]
    numbers = [*range(len(shown.parts)), *[GAP] * len(shown.gaps)]
    left = opened(meshes, start, start + radians(360 - CUT_ARC_DEG))
    shapes = [
        shape
        for number, one in zip(numbers, left, strict=True)
        for mesh, cut in ((one.outer, False), (one.faces, True))
        for shape in _shapes(shown, number, mesh, cut=cut)
    ]
    edges = [
        outline(one.faces)
        for number, one in zip(numbers, left, strict=True)
        if number != GAP and len(one.faces.faces)
    ]
    turn = standing(64, 36) @ _spin(radians(CUT_AT_DEG) - start)
    return _placed("section", shapes, turn, ink=_on_half_plane(np.concatenate(edges), start))


def exploded(shown: Shown) -> View:
    """The parts apart, in the way they go together."""
    shapes = _parts(shown)
    return _placed("exploded", shapes, standing(63, 17), shifts=shifts_mm(shown.parts))


def turning(shown: Shown) -> tuple[View, ...]:
    """The standing ring turned once about the upright, all frames to one scale."""
    shapes = _whole(shown)
    steps = np.arange(TURNING_FRAMES) * 360 / TURNING_FRAMES
    turns = [standing(42 + step, 20) for step in steps.tolist()]
    points = np.vstack([shape.skin.points for shape in shapes])
    # the ring is symmetrical about its middle, and so is the room it takes in a turn
    high = max(float(np.abs(points @ turn[1]).max()) for turn in turns)
    wide = float(np.hypot(np.hypot(*points.T[:2]).max(), np.abs(points[:, 2]).max()))
    (right, up), side = TURNING_SIZE, SIDE // 2
    px_per_mm = _px_per_mm((right - 2 * side, up - HEAD - FOOT), (2 * wide, 2 * high))
    stand = np.tile(np.eye(4), (len(turns), 1, 1))
    stand[:, :3, :3] = turns
    stand[:, 1, 3] = 0.5 * (FOOT - HEAD) / px_per_mm
    return tuple(
        View(
            name="turntable",
            shapes=tuple(shapes),
            turns=np.tile(matrix, (len(shapes), 1, 1)),
            px_per_mm=px_per_mm,
            ink_mm=NO_INK,
            size=TURNING_SIZE,
        )
        for matrix in stand
    )


VIEWS: dict[str, Callable[[Shown], View]] = {
    "three-quarter": three_quarter,
    "front": front,
    "section": section,
    "exploded": exploded,
}
"""Every view by its name, in the order of a sheet."""


def _parts(shown: Shown) -> list[Shape]:
    return [shape for n, part in enumerate(shown.parts) for shape in _shapes(shown, n, part.mesh)]


def _whole(shown: Shown) -> list[Shape]:
    return _parts(shown) + [shape for mesh in shown.gaps for shape in _shapes(shown, GAP, mesh)]


def _shapes(shown: Shown, number: int, mesh: Mesh, *, cut: bool = False) -> list[Shape]:
    """The surface of a part: in two where its outside is brushed, for a bore is polished."""
    if not len(mesh.faces):
        return []
    finish = "polished" if number == GAP else shown.parts[number].finish
    whole = skin(mesh)
    if finish == "polished" or cut:
        return [Shape(part=number, skin=whole, finish=finish, cut=cut)]
    inwards = whole.inwards()[whole.faces].min(axis=1) > BORE
    sides: tuple[tuple[Finish, Skin], ...] = (
        ("polished", whole.some(inwards)),
        (finish, whole.some(~inwards)),
    )
    return [Shape(part=number, skin=one, finish=how) for how, one in sides if len(one.faces)]


def _spin(angle: float) -> Array:
    """Rotation (3, 3) of a ring about its axis."""
    return np.array([[cos(angle), -sin(angle), 0], [sin(angle), cos(angle), 0], [0, 0, 1]])


def _on_half_plane(edges: Array, angle: float) -> Array:
    """Those of some edges (k, 2, 3) that lie on the half plane at an angle: the cut seen."""
    off = edges @ np.array([-sin(angle), cos(angle), 0.0])
    out = edges @ np.array([cos(angle), sin(angle), 0.0])
    found: Array = edges[((np.abs(off) < ON_PLANE_MM) & (out > 0)).all(axis=1)]
    return found


def _placed(
    name: str,
    shapes: Sequence[Shape],
    turn: Array,
    *,
    shifts: Array | None = None,
    ink: Array | None = None,
) -> View:
    """A view with its shapes in the middle of the picture, as large as there is room."""
    turns = np.tile(np.eye(4), (len(shapes), 1, 1))
    turns[:, :3, :3] = turn
    if shifts is not None:
        turns[:, :3, 3] = shifts[[shape.part for shape in shapes]] @ turn.T
    spots = np.vstack(
        [_moved(shape.skin.points, m) for shape, m in zip(shapes, turns, strict=True)]
    )
    low, high = spots.min(axis=0), spots.max(axis=0)
    room = WIDTH - 2 * SIDE, HEIGHT - HEAD - FOOT
    px_per_mm = _px_per_mm(room, (high - low)[:2].tolist())
    middle = 0.5 * (low + high) - np.array([0.0, 0.5 * (FOOT - HEAD) / px_per_mm, 0.0])
    turns[:, :3, 3] -= middle
    seen = NO_INK if ink is None else (ink @ turn.T - middle)[..., :2]
    return View(name=name, shapes=tuple(shapes), turns=turns, px_per_mm=px_per_mm, ink_mm=seen)


def _px_per_mm(room: tuple[int, int], needed_mm: Sequence[float]) -> int:
    """The largest whole number of dots for a millimetre at which everything is shown."""
    most = min(dots / mm for dots, mm in zip(room, needed_mm, strict=True))
    return min(LARGEST_PX_PER_MM, max(1, int(most)))


def _moved(points: Array, turn: Array) -> Array:
    """Points (n, 3) through a matrix (4, 4)."""
    moved: Array = points @ turn[:3, :3].T + turn[:3, 3]
    return moved
