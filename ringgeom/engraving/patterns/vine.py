"""Leaves and vine: a stem that waves round the ring, a leaf and a tendril at every bend.

    .'')        leaf_mm long, leaf_wide_mm broad, with its rib
  .'  /   ___
-'___/ .-'   '-.      stem_mm wide, swinging by swing_mm to either side
      '         '-._
"""

from __future__ import annotations

from math import cos, hypot, pi, sin
from typing import Annotated, Literal

import numpy as np
from pydantic import Field

from ringgeom.engraving.arcs import closed, disc
from ringgeom.engraving.flat import extent_mm
from ringgeom.engraving.patterns.pattern import Asking, Cut, Depth, Pattern, closing, room, rounds
from ringgeom.engraving.shape import Shape
from ringgeom.engraving.stroke import Stroke
from ringgeom.engraving.swept import swept
from ringgeom.engraving.unrolled import Unrolled, without_seam
from ringgeom.errors import ShapeError
from ringgeom.form.curve import Array

PIECES = 16
"""Cubics along one wave of the stem."""


class Vine(Asking):
    """A waving stem with leaves; the length of its wave gives way so that it closes."""

    pattern: Literal["vine"] = "vine"
    wave_mm: Annotated[float, Field(ge=1.5, le=60)] = 6.0
    swing_mm: Annotated[float, Field(ge=0.1, le=8)] = 1.1
    stem_mm: Annotated[float, Field(ge=0.08, le=2)] = 0.26
    leaf_mm: Annotated[float, Field(ge=0.4, le=12)] = 2.3
    leaf_wide_mm: Annotated[float, Field(ge=0.2, le=8)] = 1.05
    rib_mm: Annotated[float, Field(ge=0, le=1)] = 0.09
    berries: bool = True
    margin_mm: Annotated[float, Field(ge=0, le=10)] = 0.25
    depth_mm: Depth = 0.2

    def drawn(self, face: Unrolled) -> Pattern:
        count = rounds(face, self.wave_mm, what="waves of the vine", least=2)
        wave = face.round_mm / count
        if 2 * pi * self.swing_mm / wave > 2.0:
            raise ShapeError(
                f"a vine swinging {self.swing_mm:g} mm in waves of {wave:.2f} mm is too steep; "
                f"swing at most {wave / pi:.2f} mm"
            )
        shapes = [self._stem(face.round_mm, count)]
        growth = self._growth(wave)
        ribs: list[Shape] = []
        for k in range(count):
            for crest, turn in (((k + 1) * wave, 1.0), ((k + 0.5) * wave, -1.0)):
                map_ = np.diag([1.0, turn])
                shapes += [one.mapped(map_, (crest, 0.0)) for one in growth[0]]
                ribs += [one.mapped(map_, (crest, 0.0)) for one in growth[1]]
        from ringgeom.engraving.combined import united

        whole = united(shapes)
        holes = [tuple(one.reversed() for one in reversed(rib.loops[0])) for rib in ribs]
        vine = Shape((*whole.shape.loops, *holes)).moved(0.0, face.middle_mm)
        left = sum(len(run) for run in without_seam(vine, face.round_mm))
        if left != sum(len(loop) for loop in vine.loops) - 2:
            raise ShapeError(
                f"leaves and stem of {self.stem_mm:g} mm run into each other in waves of "
                f"{wave:.2f} mm; give longer waves or a thinner stem"
            )
        _, _, low, high = extent_mm(vine)
        room(face, self.margin_mm, high - low, "a vine with these leaves")
        return Pattern(
            cuts=(Cut(shape=vine, depth_mm=self.depth_mm),),
            figures=(vine,),
            count=count,
            wraps=True,
            exact=whole.exact,
            notes=closing(self.wave_mm, wave, "the wave of the vine"),
        )

    def _stem(self, round_mm: float, count: int) -> Shape:
        """The stem, cut open an eighth of a wave past a crest, where nothing grows."""

        def way(s: Array) -> Array:
            s = s + 0.125 / count
            return np.column_stack([round_mm * s, self.swing_mm * np.cos(2 * pi * count * s)])

        return swept(way, lambda s: np.full_like(s, 0.5 * self.stem_mm), PIECES * count)

    def _growth(self, wave: float) -> tuple[list[Shape], list[Shape]]:
        """What grows at one crest, seen from (crest, 0): shapes, and the ribs left standing."""
        shapes: list[Shape] = []
        ribs: list[Shape] = []
        half = 0.5 * self.stem_mm
        quarter = 0.25 * wave
        # the large leaf hangs into the bay below the crest, on a stalk that leaves the stem early
        root = np.array([-quarter * 1.0, 0.0])
        neck = np.array([-quarter * 0.42, -0.16 * self.leaf_mm + 0.15 * self.swing_mm])
        shapes.append(_stalk(root, [0.35 * quarter, 0.22 * self.swing_mm], neck, half))
        leaf, rib = self._leaf(1.0)
        for found, kept in ((leaf, shapes), (rib, ribs)):
            kept += [_set(one, neck, -0.62) for one in found]
        # the small one stands outside, just past the crest
        root = np.array([-quarter * 0.3, self.swing_mm * cos(0.3 * pi / 2)])
        neck = np.array([quarter * 0.1, self.swing_mm + 0.2 * self.leaf_mm])
        shapes.append(_stalk(root, [0.3 * quarter, 0.1 * self.swing_mm], neck, 0.8 * half))
        leaf, rib = self._leaf(0.62)
        for found, kept in ((leaf, shapes), (rib, ribs)):
            kept += [_set(one, neck, 0.42) for one in found]
        if self.berries:
            shapes += self._berries(quarter, half)
        return shapes, ribs

    def _berries(self, quarter: float, half: float) -> list[Shape]:
        """Three berries outside, before the crest."""
        size = 0.16 * self.leaf_wide_mm + 0.06
        root = np.array([-quarter * 0.66, self.swing_mm * cos(0.66 * pi / 2)])
        end = np.array([-quarter * 0.62, self.swing_mm + 0.12 * self.leaf_mm])
        found = [_stalk(root, [0.02 * quarter, 0.3 * self.swing_mm], end, 0.6 * half)]
        for turn in (0.35, 1.55, 2.75):
            x, y = end + 1.32 * size * np.array([cos(turn), sin(turn)])
            found.append(disc((x, y), size))
        return found

    def _leaf(self, scale: float) -> tuple[list[Shape], list[Shape]]:
        """A leaf along +x from (0, 0), and its rib."""
        long, wide = scale * self.leaf_mm, 0.5 * scale * self.leaf_wide_mm
        outline = [
            _cubic((-0.04, 0), (0.05, -1.15), (0.5, -1.55), (1, 0.12), long, wide),
            _cubic((1, 0.12), (0.62, 1.3), (0.15, 1.5), (-0.04, 0), long, wide),
        ]
        rib_half = 0.5 * self.rib_mm * scale**0.5
        if rib_half == 0:
            return [Shape((closed(outline),))], []

        def way(s: Array) -> Array:
            x = long * (0.2 + 0.56 * s)
            return np.column_stack([x, wide * 0.12 * (x / long) ** 2])

        rib = swept(way, lambda s: rib_half * (1 - 0.75 * s), 3, blunt=(False, False))
        return [Shape((closed(outline),))], [rib]


def _cubic(*ends: object) -> Stroke:
    *points, long, wide = ends
    return Stroke(np.array(points, dtype=float) * np.array([long, wide]))


def _set(shape: Shape, at: Array, turn: float) -> Shape:
    """A shape turned about (0, 0) and put in a place."""
    c, s = cos(turn), sin(turn)
    return shape.mapped(np.array([(c, -s), (s, c)]), at.tolist())


def _stalk(root: Array, lead: list[float], end: Array, half: float) -> Shape:
    """A stalk from the middle of the stem, led off by `lead`, thinning to a little into its end."""
    a, b, c = root, root + np.array(lead), end
    c = c + (c - b) * (0.12 / max(hypot(*(c - b)), 1e-9))

    def way(s: Array) -> Array:
        u = 1 - s
        found: Array = (u * u)[:, None] * a + (2 * u * s)[:, None] * b + (s * s)[:, None] * c
        return found

    return swept(way, lambda s: half * (0.8 - 0.25 * s), 3, blunt=(False, False))
