"""A finished ring made larger or smaller: what can be done, what every part gains or loses."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi
from typing import Literal

from ringgeom.design import Design
from ringgeom.errors import InputError, Problem, StopError
from ringgeom.finger import read_size
from ringgeom.form.measure import build
from ringgeom.form.places import MotifInlay, Segments
from ringgeom.jobs import Job, job
from ringgeom.making.part import Part
from ringgeom.making.routes.channel import US_SIZE_MM
from ringgeom.shop import Shop
from ringgeom.units import mass_g

SAME_MM = 0.005
"""A change of the bore below this is none [mm]."""

LEAST_SLEEVE_MM = 0.4
"""A sleeve thinner than this is not worth soldering in [mm]: common practice, no source."""

Kind = Literal["stretch", "cut and close", "cut and add", "sleeve", "remake"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """One way to resize, whether it works, the number that decides, the reason."""

    kind: Kind
    works: bool
    value: float
    limit: float | None
    unit: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PartChange:
    """What one part gains (+) or loses (-) round the ring [mm] and in metal [g]."""

    part: Part
    length_mm: float
    grams: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Resize:
    """A ring at another size.

    Attributes
    ----------
    before, after : Job
        The ring as it is and as designed anew at the other size: waves and segments keep their
        number, rails keep their width.
    change_mm : float
        Of the bore across [mm].
    ways : tuple of Way
        Every way, the gentlest first.
    parts : tuple of PartChange
        For a ring that can be cut: every concentric part gains or loses the same length.
    """

    before: Job
    after: Job
    change_mm: float
    ways: tuple[Way, ...]
    parts: tuple[PartChange, ...]

    @property
    def verdict(self) -> Way:
        """The gentlest way that works; making it anew always does."""
        return next(way for way in self.ways if way.works)


def resize(design: Design, shop: Shop | None, to: str) -> Resize:
    """Judge a change of size.

    Raises
    ------
    InputError
        The size means nothing, or is the same.
    StopError
        One of the two rings cannot be made.

    Source
    ------
    Every concentric part changes by pi times the change of diameter: 1.277 mm per half US size.
    """
    shop = shop or Shop()
    before = job(design, shop)
    wanted = read_size(to)
    after = job(
        design.model_copy(update={"ring": design.ring.model_copy(update={"size": to})}), shop
    )
    change = after.made.inside_diameter_mm - before.made.inside_diameter_mm
    problems = []
    if abs(change) < SAME_MM:
        problems.append(
            Problem(
                text="the ring already has this size",
                value=to,
                allowed=f"a size other than {before.finger.asked}",
            )
        )
    if problems:
        raise InputError(problems)
    for one, which in ((before, before.finger.asked), (after, wanted.asked)):
        if one.stopped:
            reasons = (f"{f.text}; {f.fix}" for f in one.findings if f.level == "stop")
            raise StopError(f"at {which}: {'; '.join(reasons)}")
    return Resize(
        before=before,
        after=after,
        change_mm=change,
        ways=tuple(_ways(before, change, shop)),
        parts=() if _pattern(design) else tuple(_changes(before, change)),
    )


def resize_outlook(before: Job) -> str:
    """What a later change of size takes, in one sentence for the one who wears the ring."""
    if breaks := _pattern(before.design):
        return f"cannot be made larger or smaller ({breaks}); it is made anew at another size"
    joining = before.shop.joining
    if len(before.parts) == 1:
        return (
            f"can be stretched a little, or cut and closed by up to {joining.resize_cut_us:g} US "
            "sizes"
        )
    return (
        f"can be stretched by up to {joining.resize_stretch_us:g} of a US size, or cut through all "
        f"its metals by up to {joining.resize_cut_us:g} US sizes; beyond that it is made anew"
    )


def _changes(before: Job, change_mm: float) -> list[PartChange]:
    """What is cut out of or let into every closed part: its section times the length."""
    if before.ring is None:
        return []
    around = pi * change_mm
    found = []
    for part in before.parts:
        if part.plate is not None:
            continue  # an insert keeps its size; the ring is cut beside it
        section = build(before.ring, part.piece, with_stock=False).area_mm2
        grams = mass_g(section * around, part.alloy.density_g_cm3)
        found.append(PartChange(part=part, length_mm=around, grams=grams))
    return found


def _ways(before: Job, change_mm: float, shop: Shop) -> list[Way]:
    breaks = _pattern(before.design)
    ways = [_stretch(before, change_mm, breaks, shop), _cut(change_mm, breaks, shop)]
    if change_mm < 0:
        ways.append(_sleeve(before, change_mm))
    ways.append(
        Way(
            kind="remake",
            works=True,
            value=change_mm,
            limit=None,
            unit="mm",
            words="make it anew at the other size: waves, segments and motifs keep their number",
        )
    )
    return ways


def _cut(change_mm: float, breaks: str, shop: Shop) -> Way:
    """Metal let in or cut out: the saw takes its own width as well."""
    around, kerf = abs(pi * change_mm), shop.fabricating.kerf_mm
    sizes, most = abs(change_mm) / US_SIZE_MM, shop.joining.resize_cut_us
    larger = change_mm > 0
    if breaks:
        words = f"the pattern breaks at the cut: {breaks}"
    elif sizes > most + 1e-9:
        words = f"{sizes:.1f} US sizes; beyond {most:g} the curve no longer fits: make it anew"
    elif larger:
        words = (
            f"{around:.2f} mm and the saw cut's {kerf:g} let in to every part, at one place "
            "through all, beside no seam; with a solder below those that are there"
        )
    else:
        words = (
            f"{around:.2f} mm, the saw cuts within it, cut out of every part, at one place "
            "through all, beside no seam; with a solder below those that are there"
        )
    return Way(
        kind="cut and add" if larger else "cut and close",
        works=not breaks and sizes <= most + 1e-9,
        value=sizes,
        limit=most,
        unit="US sizes",
        words=words,
    )


def _sleeve(before: Job, change_mm: float) -> Way:
    wall = -change_mm / 2
    works = wall >= LEAST_SLEEVE_MM
    words = f"a sleeve would be {wall:.2f} mm thick"
    if works:
        words = f"a sleeve {wall:.2f} mm thick in the bore leaves the pattern whole"
        if (rise := before.form.falls_mm[1]) > 0:
            form = "dome" if before.form.inside.comfort else "eased edges"
            words += f"; bore the {form} of {rise:g} mm straight first, the edges lose nothing"
    return Way(
        kind="sleeve", works=works, value=wall, limit=LEAST_SLEEVE_MM, unit="mm", words=words
    )


def _stretch(before: Job, change_mm: float, breaks: str, shop: Shop) -> Way:
    """Stretched up: one piece by its alloy's limit, what is joined by half a size or so."""
    strain = 100 * change_mm / before.made.inside_diameter_mm
    limit = shop.joining.stretch_percent
    if any(part.alloy.recipe.percent("Ni") > 0 for part in before.parts):
        limit = shop.joining.stretch_nickel_percent
    joined = len(before.parts) > 1
    sizes, most = change_mm / US_SIZE_MM, shop.joining.resize_stretch_us
    works = 0 < strain <= limit + 1e-9 and not (joined and sizes > most + 1e-9)
    words = f"{strain:.1f} % of stretching, {limit:g} % at most (usual advice, common practice)"
    if strain < 0:
        words = "stretching only makes a ring larger"
    elif joined and sizes > most + 1e-9:
        words = f"{sizes:.2f} US sizes: what is joined opens beyond {most:g} (common practice)"
    elif works and joined:
        words += "; joints may open: anneal, stretch slowly on a mandrel, look at every seam"
    if works and before.insets:
        names = ", ".join(one.asked.name for one in before.insets)
        works, words = False, f"stretching opens the pockets of {names}: the inserts come loose"
    if works and "segments" in breaks:
        works, words = False, "segments do not stretch: their joints open"
    return Way(kind="stretch", works=works, value=strain, limit=limit, unit="%", words=words)


def _pattern(design: Design) -> str:
    """What in a design goes round the ring as a pattern; empty for none."""
    found = []
    for place in design.parts:
        if isinstance(place, Segments):
            found.append(f"{place.name} is of {place.count} segments")
        elif isinstance(place, MotifInlay) and place.count > 1:
            found.append(f"{place.name} goes {place.count} times round")
        elif getattr(place, "wave", None) is not None:
            found.append(f"{place.name} waves")
    return ", ".join(found)
