"""What the bench asks of a ring beyond its castings, drawn when it is asked for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ringgeom.form.places import AnyPlace
from ringgeom.form.ring import Ring
from ringgeom.making.blank import Blank, blank
from ringgeom.making.cutting import CutList, cut_lists
from ringgeom.making.joint import Joint
from ringgeom.making.part import Part
from ringgeom.making.soldering import Soldering, soldering
from ringgeom.making.stack import Stack, stacks
from ringgeom.making.tapering import Station, tapering
from ringgeom.making.turning import Cut, turning_table
from ringgeom.making.unrolled import Unrolled, unrolled
from ringgeom.making.waving import WaveMeasure, wave_measures
from ringgeom.shop import Shop


@dataclass(frozen=True, slots=True, kw_only=True)
class Bench:
    """Tables for the bench.

    Attributes
    ----------
    taper : tuple of Station
        Width and thickness hour by hour; empty where the band is even.
    turning : tuple of Cut
        Diameters from the finger outwards.
    stacks : tuple of Stack
        Stack-ups across the width.
    blanks : tuple of Blank
        What each part is made from without casting.
    cut_lists : tuple of CutList
        Segments to saw.
    waves : tuple of WaveMeasure
        Length, slope and true width of what waves.
    templates : tuple of Unrolled
        Outside and bore, to wrap round.
    soldering : Soldering or None
        The solder plan; None where nothing is joined.
    """

    taper: tuple[Station, ...]
    turning: tuple[Cut, ...]
    stacks: tuple[Stack, ...]
    blanks: tuple[Blank, ...]
    cut_lists: tuple[CutList, ...]
    waves: tuple[WaveMeasure, ...]
    templates: tuple[Unrolled, ...]
    soldering: Soldering | None


def bench(
    ring: Ring,
    parts: Sequence[Part],
    places: Sequence[AnyPlace],
    joints: Sequence[Joint],
    shop: Shop,
) -> Bench:
    """All tables of a ring.

    Parameters
    ----------
    places : sequence of places
        For each claim of the ring, the place that made it.
    """
    return Bench(
        taper=tapering(ring.form),
        turning=turning_table(ring, places),
        stacks=stacks(ring, places),
        blanks=tuple(blank(ring, part, shop.fabricating) for part in parts),
        cut_lists=cut_lists(ring, places, parts, shop.fabricating),
        waves=wave_measures(ring, places),
        templates=unrolled(ring, places),
        soldering=soldering(ring, parts, places, joints, shop.joining),
    )
