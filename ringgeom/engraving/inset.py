"""A motif inlay on its ring: what its pockets take from the metal round them, what each insert is.

    r |  face  .--. insert        taken:  pocket, from the piece that it lies in
      |  ------|  |-------        each:   insert, from its floor up to the face
      |        '--'  floor gap    gap:    the rest of the pocket

Volumes are exact: integrals of r^2 / 2 between floor and face over the unrolled shapes.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from ringgeom.engraving.face import Face, face
from ringgeom.engraving.flat import extent_mm
from ringgeom.engraving.pockets import Pockets
from ringgeom.engraving.relief import Relief, beds, removed_mm3
from ringgeom.engraving.shape import Shape
from ringgeom.form.curve import Flat
from ringgeom.form.pieces import Piece
from ringgeom.form.places import MotifInlay
from ringgeom.form.ring import Ring
from ringgeom.form.section import Owner
from ringgeom.form.volume import Volume

STEP_MM = 1e-6
"""A face whose curves differ by more where they meet steps there."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Alike:
    """Pieces of an inlay that are alike: one pattern, so many times.

    `shape` is the first of them, in its place; volumes are of one, finished and as cast.
    """

    shape: Shape
    count: int
    volume_mm3: float
    cast_mm3: float


@dataclass(frozen=True, kw_only=True, eq=False)
class Inset:
    """A motif inlay of a design on its ring.

    Attributes
    ----------
    piece : Piece
        Key of its inserts: one part, all of them together.
    host : Owner or None
        Whose metal all pockets lie in; None where they do not lie in one, and `why_not` tells.
    deep, bed : Relief
        Depth of the pocket, and of the insert's underside.
    taken, cast_taken : tuple of (Piece, float)
        By the pockets, from the finished ring and from the castings [mm3].
    alike : tuple of Alike
        Its pieces, by their patterns.
    """

    number: int
    asked: MotifInlay
    piece: Piece
    face: Face
    cut: Pockets
    host: Owner | None
    why_not: str
    deep: Relief
    bed: Relief
    taken: tuple[tuple[Piece, float], ...]
    cast_taken: tuple[tuple[Piece, float], ...]
    alike: tuple[Alike, ...]

    @property
    def count(self) -> int:
        """How many pieces of metal are set."""
        return sum(one.count for one in self.alike)

    @property
    def each_mm3(self) -> tuple[float, ...]:
        """Of every piece."""
        return tuple(one.volume_mm3 for one in self.alike for _ in range(one.count))

    @property
    def pocket_mm3(self) -> float:
        """Of all pockets."""
        return sum(volume for _, volume in self.taken)

    @property
    def insert_mm3(self) -> float:
        """Of all inserts."""
        return sum(one.count * one.volume_mm3 for one in self.alike)

    @property
    def cast_mm3(self) -> float:
        """Of all inserts with their stock."""
        return sum(one.count * one.cast_mm3 for one in self.alike)


def insets(ring: Ring, asked: Sequence[tuple[MotifInlay, Pockets]]) -> tuple[Inset, ...]:
    """Every motif inlay of a ring, in the order written, with its pockets."""
    drawn = [number for number, claim in enumerate(ring.claims) if claim.drawn]
    return tuple(
        _inset(ring, number, place, cut) for number, (place, cut) in zip(drawn, asked, strict=True)
    )


