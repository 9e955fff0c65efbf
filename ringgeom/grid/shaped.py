"""One section laid out at one size: everything of a ring that does not ask for its alloys."""

from __future__ import annotations

from dataclasses import dataclass

from ringgeom.findings import Asking, Laid, turn_angles
from ringgeom.form.contacts import contacts
from ringgeom.form.measure import Build, build
from ringgeom.form.pieces import Piece
from ringgeom.form.ring import Ring, Stock, ring
from ringgeom.form.section import Owner
from ringgeom.form.volume import Volume, volumes
from ringgeom.jobs import NO_MELTS
from ringgeom.making.alloys import alloy_in_shop
from ringgeom.making.as_made import placed_places
from ringgeom.making.part import parts
from ringgeom.making.routes import Inserted, inserted_parts


@dataclass(frozen=True, slots=True, kw_only=True)
class Shaped:
    """A section at one size.

    Attributes
    ----------
    laid : Laid
        For the rules on the form: no castings, melts or marks; alloys are the design's own.
    cast : dict
        Volumes with stock, as those of `laid` are finished.
    builds : tuple of Build
        Of every part, where it is heaviest; like segments share the first one's.
    inserted : tuple of Inserted
        Parts that are fitted into others.
    """

    laid: Laid
    cast: dict[Piece, Volume]
    builds: tuple[Build, ...]
    inserted: tuple[Inserted, ...]

    @property
    def ring(self) -> Ring:
        return self.laid.ring


def shaped(asking: Asking) -> Shaped:
    """Lay out a section.

    Raises
    ------
    ShapeError
        It cannot be drawn.
    """
    design, shop = asking.design, asking.shop
    drawn = ring(asking.form, design.parts, Stock(**shop.stock.model_dump()))
    found, finished = parts(
        drawn,
        alloys=[[alloy_in_shop(one, shop) for one in placed.alloys] for placed in drawn.placed],
        body=alloy_in_shop(design.body.alloy, shop) if design.body else None,
        shop=shop,
    )
    angles = turn_angles(drawn)
    groups = tuple(drawn.sections(angles))
    touch = contacts(drawn)
    laid = Laid(
        asking=asking,
        ring=drawn,
        groups=groups,
        cast_groups=tuple(drawn.sections(angles, with_stock=True)),
        volumes=finished,
        parts=found,
        sprues={},
        castings=(),
        contacts=touch,
        meetings=(),
        joints=(),
        routes=(),
        melts=NO_MELTS,
        marks=(),
    )
    inserted = inserted_parts(
        drawn,
        placed_places(design, asking.band),
        found,
        touch,
        [section for _, section in groups],
        shop,
        not_split=asking.not_split,
    )
    return Shaped(
        laid=laid,
        cast=volumes(drawn, with_stock=True),
        builds=builds(drawn, tuple(part.cast_piece for part in found)),
        inserted=inserted,
    )


def builds(drawn: Ring, pieces: tuple[Piece, ...]) -> tuple[Build, ...]:
    """The build of every piece; segments of one section are all as heavy as the first."""
    known: dict[tuple[Owner, int, int | None], Build] = {}
    found = []
    for piece in pieces:
        key = piece.owner, piece.number, piece.sector if drawn.waves else None
        if key not in known:
            known[key] = build(drawn, piece, with_stock=True)
        found.append(known[key])
    return tuple(found)
