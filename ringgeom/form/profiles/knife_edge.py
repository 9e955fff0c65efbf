"""A knife edge: two slopes that meet at mid-width.

                 top_mm: a small flat on the ridge, or
              _.-'-._           round_mm: the ridge rounded to this radius
          _.-'       '-._       ^ drop_mm: the ridge, as it is, above the edges
         |               |      v
         |_______________|

The crest is the ridge as it is made: of a rounded one, its top.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import asin, atan2, cos, hypot, sin, tan
from typing import ClassVar, Literal, Self

from pydantic import model_validator

from ringgeom.asked import told
from ringgeom.errors import Problem
from ringgeom.form.curve import Arc, Cone, Curve, Flat
from ringgeom.form.frame import Chain
from ringgeom.form.profiles.face import ROUND_MM, Face, Form, Length, Measure, Misfit, symmetric

SHARP_MM = 1e-4
"""A ridge with less of a flat or a rounding than this is sharp."""


class KnifeEdge(Form):
    """Two slopes; the ridge sharp, with a flat, or rounded."""

    across: ClassVar[tuple[str, ...]] = ("top_mm",)
    up: ClassVar[tuple[str, ...]] = ("drop_mm",)
    height: ClassVar[tuple[str, int] | None] = ("drop_mm", -1)

    form: Literal["knife-edge"]
    drop_mm: Length
    top_mm: Measure = 0.0
    round_mm: Measure = 0.0

    @model_validator(mode="after")
    def _one_ridge(self) -> Self:
        if self.top_mm > 0 and self.round_mm > 0:
            raise told(
                Problem(
                    text="a ridge is either flat or rounded",
                    value=f"top_mm {self.top_mm:g} and round_mm {self.round_mm:g}",
                    allowed="one of them",
                )
            )
        return self

    @property
    def sharp(self) -> bool:
        """Whether its ridge would cut."""
        return self.top_mm < SHARP_MM and self.round_mm < SHARP_MM

    def misfits(self, face: Face) -> Iterator[Misfit]:
        half = face.half_mm
        if self.top_mm > 2 * half - ROUND_MM:
            yield Misfit(
                key="top_mm",
                value=self.top_mm,
                limit=2 * half,
                text=f"ridge {self.top_mm:g} mm wide leaves no slopes on a band of {2 * half:g} mm",
                fix=f"top_mm below {2 * half:g}",
            )
        # the arc through both edges: a fuller rounding reaches past them
        most = (half**2 + self.drop_mm**2) / (2 * self.drop_mm)
        if self.round_mm > most - ROUND_MM:
            yield Misfit(
                key="round_mm",
                value=self.round_mm,
                limit=most,
                text=f"ridge rounded by {self.round_mm:g} mm leaves no slopes: it is a dome",
                fix=f'round_mm below {most:.2f}, or form = "domed"',
            )

    def drawn(self, face: Face) -> Chain:
        crest, half, drop = face.crest_mm, face.half_mm, self.drop_mm
        if self.round_mm >= SHARP_MM:
            # the tangent from the edge to the ridge's circle falls at this angle
            radius = self.round_mm
            below = radius - drop
            angle = asin(radius / hypot(half, below)) - atan2(below, half)
            touch = radius * sin(angle)
            on = crest - radius * (1 - cos(angle))
            ridge: tuple[Curve, ...] = (
                Arc(crest, 0.0, radius, 1),
                Cone(on, touch, -tan(angle)),
            )
            return symmetric(ridge, (touch, half))
        start = self.top_mm / 2 if self.top_mm >= SHARP_MM else 0.0
        slope = Cone(crest, start, -drop / (half - start))
        if start:
            return symmetric((Flat(crest), slope), (start, half))
        return symmetric((slope,), (half,))

    def fall_mm(self, face: Face) -> float:
        return self.drop_mm
