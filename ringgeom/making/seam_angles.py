"""Where the seams of rings that touch go round the ring, so that no two meet.

        0
        |
270 ----+---- 90        seen along the finger; neighbours 90 to 180 degrees apart
        |
       180
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

STEP_DEG = 30
"""Angles are proposed in steps that can be marked with dividers."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SeamAngle:
    """Where a seam goes.

    Attributes
    ----------
    name : str
        Of the seam.
    angle_deg : float
        Round the ring from the first seam [degree].
    apart_deg : float or None
        To the nearest seam of a neighbour [degree]; None when no neighbour has a seam.
    """

    name: str
    angle_deg: float
    apart_deg: float | None


def seam_angles(
    seams: Sequence[tuple[str, tuple[str, str]]], touching: Sequence[tuple[str, str]]
) -> tuple[SeamAngle, ...]:
    """Angles for all seams.

    Parameters
    ----------
    seams : sequence of (str, (str, str))
        Name and the parts it closes: twice the same part for a bent strip, two for a split ring.
        Seams of the same parts are spread evenly.
    touching : sequence of (str, str)
        Parts that lie on each other.

    Returns
    -------
    tuple of SeamAngle
        In the order given. Where the rings touch in such a way that 90 degrees cannot be had,
        the widest angle found is given and `apart_deg` says so.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> closed = [("rail", ("rail", "rail")), ("reed", ("reed", "reed"))]
    >>> [seam.angle_deg for seam in seam_angles(closed, [("reed", "rail")])]
    [0.0, 180.0]
    """
    rings: dict[frozenset[str], list[str]] = {}
    for name, between in seams:
        rings.setdefault(frozenset(between), []).append(name)
    neighbours = {
        ring: [other for other in rings if other is not ring and _touch(ring, other, touching)]
        for ring in rings
    }
    placed: dict[frozenset[str], list[float]] = {}
    for ring in _outwards(neighbours):
        count = len(rings[ring])
        taken = [angle for other in neighbours[ring] for angle in placed.get(other, [])]
        # max keeps the first of equals, so a ring without neighbours starts at 0
        placed[ring] = max(
            (
                [(start + 360 * nth / count) % 360 for nth in range(count)]
                for start in range(0, 360, STEP_DEG)
            ),
            key=lambda mine: _nearest(mine, taken),
        )
    found = {}
    for ring, names in rings.items():
        others = [angle for other in neighbours[ring] for angle in placed[other]]
        for name, angle in zip(names, placed[ring], strict=True):
            apart = _nearest([angle], others) if others else None
            found[name] = SeamAngle(name=name, angle_deg=float(angle), apart_deg=apart)
    return tuple(found[name] for name, _ in seams)


def _touch(one: frozenset[str], other: frozenset[str], touching: Sequence[tuple[str, str]]) -> bool:
    return any((a in one and b in other) or (b in one and a in other) for a, b in touching)


def _outwards(neighbours: dict[frozenset[str], list[frozenset[str]]]) -> list[frozenset[str]]:
    """Each ring after a neighbour, so that a stack comes out alternating."""
    order: list[frozenset[str]] = []
    for first in neighbours:
        waiting = [first]
        while waiting:
            ring = waiting.pop(0)
            if ring not in order:
                order.append(ring)
                waiting += neighbours[ring]
    return order


def _nearest(mine: Sequence[float], others: Sequence[float]) -> float:
    """Smallest angle between two lists of directions [degree]; 180 when there is none."""
    return min(
        (min(abs(a - b) % 360, 360 - abs(a - b) % 360) for a in mine for b in others), default=180.0
    )