def _inset(ring: Ring, number: int, asked: MotifInlay, cut: Pockets) -> Inset:
    side = face(ring, "outside")
    cast = face(ring, "outside", with_stock=True)
    host, why_not = _host(side, [cut.pocket(k) for k in dict.fromkeys(cut.alike(level=False))])
    deep = Relief(
        depth_mm=asked.depth_mm, raised=False, floor=asked.floor, middle_mm=asked.centre_mm
    )
    bed = replace(deep, depth_mm=asked.depth_mm - asked.gap.floor)
    taken: dict[Piece, float] = {}
    cast_taken: dict[Piece, float] = {}
    alike: list[Alike] = []
    if host is not None and bed.depth_mm > 0:
        first = cut.alike(level=_level(side, cut.reach_mm))
        sets = [(k, first.count(k)) for k in dict.fromkeys(first)]
        floor, cast_floor = list(beds(side, deep)), list(beds(side, deep, cast=cast))
        under, cast_under = list(beds(side, bed)), list(beds(side, bed, cast=cast))
        for k, count in sets:
            pocket = cut.pocket(k)
            _add(taken, removed_mm3(side, floor, [pocket]), count)
            if asked.cast_in:
                off = removed_mm3(cast, cast_floor, [pocket], with_stock=True)
                _add(cast_taken, off, count)
            for shape in cut.inserted(k):
                alike.append(
                    Alike(
                        shape=shape,
                        count=count,
                        volume_mm3=sum(removed_mm3(side, under, [shape]).values()),
                        cast_mm3=sum(
                            removed_mm3(cast, cast_under, [shape], with_stock=True).values()
                        ),
                    )
                )
    return Inset(
        number=number,
        asked=asked,
        piece=Piece(Owner("part", number)),
        face=side,
        cut=cut,
        host=host,
        why_not=why_not,
        deep=deep,
        bed=bed,
        taken=tuple(sorted(taken.items())),
        cast_taken=tuple(sorted(cast_taken.items())),
        alike=tuple(alike),
    )


def _add(sums: dict[Piece, float], found: Mapping[Piece, float], times: int) -> None:
    for piece, volume in found.items():
        sums[piece] = sums.get(piece, 0.0) + times * volume


def _level(side: Face, reach_mm: tuple[float, float]) -> bool:
    """Whether the face is one cylinder there: copies further across are then alike."""
    curves = {strip.curve.key for strip in side.between(*reach_mm)}
    return len(curves) == 1 and isinstance(side.between(*reach_mm)[0].curve, Flat)


def _host(side: Face, cut: Sequence[Shape]) -> tuple[Owner | None, str]:
    """The one metal that pockets lie in, one of each that is as far across, or why none."""
    hosts: set[Owner] = set()
    for shape in cut:
        *_, low, high = extent_mm(shape)
        strips = side.between(low, high)
        if not side.steady(low, high):
            if side.ring.form.taper is not None:
                return None, "the outside tapers there, and shapes are drawn for a cylinder"
            return None, "it reaches over a boundary that waves"
        owners = {strip.owner for strip in strips}
        if len(owners) > 1:
            open_ = any(owner.kind in ("gap", "joint") for owner in owners)
            return None, "it lies over " + (
                "the joint between two metals" if open_ else "the boundary between two metals"
            )
        hosts |= owners
        for one, other in pairwise(strips):
            step = one.curve.at(one.high_mm, 0) - other.curve.at(other.low_mm, 0)
            if abs(step) > STEP_MM:
                return None, f"the face steps by {abs(step):.2f} mm under it"
    if len(hosts) > 1:
        return None, "its copies lie in different metals"
    (host,) = hosts
    if host.kind not in ("part", "body"):
        return None, "there is no metal at the outside"
    claim = side.ring.claims[host.claim] if host.claim >= 0 else None
    if claim is not None and claim.sectors is not None:
        if claim.sectors.count > 1:
            return None, "it lies in segments"
        return None, "it lies in a strip that is wrapped round and has a seam"
    return host, ""


def with_insets(
    volumes: Mapping[Piece, Volume], found: Sequence[Inset], *, cast: bool = False
) -> dict[Piece, Volume]:
    """Volumes of a ring with its motif inlays set in: parts as written, then body, then gaps.

    Parameters
    ----------
    cast : bool
        Of the castings: pockets only where they are cast in, and no gaps under inserts.
    """
    result = dict(volumes)
    for one in found:
        if one.host is None:
            continue
        for piece, volume in one.cast_taken if cast else one.taken:
            before = result[piece]
            result[piece] = replace(before, volume_mm3=before.volume_mm3 - volume)
        mine = one.cast_mm3 if cast else one.insert_mm3
        result[one.piece] = Volume(volume_mm3=mine, by="quadrature")
        if not cast:
            gap = Piece(Owner("gap", one.number))
            left = one.pocket_mm3 - one.insert_mm3
            result[gap] = Volume(volume_mm3=left, by="quadrature")
    # parts come in the order written, and what is no part after them as it was
    return dict(
        sorted(
            result.items(),
            key=lambda one: (0, one[0].owner.claim) if one[0].owner.kind == "part" else (1, 0),
        )
    )
