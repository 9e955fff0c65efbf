"""One section at many finger sizes: volumes and sprues as arrays over the sizes.

Every volume is exactly linear in the bore (Pappus: the section, measured from the bore, is
the same), a segment's but for the angle of its gap, which is known. So two sizes are laid
out and the others lie between them. Where that does not hold, because walls wave beside
segments or another section becomes the heaviest, every size is laid out by itself.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import pi

import numpy as np

from ringgeom.errors import ShapeError
from ringgeom.findings import Asking
from ringgeom.form.curve import Array
from ringgeom.form.measure import Extent, heaviest_angle
from ringgeom.form.measure import build as measured
from ringgeom.form.pieces import Piece
from ringgeom.form.raised import raised, same_section
from ringgeom.form.ring import Ring
from ringgeom.form.volume import Volume, volumes
from ringgeom.grid.lettered import Off, cut_alone, cut_over
from ringgeom.grid.shaped import Shaped, shaped
from ringgeom.making.part import Part
from ringgeom.making.sprue import Feet, feet


@dataclass(frozen=True, slots=True, kw_only=True)
class Sized:
    """A section at several sizes.

    Attributes
    ----------
    shaped : Shaped
        The section as it was laid out, at the first of the sizes.
    askings : tuple of Asking
        One for each size.
    volumes : mapping
        Of every piece, gaps too, over the sizes [mm3].
    volume_mm3, cast_mm3, sprue_mm3 : Array
        Of every part, shape (parts, sizes).
    feet : tuple of Feet
        Of every part.
    extents : tuple of Extent
        Of every part at the first size, not scaled.
    """

    shaped: Shaped
    askings: tuple[Asking, ...]
    volumes: Mapping[Piece, Array]
    volume_mm3: Array
    cast_mm3: Array
    sprue_mm3: Array
    feet: tuple[Feet, ...]
    extents: tuple[Extent, ...]

    @property
    def parts(self) -> tuple[Part, ...]:
        """The parts at the first size."""
        return self.shaped.laid.parts

    @property
    def bores_mm(self) -> Array:
        """Inside diameters [mm], shape (sizes,)."""
        return np.array([one.form.inside_diameter_mm for one in self.askings])

    def ring(self, size: int) -> Ring:
        """The ring at one of the sizes."""
        form = self.askings[size].form
        if form == self.shaped.ring.form:
            return self.shaped.ring
        places = self.shaped.laid.asking.design.parts
        return raised(self.shaped.ring, places, form.inside_diameter_mm)


Outcome = Sized | ShapeError
"""A section at some sizes, or why it cannot be laid out at one."""


def sized(askings: Sequence[Asking]) -> Iterator[tuple[tuple[int, ...], Outcome]]:
    """A section at the sizes of some askings, which differ in nothing else.

    Yields numbers of askings with what came of them: all at once, or one by one.
    """
    order = sorted(range(len(askings)), key=lambda n: askings[n].form.inside_diameter_mm)
    try:
        whole = _between([askings[n] for n in order])
    except ShapeError:
        whole = None
    if whole is not None:
        yield tuple(order), whole
        return
    for n in order:
        try:
            yield (n,), _alone(askings[n])
        except ShapeError as error:
            yield (n,), error


def _alone(asking: Asking) -> Sized:
    found = shaped(asking)
    finished = {piece: np.array([v.volume_mm3]) for piece, v in found.laid.volumes.items()}
    cast = {piece: np.array([v.volume_mm3]) for piece, v in found.cast.items()}
    lengths = [np.array([one.length_mm]) for one in found.builds]
    return _gathered(found, (asking,), finished, cast, lengths, cut_alone(found.laid.engraved))


def _between(askings: Sequence[Asking]) -> Sized | None:
    """All sizes from the smallest and the largest; None where one section is not all of them."""
    first, last = askings[0], askings[-1]
    if first.form == last.form:
        one = _alone(first)
        return one if len(askings) == 1 else _repeated(one, askings)
    found = shaped(first)
    if not same_section(found.ring):
        return None
    ring = found.ring
    drawn = any(one.figures is not None for one in found.laid.engraved)
    if drawn or found.laid.insets or (found.laid.engraved and ring.knots()):
        # figures close anew at every size; a letter may lie on another segment
        return None
    other = raised(ring, first.design.parts, last.form.inside_diameter_mm)
    bores = np.array([one.form.inside_diameter_mm for one in askings])
    finished = _over(ring, other, found.laid.volumes, volumes(other), bores)
    cast = _over(ring, other, found.cast, volumes(other, with_stock=True), bores)
    lengths = _lengths(found, other, bores)
    if finished is None or cast is None or lengths is None:
        return None
    off = cut_over(found.laid.engraved, other, first, bores)
    return _gathered(found, tuple(askings), finished, cast, lengths, off)


def _repeated(one: Sized, askings: Sequence[Asking]) -> Sized:
    """The same bore under several names."""
    alike = [0] * len(askings)
    return _gathered(
        one.shaped,
        tuple(askings),
        {piece: volume[alike] for piece, volume in one.volumes.items()},
        {piece: np.full(len(askings), v.volume_mm3) for piece, v in one.shaped.cast.items()},
        [np.full(len(askings), build.length_mm) for build in one.shaped.builds],
        cut_alone(one.shaped.laid.engraved, len(askings)),
    )


def _gathered(
    found: Shaped,
    askings: tuple[Asking, ...],
    finished: Mapping[Piece, Array],
    cast: Mapping[Piece, Array],
    lengths: Sequence[Array],
    off: Off,
) -> Sized:
    parts, shop = found.laid.parts, found.laid.asking.shop
    rises = (np.array([one.form.inside_diameter_mm for one in askings]) / 2) - (
        found.ring.form.inside_diameter_mm / 2
    )
    extents = tuple(part.wax.scaled(1 / part.scale.scale) for part in parts)
    known: dict[int, Feet] = {}
    for build, extent, length in zip(found.builds, extents, lengths, strict=True):
        # like segments share one build
        if id(build) not in known:
            known[id(build)] = feet(
                build,
                shop.casting,
                width_mm=extent.width_mm,
                waves=found.ring.alike,
                lengths_mm=length,
                radii_mm=build.stand.radius_mm + rises,
            )
    stood = tuple(known[id(build)] for build in found.builds)
    return Sized(
        shaped=found,
        askings=askings,
        volumes=finished,
        volume_mm3=_rows(
            [finished[p.piece] - off.finished.get(p.piece, 0.0) for p in parts], len(askings)
        ),
        cast_mm3=_rows(
            [cast[p.cast_piece] - off.cast.get(p.cast_piece, 0.0) for p in parts], len(askings)
        ),
        sprue_mm3=_rows(
            [part.count * one.volume_mm3 for part, one in zip(parts, stood, strict=True)],
            len(askings),
        ),
        feet=stood,
        extents=extents,
    )


def _rows(rows: list[Array], size: int) -> Array:
    return np.array(rows) if rows else np.zeros((0, size))


def _over(
    ring: Ring,
    other: Ring,
    here: Mapping[Piece, Volume],
    there: Mapping[Piece, Volume],
    bores: Array,
) -> dict[Piece, Array] | None:
    """Volumes over the bores from those at two of them; None where the pieces differ."""
    if set(here) != set(there):
        return None
    found = {}
    for piece, volume in here.items():
        shares = _shares(ring, other, piece, bores)
        ends = volume.volume_mm3 / shares[0], there[piece].volume_mm3 / shares[-1]
        found[piece] = shares * _line(ends, bores)
    return found


def _line(ends: tuple[float, float], bores: Array) -> Array:
    """What is linear in the bore, from its values at the first and the last [any unit]."""
    along = (bores - bores[0]) / (bores[-1] - bores[0])
    found: Array = ends[0] * (1 - along) + ends[1] * along
    return found


def _shares(ring: Ring, other: Ring, piece: Piece, bores: Array) -> Array:
    """Which part of the turn a piece takes at each bore; it changes as its gap's angle does."""
    if piece.sector is None:
        return np.ones_like(bores)
    first, last = (_turn(one, piece) / (2 * pi) for one in (ring, other))
    sectors, others = (one.claims[piece.owner.claim].sectors for one in (ring, other))
    assert sectors is not None
    assert others is not None
    # the gap keeps its mm at the crest, so its angle is the smaller the larger the ring
    crests = bores / 2 + ring.form.thickness_mm
    gaps = sectors.gap * crests[0] / crests
    moved = others.gap - sectors.gap
    return np.full_like(bores, first) + (
        (gaps - sectors.gap) / moved * (last - first) if moved else 0.0
    )


def _turn(ring: Ring, piece: Piece) -> float:
    ends = ring.ends(piece.owner, piece.sector)
    return 2 * pi if ends is None else ends[1] - ends[0]


def _lengths(found: Shaped, other: Ring, bores: Array) -> list[Array] | None:
    """Lengths of the parts over the bores; None where another section becomes the heaviest.

    Every section's moment is linear in the bore, so one that is the heaviest at both ends is so
    between them. Of a closed ring the length itself does not matter to its sprue.
    """
    ring, rows = found.ring, []
    far: dict[int, float] = {}
    for part, build in zip(found.laid.parts, found.builds, strict=True):
        piece = part.cast_piece
        if ring.turns:
            angles = (heaviest_angle(one, piece, with_stock=True) for one in (ring, other))
            if len(set(angles)) > 1:
                return None
        if piece.sector is None:
            rows.append(np.full_like(bores, build.length_mm))
            continue
        if id(build) not in far:
            far[id(build)] = measured(other, piece, with_stock=True).length_mm
        shares = _shares(ring, other, piece, bores)
        ends = build.length_mm / shares[0], far[id(build)] / shares[-1]
        rows.append(shares * _line(ends, bores))
    return rows
