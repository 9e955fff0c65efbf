"""What is engraved on one section at many finger sizes.

A cut of one depth, measured from the bore, takes an area of the section that does not change
with the size; it is spread over the letters' length as a share of the turn, length over radius.
So what it takes, times the radius at which the letters are set, is linear in the bore.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from ringgeom.engraving.engraved import Engraved, Set, engraved, taken_mm3
from ringgeom.errors import InputError
from ringgeom.findings import Asking
from ringgeom.form.curve import Array
from ringgeom.form.pieces import Piece
from ringgeom.form.ring import Ring


@dataclass(frozen=True, slots=True, kw_only=True)
class Off:
    """What is taken off each piece over the sizes, finished and as cast [mm3]."""

    finished: dict[Piece, Array]
    cast: dict[Piece, Array]


def rows_of(asking: Asking) -> list[Set | None]:
    """The texts of a design as they are set, its figures as they are drawn."""
    return [None if isinstance(one, InputError) else one for one in asking.rows]


def cut_alone(found: Sequence[Engraved], sizes: int = 1) -> Off:
    """Of one ring, the same at every one of some sizes that are alike."""
    same = np.ones(sizes)
    return Off(
        finished={piece: volume * same for piece, volume in taken_mm3(found).items()},
        cast={piece: volume * same for piece, volume in taken_mm3(found, cast=True).items()},
    )


def cut_over(found: Sequence[Engraved], other: Ring, asking: Asking, bores: Array) -> Off:
    """Over the bores, from the rings at the first and the last of them."""
    far = engraved(other, asking.design.engravings, rows_of(asking))
    off = Off(finished={}, cast={})
    along = (bores - bores[0]) / (bores[-1] - bores[0])
    for here, there in zip(found, far, strict=True):
        radii = here.face.radius_mm + (bores - bores[0]) / 2
        for mine, first, last in (
            (off.finished, here.removed, there.removed),
            (off.cast, here.cast_removed, there.cast_removed),
        ):
            end = dict(last)
            for piece, volume in first:
                ends = volume * radii[0], end[piece] * radii[-1]
                row = (ends[0] * (1 - along) + ends[1] * along) / radii
                mine[piece] = mine.get(piece, np.zeros_like(bores)) + row
    return off
