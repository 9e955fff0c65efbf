"""The castings of a ring: all parts of one alloy, with their sprues, in one flask."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from ringgeom.making.casting import Flask
from ringgeom.making.part import Part
from ringgeom.making.sprue import Sprue
from ringgeom.metal import Alloy


@dataclass(frozen=True, slots=True, kw_only=True)
class Casting:
    """All parts of one alloy, poured together in one flask."""

    alloy: Alloy
    parts: tuple[Part, ...]
    sprues: tuple[Sprue, ...]
    flask: Flask


def castings(
    parts: Sequence[Part], sprues: Mapping[str, Sprue], flasks: Mapping[str, Flask]
) -> tuple[Casting, ...]:
    """The castings of a ring, in the order of their flasks; sprues by part, flasks by alloy."""
    return tuple(
        Casting(
            alloy=group[0].alloy,
            parts=group,
            sprues=tuple(sprues[part.name] for part in group),
            flask=one,
        )
        for name, one in flasks.items()
        if (group := tuple(part for part in parts if part.alloy.name == name))
    )
