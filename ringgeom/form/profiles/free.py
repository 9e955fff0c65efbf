"""A free outside: straight stretches and arcs between points, left to right.

                 2 .--.          point: z_mm from mid-width, rise_mm above any base line
               .-'     '. 3      bow_mm: how far the middle of the stretch that comes to the
       0___1.-'          |       point bows away from the straight; negative is hollow
                         |____5
                         4       two points at one z are an upright step

The highest of it is the crest, whatever the base line. Left of the first point and right of
the last it goes on level. It need not be alike on both sides.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from math import atan2, copysign, floor, hypot, pi, tan
from typing import Annotated, Literal, Self

import numpy as np
from pydantic import Field, model_validator

from ringgeom.asked import Asked, told_all
from ringgeom.errors import Problem
from ringgeom.form.curve import Arc, Cone, Curve, Flat
from ringgeom.form.frame import Chain
from ringgeom.form.profiles.face import ROUND_MM, Face, Form, Misfit

FLATTEST_MM = 2000.0
"""An arc of a larger radius is drawn straight: over 6 mm it bows by two micrometres."""

UPRIGHT_MM = 1e-6
"""An arc stops this short of ending upright, where its radius at its end would be lost."""

MOST_POINTS = 24


class Point(Asked):
    """A point of the outline, and how the stretch that comes to it bows."""

    z_mm: Annotated[float, Field(ge=-30, le=30)]
    rise_mm: Annotated[float, Field(ge=-20, le=20)]
    bow_mm: Annotated[float, Field(ge=-20, le=20)] = 0.0


class Free(Form):
    """An outline of points."""

    form: Literal["free"]
    points: Annotated[tuple[Point, ...], Field(min_length=2, max_length=MOST_POINTS, strict=False)]

    @model_validator(mode="after")
    def _one_radius_at_every_z(self) -> Self:
        wrong = [
            (problem, ("points", n))
            for n, problem in enumerate(_wrong(self.points))
            if problem is not None
        ]
        if wrong:
            raise told_all(wrong)
        return self

    def misfits(self, face: Face) -> Iterator[Misfit]:
        reach = max(abs(self.points[0].z_mm), abs(self.points[-1].z_mm))
        if reach > face.half_mm + ROUND_MM:
            yield Misfit(
                key="points",
                value=reach,
                limit=face.half_mm,
                text=f"outline reaches {reach:g} mm from mid-width; the band ends at "
                f"{face.half_mm:g} mm",
                fix=f"points from {-face.half_mm:g} to {face.half_mm:g}, or a wider band",
            )

    def drawn(self, face: Face) -> Chain:
        chain = self._outline(face.half_mm)
        return chain.raised(face.crest_mm - chain.extremes_mm()[1])

    def _outline(self, half_mm: float) -> Chain:
        """The outline over its own base line."""
        first, last = self.points[0], self.points[-1]
        curves: list[Curve] = []
        stops = [-half_mm]
        if first.z_mm > -half_mm + ROUND_MM:
            curves.append(Flat(first.rise_mm))
            stops.append(first.z_mm)
        for before, after in pairwise(self.points):
            if after.z_mm > before.z_mm:
                curves.append(_stretch(before, after))
                stops.append(after.z_mm)
        if last.z_mm < half_mm - ROUND_MM:
            curves.append(Flat(last.rise_mm))
            stops.append(half_mm)
        stops[-1] = half_mm
        return Chain(tuple(curves), tuple(stops))

    def fall_mm(self, face: Face) -> float:
        chain = self._outline(face.half_mm)
        ends = chain.r(np.array([-face.half_mm, face.half_mm]))
        return chain.extremes_mm()[1] - float(ends.min())

    def crest_z_mm(self, half_mm: float) -> float:
        chain = self._outline(half_mm)
        crests = [
            c.z_mm for c, low, high in chain.pieces() if isinstance(c, Arc) and low < c.z_mm < high
        ]
        return max((*chain.stops_mm, *crests), key=lambda z: chain.extremes_mm(z, z)[1])

    def dip_at_mid_mm(self, half_mm: float) -> float:
        chain = self._outline(half_mm)
        return chain.extremes_mm()[1] - float(chain.r(np.zeros(1))[0])

    def shared(self, axis: float, radius: float) -> Self:
        moved = tuple(
            Point(z_mm=p.z_mm * axis, rise_mm=p.rise_mm * radius, bow_mm=p.bow_mm * radius)
            for p in self.points
        )
        return self.model_copy(update={"points": moved})


def _stretch(before: Point, after: Point) -> Curve:
    """The curve from one point to the next."""
    z, r = after.z_mm - before.z_mm, after.rise_mm - before.rise_mm
    chord, bow = hypot(z, r), after.bow_mm
    bend = (chord**2 / 4 + bow**2) / (2 * abs(bow)) if bow else FLATTEST_MM
    if bend >= FLATTEST_MM:
        return Cone(before.rise_mm, before.z_mm, r / z) if r else Flat(before.rise_mm)
    side = 1 if bow > 0 else -1
    # from the middle of the chord, square to it, to the arc's centre
    reach = bow - copysign(bend, bow)
    centre_z = 0.5 * (before.z_mm + after.z_mm) - r / chord * reach
    centre_r = 0.5 * (before.rise_mm + after.rise_mm) + z / chord * reach
    return Arc(centre_r + side * bend, centre_z, bend, side)


def _wrong(points: tuple[Point, ...]) -> Iterator[Problem | None]:
    """What is wrong with each point, None where nothing is."""
    if points[0].bow_mm:
        yield Problem(
            text="no stretch comes to the first point",
            value=f"bow_mm {points[0].bow_mm:g}",
            allowed="bow_mm on the points after it",
        )
    else:
        yield None
    risers = 0
    for before, after in pairwise(points):
        z, r = after.z_mm - before.z_mm, after.rise_mm - before.rise_mm
        risers = risers + 1 if z == 0 else 0
        if z < 0 or risers > 1 or (z == 0 and r == 0):
            yield Problem(
                text="the points run from left to right",
                value=f"z_mm {after.z_mm:g} after {before.z_mm:g}",
                allowed="a larger z_mm; two points at one z are an upright step, three are not",
            )
        elif z == 0 and after.bow_mm:
            yield Problem(
                text="an upright step is straight",
                value=f"bow_mm {after.bow_mm:g}",
                allowed="bow_mm = 0",
            )
        else:
            yield _overhangs(z, r, after.bow_mm)


def _overhangs(z: float, r: float, bow_mm: float) -> Problem | None:
    """Whether an arc has two radii at one z."""
    if z == 0:
        return None
    most = hypot(z, r) / 2 * tan((pi / 2 - abs(atan2(r, z))) / 2)
    if abs(bow_mm) <= most - UPRIGHT_MM:
        return None
    return Problem(
        text="the arc that comes to this point overhangs",
        value=f"bow_mm {bow_mm:g}",
        allowed=f"{-floor(most * 1000) / 1000:g} to {floor(most * 1000) / 1000:g}",
    )
