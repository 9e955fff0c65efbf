"""A face with finishing stock left on it: every curve moved square to itself, and joined anew.

          .-------.              the same face with stock: flats and arcs parallel,
     .---'---------'---.         corners drawn out to a point, roundings that stay tangent,
    /  .-'         '-.  \\        risers moved towards their lower side
   |  /   finished    \\  |

A piece that the stock runs over (a narrow groove) is left out, and its neighbours meet; a hollow
tighter than the stock is drawn straight. At a step no point stands higher than `POINT` allows.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot, isinf, isnan, nan, sqrt

import numpy as np

from ringgeom.errors import ShapeError
from ringgeom.form.curve import Arc, Cone, Curve, Flat
from ringgeom.form.frame import STEP_MM, Chain

POINT = 4.0
"""How many times the stock a corner drawn out to a point may stand above what is finished: as at
a slope of 60 degrees."""

TANGENT = 1e-5
"""Neighbours whose angles differ by less than this run smoothly into each other [rad]."""


def left_on(face: Chain, by_mm: float, half_mm: float) -> Chain:
    """A face moved square to itself, over a band of another half width.

    A face of several curves whose end is rounded upright goes on level from there, so that
    the edge face keeps its own stock; one arc across the whole width ends where it ends.

    Parameters
    ----------
    by_mm : float
        Away from the finger [mm]; negative towards it.

    Raises
    ------
    ShapeError
        The stock fills the face up.
    """
    face = _levelled(face, by_mm)
    pieces, stops = list(face.curves), face.stops_mm
    wide = [high - low for _, low, high in face.pieces()]
    joins = [_Join(a, b, z, z) for a, b, z in zip(pieces, pieces[1:], stops[1:-1], strict=False)]
    while True:
        met = [join.moved_mm(by_mm) for join in joins]
        at = [-half_mm, *met, half_mm]
        lost = _lost(wide, at)
        if lost is None:
            break
        if len(pieces) == 1:
            raise ShapeError(f"stock of {abs(by_mm):g} mm fills the face up")
        pieces.pop(lost)
        wide.pop(lost)
        if lost in (0, len(pieces)):
            joins.pop(0 if lost == 0 else -1)
        else:
            before, after = joins[lost - 1], joins[lost]
            between = _Join(before.left, after.right, before.left_mm, after.right_mm)
            joins[lost - 1 : lost + 1] = [between]
    moved, at = _carried_on([piece.offset(by_mm) for piece in pieces], at, joins, by_mm)
    shelves = [False, False]
    if len(moved) > 1:
        for end in (0, -1):
            last = moved[end]
            if isinstance(last, Arc) and abs(at[end] - last.z_mm) > last.bend_mm + STEP_MM:
                # not at its very end, where half the digits of its radius are lost
                reach = last.bend_mm - STEP_MM
                stop = last.z_mm + (reach if end else -reach)
                level = Flat(float(last.r(np.array([stop]))[0]))
                moved, at = (
                    ([*moved, level], [*at[:-1], stop, at[-1]])
                    if end
                    else ([level, *moved], [at[0], stop, *at[1:]])
                )
                shelves[end] = True
    return Chain(tuple(moved), tuple(at), (shelves[0], shelves[1]))


def _levelled(face: Chain, by_mm: float) -> Chain:
    """The face with hollows that the stock swallows drawn straight from end to end.

    Left out they could not be: where they stand over a step their neighbours are lower.
    """
    curves = list(face.curves)
    for n, (curve, low, high) in enumerate(face.pieces()):
        if isinstance(curve, Arc) and curve.bend_mm + curve.side * by_mm <= 0:
            start, end = curve.r(np.array([low, high])).tolist()
            lean = (end - start) / (high - low)
            curves[n] = Cone(start, low, lean) if lean else Flat(start)
    return Chain(tuple(curves), face.stops_mm, face.shelves)


def _carried_on(
    moved: list[Curve], at: list[float], joins: list[_Join], by_mm: float
) -> tuple[list[Curve], list[float]]:
    """The faces with what is steep at a step carried on straight to its riser, and cut off level.

    A hollow might not reach its riser, and a point of stock is no higher than `POINT` times that.
    """
    curves, stops = [moved[0]], [at[0]]
    for n, join in enumerate(joins):
        left, right, stop = curves[-1], moved[n + 1], at[n + 1]
        corner = join.corner(by_mm)
        over = left if corner is not None and corner.left else right
        hollow = isinstance(over, Arc) and over.side * by_mm < 0
        if corner is None or not (hollow or isinstance(over, Cone)):
            curves, stops = [*curves, right], [*stops, stop]
            continue
        way = -1 if corner.left else 1
        # how far the curve itself is there, from its other end
        other = stops[-1] if corner.left else at[n + 2]
        kept = not hollow or way * (other - corner.z_mm) > STEP_MM
        run: list[Curve] = [over] if kept else []
        ends = [corner.z_mm] if kept else []
        if hollow:
            run.append(Cone(corner.r_mm, corner.z_mm, corner.lean))
        high = corner.finished_mm + POINT * by_mm
        if (float(run[-1].r(np.array([stop]))[0]) - high) * by_mm > 0:
            reached = corner.z_mm + (high - corner.r_mm) / corner.lean
            run.append(Flat(high))
            ends = [*ends, reached] if hollow else [reached]
        elif not hollow:
            ends = []
        if corner.left:
            curves, stops = [*curves[:-1], *run, right], [*stops, *ends, stop]
        else:
            curves, stops = [*curves, *run[::-1]], [*stops, stop, *ends[::-1]]
    return curves, [*stops, at[-1]]


def _lost(wide: list[float], at: list[float]) -> int | None:
    """A piece that the stock of its neighbours runs over."""
    for n in range(len(wide)):
        if isnan(at[n + 1]):
            # of two that no longer meet, the narrower
            return n if wide[n] < wide[n + 1] else n + 1
        if at[n] > at[n + 1] - STEP_MM:
            return n
    return None


@dataclass(frozen=True, slots=True)
class _Corner:
    """Where the higher side of a step ends with stock on it; whether that is the left side."""

    left: bool
    finished_mm: float
    r_mm: float
    z_mm: float
    lean: float


@dataclass(frozen=True, slots=True)
class _Join:
    """Two neighbours of the finished face and where each ends; apart where one between is lost."""

    left: Curve
    right: Curve
    left_mm: float
    right_mm: float

    def moved_mm(self, by_mm: float) -> float:
        """z at which they meet when both are moved [mm]; not a number where they do not."""
        step = self._step()
        if self.left_mm == self.right_mm:
            if abs(step) > STEP_MM:
                return self.left_mm + (by_mm if step > 0 else -by_mm)
            lean, other = self.left.lean_at(self.left_mm), self.right.lean_at(self.left_mm)
            if abs(np.arctan(lean) - np.arctan(other)) < TANGENT:
                flatter = min(lean, other, key=abs)
                share = flatter / hypot(1.0, flatter) if not isinf(flatter) else np.sign(flatter)
                return self.left_mm - by_mm * float(share)
        a, b = self.left.offset(by_mm), self.right.offset(by_mm)
        middle = 0.5 * (self.left_mm + self.right_mm)
        found = _meetings(a, b)
        if found:
            return min(found, key=lambda z: abs(z - middle))
        if self.left_mm == self.right_mm:
            return nan
        # two risers that ran past each other: the higher side of the metal wins
        left_wins = step * by_mm > 0
        return self.left_mm + abs(by_mm) if left_wins else self.right_mm - abs(by_mm)

    def corner(self, by_mm: float) -> _Corner | None:
        """Where the higher side of a step ends when it is moved; None where nothing steps."""
        step = self._step()
        if abs(step) <= STEP_MM or self.left_mm != self.right_mm:
            return None
        left = step * by_mm > 0
        curve, z = (self.left, self.left_mm) if left else (self.right, self.right_mm)
        lean = curve.lean_at(z)
        if isinf(lean):
            return None
        share, finished = by_mm / hypot(1.0, lean), float(curve.r(np.array([z]))[0])
        return _Corner(left, finished, finished + share, z - share * lean, lean)

    def _step(self) -> float:
        left = float(self.left.r(np.array([self.left_mm]))[0])
        return left - float(self.right.r(np.array([self.right_mm]))[0])


def _meetings(a: Curve, b: Curve) -> list[float]:
    """Every z at which two curves, carried on, have one radius [mm]."""
    if isinstance(b, Arc) and not isinstance(a, Arc):
        a, b = b, a
    if isinstance(a, Arc):
        found = _circles(a, b) if isinstance(b, Arc) else _circle_line(a, *_line(b))
        return [z for z, r in found if _on(a, z, r) and _on(b, z, r)]
    (r0, lean), (r1, other) = _line(a), _line(b)
    return [] if lean == other else [(r1 - r0) / (lean - other)]


def _on(curve: Curve, z: float, r: float) -> bool:
    """Whether a point of a circle lies on the half of it that is the face."""
    return not isinstance(curve, Arc) or curve.side * (r - curve.centre_mm) >= -STEP_MM


def _line(curve: Curve) -> tuple[float, float]:
    """Radius at mid-width and lean of a straight face."""
    if isinstance(curve, Flat):
        return curve.radius_mm, 0.0
    if isinstance(curve, Cone):
        return curve.r_mm - curve.lean * curve.z_mm, curve.lean
    raise ShapeError("only flat, arched and straight faces can have stock on them")


def _circle_line(arc: Arc, r0: float, lean: float) -> list[tuple[float, float]]:
    """Where a circle meets a line, as (z, r)."""
    reach = hypot(1.0, lean)
    off = (r0 + lean * arc.z_mm - arc.centre_mm) / reach
    if abs(off) > arc.bend_mm:
        return []
    along = sqrt(arc.bend_mm**2 - off**2)
    foot = arc.z_mm - off * lean / reach, arc.centre_mm + off / reach
    return [
        (foot[0] + way * along / reach, foot[1] + way * along * lean / reach) for way in (-1, 1)
    ]


def _circles(a: Arc, b: Arc) -> list[tuple[float, float]]:
    """Where two circles meet, as (z, r)."""
    z, r = b.z_mm - a.z_mm, b.centre_mm - a.centre_mm
    apart = hypot(z, r)
    if apart == 0 or apart > a.bend_mm + b.bend_mm or apart < abs(a.bend_mm - b.bend_mm):
        return []
    along = (apart**2 + a.bend_mm**2 - b.bend_mm**2) / (2 * apart)
    across = sqrt(max(0.0, a.bend_mm**2 - along**2))
    z, r = z / apart, r / apart
    return [
        (a.z_mm + along * z - way * across * r, a.centre_mm + along * r + way * across * z)
        for way in (-1, 1)
    ]
