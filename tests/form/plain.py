"""The design file's contract read plainly: who holds the metal at a point of the ring.

Nothing of the package's curves, walls, claims or columns is used, only what was asked:
measures and places. A point is handed through the places in the order written, by comparing
it with each wall and floor.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ringgeom.form.places import AnyPlace, Channel, Edges, Liner, Segments, Stripe
from ringgeom.form.ring import NO_STOCK, Stock
from ringgeom.form.ring_form import RingForm

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]
TURN = 2 * np.pi


@dataclass(frozen=True)
class Face:
    """Outside (side +1) or bore (side -1): a line or an arc, its two ends rounded."""

    crest: float
    bend: float
    side: int
    half: float
    edge: float

    def _corner(self) -> tuple[float, float]:
        """Radius of a corner's centre, and the z where it touches the face."""
        inner = self.half - self.edge
        if np.isinf(self.bend):
            return self.crest - self.side * self.edge, inner
        # a circle inside both: it lies bend - edge from the arc's centre
        lift = np.sqrt((self.bend - self.edge) ** 2 - inner**2)
        centre = self.crest - self.side * self.bend + self.side * lift
        return centre, inner * self.bend / (self.bend - self.edge)

    def r(self, z: Array) -> Array:
        """Radius at a height [mm]."""
        z = np.abs(z)
        if np.isinf(self.bend):
            plain = np.full(np.shape(z), self.crest)
        else:
            root = np.sqrt(np.maximum(self.bend**2 - z**2, 0.0))
            plain = self.crest - self.side * (self.bend - root)
        if not self.edge:
            return plain
        centre, touch = self._corner()
        over = z - (self.half - self.edge)
        corner = centre + self.side * np.sqrt(np.maximum(self.edge**2 - over**2, 0.0))
        return np.where(z > touch, corner, plain)

    def stops(self) -> list[float]:
        """Where its pieces end [mm]."""
        touch = self._corner()[1] if self.edge else self.half
        return [-self.half, -touch, touch, self.half]


def face(rise: float, crest: float, side: int, form: RingForm, stock: float, beyond: float) -> Face:
    """A face with metal left on: `stock` square to it, `beyond` on each edge of the band."""
    half = form.width_mm / 2
    bend = (half**2 + rise**2) / (2 * rise) + stock if rise else np.inf
    return Face(crest + side * stock, bend, side, half + beyond, form.edge_mm)


@dataclass(frozen=True)
class Side:
    """A wall: its z over (angle, radius); `out` says on which side of it the place ends."""

    out: int
    z: Callable[[Array, Array], Array]
    r: Callable[[Array, Array], Array] | None = None
    """Of a leaning wall, its radius over (angle, z)."""
    head: Callable[[Array], Array] | None = None
    """Of a leaning wall, its z at the finished outside; in the stock above it stands upright."""

    def beside(self, r: Array, a: Array, z: Array) -> Mask:
        """Whether points lie on the place's side of the wall."""
        within: Mask = (z - self.z(a, r)) * self.out <= 0
        return within if self.head is None else within | ((z - self.head(a)) * self.out <= 0)


@dataclass(frozen=True)
class Room:
    """What one place takes and what its metal fills: walls, and radius from and to."""

    takes: tuple[Side, ...]
    fills: tuple[Side, ...]
    takes_r: tuple[float, float]
    fills_r: tuple[float, float]
    count: int = 0
    gap: float = 0.0

    @staticmethod
    def holds(
        sides: Sequence[Side], span: tuple[float, float], r: Array, a: Array, z: Array
    ) -> Mask:
        inside = (r >= span[0]) & (r <= span[1])
        for side in sides:
            inside = inside & side.beside(r, a, z)
        return inside


