"""Dimension lines of the cut section as the page draws them, each with the key it stands for.

   6.00                    row 1
1.80 | 2.40 | 1.80         row 0
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from ringgeom.design import Design
from ringgeom.form.places import Band, Channel, Edges, Liner, Segments, Stripe
from ringgeom.page.edits import Keys
from ringgeom.page.grips import edge_mm, walls_at


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """A length on a drawing, from one place to another along its side [mm].

    `side` is where its line lies: above in a row, right or left in a column, or `in` the
    section; `at_mm` is the place across it. Without a key it is what the others leave.
    """

    side: Literal["above", "right", "left", "in"]
    row: int
    from_mm: float
    to_mm: float
    value: float
    says: str
    key: Keys | None = None
    at_mm: float = 0.0


def measures(design: Design, band: Band, angle: float, twist: float) -> tuple[Measure, ...]:
    """Every dimension line of a design where it is cut."""
    return (
        *_widths(design, band, angle, twist),
        *_heights(design, band),
        *_floors(design, band, angle, twist),
    )


def _widths(design: Design, band: Band, angle: float, twist: float) -> Iterator[Measure]:
    cuts = {-band.half_mm, band.half_mm}
    keyed: dict[tuple[float, float], tuple[Keys, float, str]] = {}
    for number, part in enumerate(design.parts):
        found = walls_at(part, band, angle, twist)
        cuts |= {round(z, 6) for _, z in found if abs(z) < band.half_mm}
        ends = sorted([z for _, z in found])
        if isinstance(part, Channel) and len(ends) == 2:
            near = round(ends[0], 6), round(ends[1], 6)
            keyed[near] = ("part", number, "width_mm"), part.width_mm, part.name
        if isinstance(part, Edges) and len(ends) == 2:
            for near in ((-band.half_mm, round(ends[0], 6)), (round(ends[1], 6), band.half_mm)):
                keyed[near] = ("part", number, "width_mm"), part.width_mm, part.name
        if isinstance(part, Stripe):
            left = max(-band.half_mm, part.from_mm)
            if len(ends) == 1:
                near = (left, round(ends[0], 6)) if left == -band.half_mm else (
                    round(ends[0], 6), band.half_mm
                )  # fmt: skip
                keyed.setdefault(near, (("part", number, "to_mm"), near[1] - near[0], part.name))
    row = 0
    if len(cuts) > 2:
        for a, b in pairwise(sorted(cuts)):
            key, value, name = keyed.get((a, b), (None, b - a, "what is left"))
            if key is not None and key[-1] == "to_mm":
                key = None  # a boundary is grabbed, its stripe's width is what comes of it
            yield Measure(
                side="above", row=0, from_mm=a, to_mm=b, value=value, says=f"width, {name}", key=key
            )
        row = 1
    yield Measure(
        side="above",
        row=row,
        from_mm=-band.half_mm,
        to_mm=band.half_mm,
        value=design.ring.width_mm,
        says="width of the band",
        key=("ring", "width_mm"),
    )


def _heights(design: Design, band: Band) -> Iterator[Measure]:
    ring = design.ring
    yield Measure(
        side="right",
        row=1,
        from_mm=band.bore_mm,
        to_mm=band.crest_mm,
        value=ring.thickness_mm,
        says="thickness",
        key=("ring", "thickness_mm"),
    )
    low, high = edge_mm(design, band)
    if high - low < ring.thickness_mm - 1e-9 and high > low:
        yield Measure(
            side="left", row=0, from_mm=low, to_mm=high, value=high - low, says="edge face"
        )
    deep: set[float] = set()
    for number, part in enumerate(design.parts):
        if isinstance(part, Channel | Segments) and part.depth_mm and part.depth_mm not in deep:
            deep.add(part.depth_mm)
            if len(deep) == 1:
                yield Measure(
                    side="right",
                    row=0,
                    from_mm=band.mid_mm - part.depth_mm,
                    to_mm=band.mid_mm,
                    value=part.depth_mm,
                    says=f"depth of {part.name}",
                    key=("part", number, "depth_mm"),
                )
        if isinstance(part, Liner):
            yield Measure(
                side="left",
                row=1,
                from_mm=band.bore_mm,
                to_mm=band.bore_mm + part.thickness_mm,
                value=part.thickness_mm,
                says=f"thickness of {part.name}",
                key=("part", number, "thickness_mm"),
            )


def _floors(design: Design, band: Band, angle: float, twist: float) -> Iterator[Measure]:
    """What is left under each channel, down to the bore or to the liner."""
    liners = [part.thickness_mm for part in design.parts if isinstance(part, Liner)]
    low = band.bore_mm + max(liners, default=0.0)
    for part in design.parts:
        if not isinstance(part, Channel):
            continue
        found = [z for _, z in walls_at(part, band, angle, twist)]
        floor = band.mid_mm - part.depth_mm
        ends = [*found, *([part.centre_mm] if len(found) < 2 else [])]
        if floor > low:
            yield Measure(
                side="in",
                row=0,
                from_mm=low,
                to_mm=floor,
                value=floor - low,
                says="floor",
                at_mm=sum(ends) / len(ends),
            )
