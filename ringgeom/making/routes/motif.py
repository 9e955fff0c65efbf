"""Routes of the inserts of a motif: soldered into their pockets, or pressed in without solder."""

from __future__ import annotations

from collections.abc import Iterator

from ringgeom.form.places import MotifInlay
from ringgeom.making.routes.route import Inserted, Route, Size


def motif_routes(one: Inserted) -> Iterator[Route]:
    """Both ways to fix an insert in a pocket of its shape; the gap beside it decides.

    Source
    ------
    Solder flows into a gap up to [joining] solder_most_mm; a pressed insert has a gap no wider
    than the parts come out otherwise: common practice, no source.
    """
    place = one.place
    if not isinstance(place, MotifInlay):
        return
    part, joining = one.parts[0], one.shop.joining
    plate = part.plate
    gap, under = place.gap.side, place.gap.floor
    widest = max(gap, under)
    sizes: tuple[Size, ...] = ()
    if plate is not None:
        plate = plate.scaled(1 / part.scale.scale)
        sizes = (
            Size(name="sheet thickness, with stock", value=plate.thick_mm, unit="mm"),
            Size(name="largest piece, along the ring", value=plate.long_mm, unit="mm"),
            Size(name="largest piece, across", value=plate.wide_mm, unit="mm"),
        )
    make = f"make {part.count} inserts, cast or pierced from sheet, and fit each dry"
    solder = Route(
        name="solder in",
        part=one.name,
        works=gap > 0 and widest <= joining.solder_most_mm + 1e-9,
        value=widest,
        limit=joining.solder_most_mm,
        unit="mm",
        words=f"a gap of {gap:.3f} mm beside and {under:.3f} under the inserts"
        + ("" if gap else ": cast to touch, no solder runs in"),
        sizes=sizes,
        steps=(
            make,
            "flux, lay solder in the pockets, set the inserts, and solder all of them in one heat",
            "file flush and polish: the outside carries the stock",
        ),
    )
    press = Route(
        name="press in",
        part=one.name,
        works=gap <= joining.tolerance_mm + 1e-9,
        value=gap,
        limit=joining.tolerance_mm,
        unit="mm",
        words=f"a gap of {gap:.3f} mm beside the inserts: pressed in, the rim of the pocket is "
        "burnished over them",
        sizes=sizes,
        steps=(
            make,
            "anneal the inserts, press or tap them home on a little undercut of the graver",
            "burnish the rim against them all round, then file flush",
        ),
    )
    yield solder
    yield press
