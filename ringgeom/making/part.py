"""The parts of a ring: each with its name, its metal, its volume finished and as cast."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from ringgeom.asked import file_word
from ringgeom.errors import ShapeError
from ringgeom.form.measure import Extent, Plate, extent
from ringgeom.form.pieces import Piece, parting, piece_at
from ringgeom.form.ring import Ring
from ringgeom.form.volume import Volume
from ringgeom.making.pattern import PatternScale, pattern_scale
from ringgeom.metal import Alloy
from ringgeom.shop import Shop
from ringgeom.units import grams, mass_g


@dataclass(frozen=True, slots=True, kw_only=True)
class Finished:
    """One piece of metal as it is in the finished ring.

    Attributes
    ----------
    place : int or None
        Which claim of the ring it fills; None for the body.
    piece : Piece
        Key of its solid.
    volume_mm3 : float
        Never scaled.
    volume_by : str
        ``closed form`` or ``quadrature``.
    engraved_mm3 : float
        Taken off by engraving, and off `volume_mm3` already; less than 0 stands on its face.
    each_mm3 : tuple of float
        Volumes of its pieces, where it is many: the inserts of a motif.
    """

    name: str
    alloy: Alloy
    place: int | None
    piece: Piece
    volume_mm3: float
    volume_by: str
    engraved_mm3: float = 0.0
    each_mm3: tuple[float, ...] = ()

    @property
    def count(self) -> int:
        """How many pieces of metal it is."""
        return len(self.each_mm3) or 1

    @property
    def finished_g(self) -> float:
        """Weight as it is in the ring [g]."""
        return mass_g(self.volume_mm3, self.alloy.density_g_cm3)

    @property
    def uncertainty_g(self) -> float:
        """Half width of the band on the finished mass, from the density alone [g]."""
        return mass_g(self.volume_mm3, self.alloy.density_uncertainty_g_cm3)

    def cells(self) -> dict[str, str]:
        """Its row in a notebook."""
        return {
            "part": self.name,
            "alloy": self.alloy.name,
            "g/cm3, from": f"{self.alloy.density_g_cm3:.2f} {self.alloy.density_from}",
            "mm3": f"{self.volume_mm3:.2f}",
            "finished g": grams(self.finished_g),
            "±": grams(self.uncertainty_g),
        }


@dataclass(frozen=True, slots=True, kw_only=True)
class Part(Finished):
    """One piece of metal, finished and as it is cast.

    Attributes
    ----------
    cast_piece : Piece
        Key of its solid with stock.
    cast_mm3 : float
        As cast with finishing stock; never scaled.
    pieces_round : int
        Pieces of its kind round the ring: 1 for a ring, and for a strip open at its seam.
    lean : float
        Angle by which the slant of a segment carries its edge round from its middle [rad].
    wax : Extent
        What the scaled pattern must measure; of many pieces, as they lie in the ring.
    plate : Plate or None
        What the largest of its scaled patterns must measure, where it is many pieces.
    """

    cast_piece: Piece
    cast_mm3: float
    scale: PatternScale
    pieces_round: int
    lean: float
    wax: Extent
    plate: Plate | None = None

    @property
    def as_cast_g(self) -> float:
        """Weight with its stock, without its sprue [g]."""
        return mass_g(self.cast_mm3, self.alloy.density_g_cm3)

    def cells(self) -> dict[str, str]:
        """Its row in a notebook, as cast too."""
        wax = self.wax
        return Finished.cells(self) | {
            "cast g": grams(self.as_cast_g),
            "wax scale": f"{self.scale.scale:.4f}",
            "wax bore / outside / width": (
                f"{wax.bore_mm:.2f} / {wax.outside_mm:.2f} / {wax.width_mm:.2f}"
            ),
        }


def finished_parts(
    ring: Ring,
    volume: Mapping[Piece, Volume],
    *,
    alloys: Sequence[Sequence[Alloy]],
    body: Alloy | None,
    engraved: Mapping[Piece, float] | None = None,
    pieces: Mapping[Piece, tuple[float, ...]] | None = None,
) -> tuple[Finished, ...]:
    """Every part of a ring in the order written, the body last.

    Parameters
    ----------
    volume : mapping
        Of everything in the ring, before it is engraved.
    alloys : sequence of sequences of Alloy
        For each claim of the ring, the alloy of each of its parts.
    body : Alloy, optional
        Metal of what is left; without it, what is left is no part.
    engraved : mapping, optional
        Taken off each piece [mm3].
    pieces : mapping, optional
        Of a part that is many pieces, the volume of each [mm3].
    """
    off, many = engraved or {}, pieces or {}
    ours = [piece for piece in volume if piece.owner.kind in ("part", "body")]
    split = Counter((piece.owner, piece.sector) for piece in ours)
    found: list[Finished] = []
    used: set[str] = set()
    for piece in ours:
        place = piece.owner.claim if piece.owner.kind == "part" else None
        which = piece.sector or 0
        name = "body" if place is None else ring.placed[place].names[which]
        alloy = body if place is None else alloys[place][which]
        if split[piece.owner, piece.sector] > 1:
            name = f"{name} {piece.number + 1}"
        while file_word(name) in used:
            name += " b"
        used.add(file_word(name))
        if alloy is not None:
            found.append(
                Finished(
                    name=name,
                    alloy=alloy,
                    place=place,
                    piece=piece,
                    volume_mm3=volume[piece].volume_mm3 - off.get(piece, 0.0),
                    volume_by=volume[piece].by,
                    engraved_mm3=off.get(piece, 0.0),
                    each_mm3=many.get(piece, ()),
                )
            )
    return tuple(found)


def parts(
    ring: Ring,
    finished: Sequence[Finished],
    cast: Mapping[Piece, Volume],
    shop: Shop,
    *,
    engraved: Mapping[Piece, float] | None = None,
    plates: Mapping[Piece, Plate] | None = None,
) -> tuple[Part, ...]:
    """The parts with their stock on, as they are cast.

    Parameters
    ----------
    cast : mapping
        Volumes of everything with its stock on.
    engraved : mapping, optional
        Left out of each piece with its stock, because it is cast in [mm3].
    plates : mapping, optional
        Of a part that is many pieces, the largest of them with its stock.

    Raises
    ------
    ShapeError
        A part is there when finished and gone as cast, or the other way round.
    """
    off, many = engraved or {}, plates or {}
    found: list[Part] = []
    for one in finished:
        as_cast = _as_cast(ring, one.piece)
        if (
            as_cast is None
            or as_cast not in cast
            or any(part.cast_piece == as_cast for part in found)
        ):
            raise ShapeError(f"{one.name} is in other pieces with its stock than when finished")
        scale = pattern_scale(one.alloy, shop.shrink)
        plate = many.get(one.piece)
        sectors = None if one.place is None else ring.claims[one.place].sectors
        found.append(
            Part(
                name=one.name,
                alloy=one.alloy,
                place=one.place,
                piece=one.piece,
                volume_mm3=one.volume_mm3,
                volume_by=one.volume_by,
                engraved_mm3=one.engraved_mm3,
                each_mm3=one.each_mm3,
                cast_piece=as_cast,
                cast_mm3=cast[as_cast].volume_mm3 - off.get(as_cast, 0.0),
                scale=scale,
                pieces_round=1 if sectors is None else sectors.count,
                lean=0.0 if sectors is None else abs(sectors.twist) * ring.form.width_mm / 2,
                wax=extent(ring, as_cast, with_stock=True).scaled(scale.scale),
                plate=None if plate is None else plate.scaled(scale.scale),
            )
        )
    return tuple(found)


def _as_cast(ring: Ring, piece: Piece) -> Piece | None:
    """The piece with stock that holds the middle of a finished piece."""
    if piece.owner.kind == "part" and ring.claims[piece.owner.claim].drawn:
        return piece
    ends = ring.ends(piece.owner, piece.sector)
    mark = parting(ring, piece.owner, ends, with_stock=False).mark(piece.number)
    return piece_at(ring, piece, mark, with_stock=True)
