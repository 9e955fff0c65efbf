"""What is cut for a ring: segments from a strip of each alloy, stripes from one billet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import cos, radians, tan

import numpy as np

from ringgeom.errors import ShapeError
from ringgeom.form.places import AnyPlace, Segments
from ringgeom.form.ring import Ring
from ringgeom.form.section import Owner
from ringgeom.making.blank import strip_extent
from ringgeom.making.cut_list import Billet, SegmentCuts, billet, segment_cuts
from ringgeom.making.part import Part
from ringgeom.making.widths import runs_across
from ringgeom.shop import Fabricating, Joining
from ringgeom.units import mass_g


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    """The strip of one alloy that its pieces are sawn from.

    `numbers` are those of its pieces on the map; `length_mm` with a saw cut for each, the
    cleaning of both ends and the slant of the last, `width_mm` and `thickness_mm` with finishing
    stock.
    """

    alloy: str
    numbers: tuple[int, ...]
    length_mm: float
    width_mm: float
    thickness_mm: float
    grams: float


@dataclass(frozen=True, slots=True, kw_only=True)
class CutList:
    """The segments of one place: the piece, the map, a strip of each alloy."""

    place: str
    slant_deg: float
    cuts: SegmentCuts
    strips: tuple[Strip, ...]


def place_cuts(ring: Ring, index: int, place: Segments, fabricating: Fabricating) -> SegmentCuts:
    """What to cut for the segments of one claim, with finishing stock.

    Slanted, all is measured along the strip. A joint keeps its angle out into the stock.

    Raises
    ------
    ShapeError
        The joint gap or the saw cut takes the whole piece.
    """
    band = ring.form.band
    floor = ring.claims[index].fills.floor_mm
    lined = [c.takes.ceiling_mm for c in ring.claims if c.takes.ceiling_mm is not None]
    bore = band.bore_mm - ring.stock.bore_mm
    inside = floor if floor is not None else max(lined, default=bore)
    outside = band.crest_mm + ring.stock.outside_mm
    along = 1 / cos(radians(place.slant_deg))
    return segment_cuts(
        count=place.count,
        inside_mm=2 * inside,
        outside_mm=2 * outside,
        joint_gap_mm=max(place.gap.side, 0.0) * along * outside / band.crest_mm,
        kerf_mm=fabricating.kerf_mm * along,
        cleaning_mm=fabricating.cleaning_mm * along,
        length_error_mm=fabricating.piece_off_mm * along,
        angle_error_deg=fabricating.piece_off_deg,
    )


def cut_lists(
    ring: Ring, places: Sequence[AnyPlace], parts: Sequence[Part], fabricating: Fabricating
) -> tuple[CutList, ...]:
    """Cut lists of all segments that can be sawn; the route says why one cannot.

    Parameters
    ----------
    places : sequence of places
        For each claim of the ring, the place that made it.
    """
    found: list[CutList] = []
    for index, place in enumerate(places):
        if not isinstance(place, Segments):
            continue
        mine = [part for part in parts if part.place == index]
        try:
            cuts = place_cuts(ring, index, place, fabricating)
        except ShapeError:
            continue
        strips = tuple(_strips(ring, mine, cuts, tan(abs(radians(place.slant_deg)))))
        found.append(CutList(place=place.name, slant_deg=place.slant_deg, cuts=cuts, strips=strips))
    return tuple(found)


def _strips(ring: Ring, parts: Sequence[Part], cuts: SegmentCuts, lean: float) -> list[Strip]:
    """A strip of each alloy; what leans loses a triangle at one end and needs it at the other."""
    by_alloy: dict[str, list[tuple[int, Part]]] = {}
    for number, part in enumerate(parts, start=1):
        by_alloy.setdefault(part.alloy.name, []).append((number, part))
    found = []
    for name, pieces in by_alloy.items():
        first = pieces[0][1]
        cast = strip_extent(ring, first)
        thick = (cast.outside_mm - cast.bore_mm) / 2
        length = len(pieces) * cuts.strip_mm / cuts.count + lean * cast.width_mm
        found.append(
            Strip(
                alloy=name,
                numbers=tuple(number for number, _ in pieces),
                length_mm=length,
                width_mm=cast.width_mm,
                thickness_mm=thick,
                grams=mass_g(length * cast.width_mm * thick, first.alloy.density_g_cm3),
            )
        )
    return found


@dataclass(frozen=True, slots=True, kw_only=True)
class NoBillet:
    """Why stripes cannot come from one laminated strip, and the number that says so."""

    words: str
    value: float
    limit: float
    unit: str


def why_no_billet(ring: Ring, places: Sequence[AnyPlace], parts: Sequence[Part]) -> NoBillet | None:
    """Why stripes cannot come from one laminated strip; None when they can."""
    others = sum(place.place not in ("stripe", "edges") for place in places)
    swing = max((abs(wave.amplitude_mm) for wave in ring.waves), default=0.0)
    seen = len(list(_across(ring, parts)))
    reasons = (
        (len(parts) < 2, "there is one stripe only", float(len(parts)), 2.0, "stripes"),
        (others > 0, "not every part goes through the whole depth, closed round the ring",
         float(others), 0.0, "other places"),
        (ring.form.taper is not None, "a laminated strip is even, and this band tapers",
         ring.thinnest.form.width_mm, ring.form.width_mm, "mm"),
        (swing > 0, "waving boundaries are not those of a laminated strip", swing, 0.0, "mm"),
        (seen < len(parts), "a stripe runs out in the dome", float(seen), float(len(parts)),
         "stripes"),
        (ring.form.proud_mm != 0, "the body is proud or recessed: a strip is not",
         ring.form.proud_mm, 0.0, "mm"),
    )  # fmt: skip
    for applies, words, value, limit, unit in reasons:
        if applies:
            return NoBillet(words=words, value=value, limit=limit, unit=unit)
    return None


def laminate(
    ring: Ring, parts: Sequence[Part], fabricating: Fabricating, joining: Joining, *, rings: int
) -> Billet:
    """The billet of stripes that lie side by side, bent round as one strip, with its stock.

    Parameters
    ----------
    parts : sequence of Part
        All parts of the ring, in any order.
    rings : int
        Rings to cut from it.
    """
    form, stock = ring.form, ring.stock
    return billet(
        [(part.name, width, part.alloy.density_g_cm3) for part, width in _across(ring, parts)],
        bore_mm=form.inside_diameter_mm - 2 * stock.bore_mm,
        thickness_mm=form.thickness_mm + stock.bore_mm + stock.outside_mm,
        strain_limit_percent=joining.laminate_percent,
        edge_mm=stock.edge_mm,
        rings=rings,
        end_mm=fabricating.ends_mm,
        kerf_mm=fabricating.kerf_mm,
        crop_percent=fabricating.crop_percent,
        stack_reduction_percent=fabricating.billet_reduction_percent,
    )


def _across(ring: Ring, parts: Sequence[Part]) -> Iterator[tuple[Part, float]]:
    """Parts from left to right with their finished width; pieces of one owner by rising z."""
    left: dict[Owner, list[Part]] = {}
    for part in sorted(parts, key=lambda part: part.piece, reverse=True):
        left.setdefault(part.piece.owner, []).append(part)
    for owner, width_mm in ring.once("widths across", _widths_across, ring):
        if left.get(owner):
            yield left[owner].pop(), width_mm


def _widths_across(ring: Ring) -> list[tuple[Owner, float]]:
    """Owners from left to right with their finished width [mm].

    Looked at half-way up the band's edges, where a dome leaves the whole width.
    """
    ((_, section),) = ring.sections(np.zeros(1))
    edge = np.array([ring.form.width_mm / 2 - ring.form.edge_mm])
    radius_mm = 0.5 * float((ring.finished.outside.r(edge) + ring.finished.bore.r(edge))[0])
    return [(run.owner, float(run.width[0])) for run in runs_across(section, np.array([radius_mm]))]