class PlainRing:
    """A ring that can be asked point by point."""

    def __init__(self, form: RingForm, places: Sequence[AnyPlace], stock: Stock = NO_STOCK) -> None:
        half, bore = form.width_mm / 2, form.inside_diameter_mm / 2
        self.crest = bore + form.thickness_mm
        on_edge = stock.edge_mm
        self.dry = face(form.falls_mm[0], self.crest, 1, form, 0.0, 0.0)
        self.outside = face(form.falls_mm[0], self.crest, 1, form, stock.outside_mm, on_edge)
        self.bore = face(form.falls_mm[1], bore, -1, form, stock.bore_mm, on_edge)
        # a full half-round ends at its arc's end, however much is left on the edges
        self.half = min(half + on_edge, self.outside.bend)
        self.proud, self.twist = form.proud_mm, 0.0
        self.rooms: list[Room] = []
        self.waves = [wave.count for p in places if (wave := getattr(p, "wave", None)) is not None]
        for place in places:
            self.rooms += self._rooms(place, bore, half)

    def _rooms(self, place: AnyPlace, bore: float, half: float) -> list[Room]:
        gap, all_deep = place.gap, (0.0, np.inf)
        if isinstance(place, Liner):
            top = bore + place.thickness_mm
            return [Room((), (), (0.0, top), (0.0, top - gap.floor))]
        if isinstance(place, Segments):
            slant = np.radians(place.slant_deg)
            self.twist = float(np.tan(slant)) / self.crest
            taken = gap.side / (self.crest * np.cos(slant))
            if place.depth_mm is None:
                return [Room((), (), all_deep, all_deep, place.count, taken)]
            floor = self.crest - place.depth_mm
            spans = (floor, np.inf), (floor + gap.floor, np.inf)
            return [Room((), (), *spans, place.count, taken)]
        if isinstance(place, Channel):
            floor = self.crest - place.depth_mm
            spans = (floor, np.inf), (floor + gap.floor, np.inf)
            ends = [(way, place.centre_mm + way * place.width_mm / 2) for way in (-1, 1)]
            return [self._walled(place, ends, half, *spans)]
        if isinstance(place, Stripe):
            rows = [[(-1, place.from_mm), (1, place.to_mm)]]
        else:
            rows = [[(1, place.width_mm - half)], [(-1, half - place.width_mm)]]
        return [self._walled(place, row, half, all_deep, all_deep) for row in rows]

    def _walled(
        self,
        place: Channel | Stripe | Edges,
        ends: list[tuple[int, float]],
        half: float,
        takes_r: tuple[float, float],
        fills_r: tuple[float, float],
    ) -> Room:
        ends = [(way, at) for way, at in ends if abs(at - way * half) > 1e-9]
        takes, fills = (
            tuple(self._wall(place, way, at, inset) for way, at in ends)
            for inset in (0.0, place.gap.side)
        )
        return Room(takes, fills, takes_r, fills_r)

    def _wall(self, place: Any, way: int, at: float, inset: float) -> Side:
        wave, under = place.wave, getattr(place, "undercut_mm", 0.0)
        moves = getattr(wave, "on", "both") in ("both", "to" if way > 0 else "from")

        def top(a: Array) -> Array:
            if wave is None or not moves:
                return np.full(np.shape(a), at)
            return at + wave.amplitude_mm * np.sin(wave.count * a + np.radians(wave.phase_deg))

        if not under:
            return Side(way, lambda a, r: top(a) - way * inset)
        floor = self.crest - place.depth_mm

        def rise(a: Array) -> Array:
            return self.dry.r(top(a)) - floor

        # from the outside down to `under` further out at the floor; the gap square to the wall
        def z(a: Array, r: Array) -> Array:
            share = (floor + rise(a) - r) / rise(a)
            return top(a) + way * (under * share - inset * np.hypot(1, under / rise(a)))

        def r(a: Array, z: Array) -> Array:
            past = way * (z - top(a)) + inset * np.hypot(1, under / rise(a))
            return floor + rise(a) * (1 - past / under)

        def head(a: Array) -> Array:
            if not inset:
                return top(a)
            inner, foot = top(a) - way * (abs(inset) + under), z(a, np.full(np.shape(a), floor))
            for _ in range(45):
                middle = 0.5 * (inner + foot)
                above = r(a, middle) > self.dry.r(middle)
                inner, foot = np.where(above, middle, inner), np.where(above, foot, middle)
            return 0.5 * (inner + foot)

        return Side(way, z, r, head)

    def owners(self, r: Array, a: Array, z: Array) -> dict[tuple[str, int], NDArray[Any]]:
        """Who holds the points (radius, angle, height), segments and joints not told apart.

        A part pressed past its own place fills the room it is pressed into; `doubled`
        counts the owners of its metal beyond the first.
        """
        under = r <= self.outside.r(z)
        top = self.outside.r(z) + max(self.proud, 0.0)
        left = (np.abs(z) <= self.half) & (r >= self.bore.r(z)) & (r <= top)
        held = np.zeros(np.shape(left), dtype=int)
        found: dict[tuple[str, int], NDArray[Any]] = {}
        for i, room in enumerate(self.rooms):
            takes = Room.holds(room.takes, room.takes_r, r, a, z)
            fills = Room.holds(room.fills, room.fills_r, r, a, z)
            found["part", i] = left & fills & under
            found["gap", i] = left & takes & ~fills & under & (held == 0)
            held = held + found["part", i]
            left = left & ~takes
        body_top = self.outside.r(z) + self.proud
        found["body", -1] = left & (r <= body_top)
        found["recess", -1] = left & (r > body_top) & (held == 0)
        found["doubled", -1] = np.maximum(held + found["body", -1] - 1, 0)
        return found

    def holds(self, kind: str, claim: int, sector: int | None, xyz: Array) -> Mask:
        """Whether points (..., 3) lie in a part, its segment, or the body."""
        r, a, z = (
            np.hypot(xyz[..., 0], xyz[..., 1]),
            np.arctan2(xyz[..., 1], xyz[..., 0]),
            xyz[..., 2],
        )
        inside: Mask = self.owners(r, a, z)[kind, claim]
        if sector is None:
            return inside
        room = self.rooms[claim]
        past = (a - self.twist * z - sector * TURN / room.count) % TURN
        return inside & (past <= TURN / room.count - room.gap)
