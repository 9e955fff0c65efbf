"""What every form of outside or bore shares: its measures, its limits, how it is drawn.

    crest_mm ->  ._______.       highest of the outside, or the bore's smallest radius
                /         \\
    edge  ->   |           |     what a form falls (outside) or rises (bore) by at its edges
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Annotated, ClassVar, Self

from pydantic import Field

from ringgeom.asked import Asked
from ringgeom.form.curve import Arc, Cone, Curve
from ringgeom.form.frame import Chain

Measure = Annotated[float, Field(ge=0, le=20)]
"""A measure of a form that may be nothing [mm]."""

Length = Annotated[float, Field(gt=0, le=20)]
"""A measure of a form that must be something [mm]."""

LEAST_RISE_MM = 1e-6
"""A rise lower than this is drawn flat: the difference is below a millionth of the width."""

ROUND_MM = 1e-9
"""A limit met to this is met."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Face:
    """The room for a form: one side of a band [mm].

    `crest_mm` is the largest radius of the outside, or the smallest of the bore; `side` +1 at
    the outside, -1 at the bore; `edge_room_mm` how far the outside may fall at the edges
    before it meets the bore there.
    """

    crest_mm: float
    half_mm: float
    side: int
    edge_room_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Misfit:
    """A measure of a form [mm] that does not go with the band; its text begins with the form."""

    key: str
    value: float
    limit: float
    text: str
    fix: str


class Form(Asked):
    """Base of every form.

    `across` and `up` name the measures that lie along the axis and along the radius; what is
    of the tool (a rounding) is in neither. `height` is the measure that is grabbed on the
    section, and how its value changes as the hand moves out of the metal (+1) or into it (-1).
    """

    across: ClassVar[tuple[str, ...]] = ()
    up: ClassVar[tuple[str, ...]] = ()
    height: ClassVar[tuple[str, int] | None] = None

    def drawn(self, face: Face) -> Chain:
        """The form as curves, left to right; only where it has no misfit."""
        raise NotImplementedError

    def crest_z_mm(self, half_mm: float) -> float:
        """Where across the width its crest lies [mm]."""
        return 0.0

    def fall_mm(self, face: Face) -> float:
        """How far its lower edge lies from the crest, towards the metal [mm]."""
        return 0.0

    def misfits(self, face: Face) -> Iterator[Misfit]:
        """What of it does not go with the band."""
        yield from ()

    def dip_at_mid_mm(self, half_mm: float) -> float:
        """How far it lies below its crest at mid-width [mm]."""
        return 0.0

    @property
    def plain(self) -> bool:
        """Whether it is one level across the whole width."""
        return False

    @property
    def comfort(self) -> bool:
        """Whether, in a bore, it is one that a ring is made smaller for."""
        return False

    def shared(self, axis: float, radius: float) -> Self:
        """The form in a band whose width and thickness are so many times as large."""
        shares = {**dict.fromkeys(self.across, axis), **dict.fromkeys(self.up, radius)}
        return self.model_copy(
            update={key: getattr(self, key) * share for key, share in shares.items() if share != 1}
        )


def symmetric(curves: Sequence[Curve], stops_mm: Sequence[float]) -> Chain:
    """A form that is alike on both sides, from the curves of its right half.

    Parameters
    ----------
    curves : sequence of Curve
        From mid-width to the right edge; a first one that is centred there is drawn once.
    stops_mm : sequence of float
        Where each of them ends [mm].
    """
    left = [_mirrored(curve) for curve in reversed(curves)]
    stops = [-z for z in reversed(stops_mm)]
    if left[-1] == curves[0]:
        return Chain((*left, *curves[1:]), (*stops, *stops_mm))
    return Chain((*left, *curves), (*stops, 0.0, *stops_mm))


def _mirrored(curve: Curve) -> Curve:
    if isinstance(curve, Cone):
        return Cone(curve.r_mm, -curve.z_mm, -curve.lean)
    if isinstance(curve, Arc):
        return replace(curve, z_mm=-curve.z_mm if curve.z_mm else 0.0)
    return curve
