"""One section laid out at one size: everything of a ring that does not ask for its alloys."""

from __future__ import annotations

from dataclasses import dataclass

from ringgeom.findings import Asking, Laid
from ringgeom.form.measure import Build, build
from ringgeom.form.pieces import Piece
from ringgeom.form.ring import Ring
from ringgeom.form.section import Owner
from ringgeom.form.volume import Volume
from ringgeom.jobs import NO_MELTS, all_contacts, cast_parts
from ringgeom.making.as_made import placed_places
from ringgeom.making.routes import Inserted, inserted_parts
from ringgeom.sketch import formed_of


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
        """The ring as it is laid out at the first size."""
        return self.laid.ring


def shaped(asking: Asking) -> Shaped:
    """Lay out a section.

    Raises
    ------
    ShapeError
        It cannot be drawn.
    """
    formed = formed_of(asking)
    drawn, design, shop = formed.ring, asking.design, asking.shop
    found, cast = cast_parts(formed)
    touch = all_contacts(drawn, formed.insets)
    laid = Laid(
        asking=asking,
        ring=drawn,
        volumes=formed.volumes,
        parts=found,
        engraved=formed.engraved,
        insets=formed.insets,
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
        [section for _, section in formed.groups],
        shop,
        not_split=asking.not_split,
    )
    return Shaped(
        laid=laid,
        cast=cast,
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
