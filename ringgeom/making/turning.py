"""The turning table: every diameter of a ring, to a hundredth, with the stock still on it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from ringgeom.form.places import AnyPlace
from ringgeom.form.ring import Ring

SAME_MM = 1e-3
"""Diameters this near to each other are one: a tenth of what the table is told to."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """One diameter to turn.

    Attributes
    ----------
    part, face : str
        Whose, and which face.
    finished_mm, turned_mm : float
        Diameter of the finished ring, and with finishing stock left, to 0.01 [mm].
    stock_mm : float
        Left on for filing and polishing, on the radius [mm]; 0 where parts meet.
    at_mm : tuple of float
        From and to, along the axis from mid-width [mm].
    """

    part: str
    face: str
    finished_mm: float
    turned_mm: float
    stock_mm: float
    at_mm: tuple[float, float]


def turning_table(ring: Ring, places: Sequence[AnyPlace]) -> tuple[Cut, ...]:
    """Diameters from the finger outwards: bore, floors and ceilings, outside.

    Where the thickness tapers only the bore is round about the finger.

    Parameters
    ----------
    places : sequence of places
        For each claim of the ring, the place that made it.
    """
    form, stock = ring.form, ring.stock
    half = form.width_mm / 2
    bore = form.inside_diameter_mm
    outside = bore + 2 * form.mid_mm
    whole = (-half, half)
    found = [_cut("ring", "bore", bore, -stock.bore_mm, whole)]
    if form.tapers_thin:
        return tuple(found)
    for claim, place in zip(ring.claims, places, strict=True):
        walls = claim.takes.walls
        swing = max((abs(w.wave.amplitude_mm) for w in walls if w.wave is not None), default=0.0)
        across = (
            max(-half, claim.takes.left.at_mm - swing) if claim.takes.left else -half,
            min(half, claim.takes.right.at_mm + swing) if claim.takes.right else half,
        )
        waves = ", waves: not turned" if swing else ""
        for face, radius in (
            ("floor for", claim.takes.floor_mm),
            ("bore of", claim.fills.floor_mm),
            ("outside of", claim.fills.ceiling_mm),
            ("seat for", claim.takes.ceiling_mm),
        ):
            if radius is not None:
                found.append(
                    _cut(place.name, f"{face} {place.name}{waves}", 2 * radius, 0.0, across)
                )
    found.append(_cut("ring", "outside at mid-width", outside, stock.outside_mm, whole))
    if form.proud_mm:
        body = outside + 2 * form.proud_mm
        found.append(_cut("body", "outside of the body", body, stock.outside_mm, whole))
    found += _corners(ring)
    return tuple(sorted(found, key=lambda cut: (cut.finished_mm, cut.face)))


def _corners(ring: Ring) -> Iterator[Cut]:
    """Diameters of the corners of an outside that has some: ledges, bevels, valleys, crests.

    What lies as high on both sides of mid-width is told once.
    """
    outside, _ = ring.form.drawn
    if len(outside.curves) == 1 and not ring.form.band.dip_mm:
        return
    half, crest = ring.form.width_mm / 2, ring.form.band.crest_mm
    at: dict[float, list[float]] = {}
    for z in (*outside.stops_mm, ring.form.outside.crest_z_mm(half)):
        for radius in set(outside.extremes_mm(z, z)):
            if abs(radius - ring.form.band.mid_mm) > SAME_MM:
                at.setdefault(round(radius, 3), []).append(z)
    for radius, places in at.items():
        ends = min(places), max(places)
        words = ", ".join(f"{z:.2f}" for z in sorted({round(abs(z), 3) for z in places}))
        face = "outside at its highest" if crest - radius < SAME_MM else "outside"
        face += f", {words} off mid-width"
        yield _cut("ring", face, 2 * radius, ring.stock.outside_mm, ends)


def _cut(part: str, face: str, diameter: float, stock: float, at: tuple[float, float]) -> Cut:
    return Cut(
        part=part,
        face=face,
        finished_mm=round(diameter, 2),
        turned_mm=round(diameter + 2 * stock, 2),
        stock_mm=abs(stock),
        at_mm=at,
    )
