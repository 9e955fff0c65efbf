"""How long, how steep and how wide what waves really is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ringgeom.form.places import AnyPlace
from ringgeom.form.ring import Ring
from ringgeom.making.wave_path import WavePath, wave_path


@dataclass(frozen=True, slots=True, kw_only=True)
class WaveMeasure:
    """One waving place at the outside.

    `path.narrowest_mm` and `path.widest_mm` are its own width where both its walls wave alike;
    `whole` says whether they do.
    """

    place: str
    amplitude_mm: float
    count: int
    whole: bool
    path: WavePath


def wave_measures(
    ring: Ring, places: Sequence[AnyPlace], *, crest_mm: float | None = None
) -> tuple[WaveMeasure, ...]:
    """Every waving place, measured on the outside at mid-width.

    Parameters
    ----------
    places : sequence of places
        For each claim of the ring, the place that made it.
    crest_mm : float, optional
        Radius of the outside, of the same section at another size.
    """
    radius = ring.form.band.crest_mm if crest_mm is None else crest_mm
    found = []
    for claim, place in zip(ring.claims, places, strict=True):
        walls = claim.takes.walls
        waves = [wall.wave for wall in walls if wall.wave is not None]
        if not waves:
            continue
        whole = len(walls) == 2 and len(set(waves)) == 1 and len(waves) == 2
        width = abs(walls[-1].at_mm - walls[0].at_mm) if len(walls) == 2 else ring.form.width_mm
        found.append(
            WaveMeasure(
                place=place.name,
                amplitude_mm=abs(waves[0].amplitude_mm),
                count=waves[0].count,
                whole=whole,
                path=wave_path(
                    amplitude_mm=abs(waves[0].amplitude_mm),
                    count=waves[0].count,
                    radius_mm=radius,
                    band_width_mm=width,
                ),
            )
        )
    return tuple(found)
