"""A finished ring made larger or smaller: what can be done, what every part gains or loses."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi
from typing import Literal

from ringgeom.design import Design
from ringgeom.errors import InputError, Problem
from ringgeom.finger import read_size
from ringgeom.form.measure import build
from ringgeom.form.places import Segments
from ringgeom.jobs import Job, job
from ringgeom.making.part import Part
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
        The size means nothing, is the same, or one of the two rings is stopped.

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
    for one, which in ((before, before.finger.asked), (after, wanted.asked)):
        if one.stopped:
            reasons = "; ".join(f.text for f in one.findings if f.level == "stop")
            problems.append(Problem(text=f"at {which} the ring cannot be made: {reasons}"))
    if problems:
        raise InputError(problems)
    return Resize(
        before=before,
        after=after,
        change_mm=change,
        ways=tuple(_ways(before, change, shop)),
        parts=() if _pattern(design) else tuple(_changes(before, change)),
    )


def _changes(before: Job, change_mm: float) -> list[PartChange]:
    """What is cut out of or let into every closed part: its section times the length."""
    if before.ring is None:
        return []
    around = pi * change_mm
    found = []
    for part in before.parts:
        section = build(before.ring, part.piece, with_stock=False).area_mm2
        grams = mass_g(section * around, part.alloy.density_g_cm3)
        found.append(PartChange(part=part, length_mm=around, grams=grams))
    return found


def _ways(before: Job, change_mm: float, shop: Shop) -> list[Way]:
    bore = before.made.inside_diameter_mm
    strain = 100 * change_mm / bore
    pieces = len(before.parts) > 1
    breaks = _pattern(before.design)
    limit = shop.joining.stretch_percent
    if any(part.alloy.recipe.percent("Ni") > 0 for part in before.parts):
        limit = shop.joining.stretch_nickel_percent
    around = abs(pi * change_mm)
    ways = [_stretch(strain, limit, pieces=pieces, breaks=breaks)]
    kind: Kind = "cut and add" if change_mm > 0 else "cut and close"
    verb = "let in" if change_mm > 0 else "cut out"
    ways.append(
        Way(
            kind=kind,
            works=not breaks,
            value=around,
            limit=None,
            unit="mm",
            words=f"the pattern breaks at the cut: {breaks}"
            if breaks
            else f"{around:.2f} mm {verb} of every part, at one place through all, beside no seam",
        )
    )
    if change_mm < 0:
        wall = -change_mm / 2
        ways.append(
            Way(
                kind="sleeve",
                works=wall >= LEAST_SLEEVE_MM,
                value=wall,
                limit=LEAST_SLEEVE_MM,
                unit="mm",
                words=f"a sleeve {wall:.2f} mm thick in the bore leaves the pattern whole"
                if wall >= LEAST_SLEEVE_MM
                else f"a sleeve would be {wall:.2f} mm thick",
            )
        )
    ways.append(
        Way(
            kind="remake",
            works=True,
            value=change_mm,
            limit=None,
            unit="mm",
            words="make it anew at the other size: waves and segments keep their number",
        )
    )
    return ways


def _stretch(strain: float, limit: float, *, pieces: bool, breaks: str) -> Way:
    works = 0 < strain <= limit + 1e-9
    words = f"{strain:.1f} % of stretching, {limit:g} % at most (usual advice, common practice)"
    if strain < 0:
        words = "stretching only makes a ring larger"
    elif works and pieces:
        words += "; joints may open: stretch slowly, on a mandrel, and look at every seam"
    if works and "segments" in breaks:
        works, words = False, "segments do not stretch: their joints open"
    return Way(kind="stretch", works=works, value=strain, limit=limit, unit="%", words=words)


def _pattern(design: Design) -> str:
    """What in a design goes round the ring as a pattern; empty for none."""
    found = []
    for place in design.parts:
        if isinstance(place, Segments):
            found.append(f"{place.name} is of {place.count} segments")
        elif getattr(place, "wave", None) is not None:
            found.append(f"{place.name} waves")
    return ", ".join(found)
