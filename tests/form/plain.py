"""The design file's contract read plainly: who holds the metal at a point of the ring.

Nothing of the package's curves, walls, claims or columns is used: only what was asked
(measures and places). A point is handed through the places in the order written, by
comparing it with each wall and floor. Volumes are integrals of that answer: exact in the
radius (all boundaries are sorted and each interval asked in its middle), Gauss's rule over
the width between all corners and crossings, Gauss's rule round the ring.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from ringgeom.form.places import AnyPlace, Channel, Edges, Liner, Segments, Stripe
from ringgeom.form.ring import NO_STOCK, RingForm, Stock

Array = np.ndarray
Key = tuple[str, int, int | None]
"""Kind (part, gap, joint, body, recess, doubled), number of the claim, segment."""

TURN = 2 * np.pi
SCAN = 301
"""Heights at which two curves are compared for a crossing."""


@dataclass(frozen=True)
class Face:
    """Outside (side +1) or bore (side -1): a line or arc, its two ends rounded."""

    crest: float
    bend: float
    side: int
    half: float
    edge: float

    def r(self, z: Array) -> Array:
        z = np.abs(z)
        if np.isinf(self.bend):
            plain, touch, centre = np.full(np.shape(z), self.crest), self.half - self.edge, 0.0
            centre = self.crest - self.side * self.edge
        else:
            middle = self.crest - self.side * self.bend
            plain = middle + self.side * np.sqrt(np.maximum(self.bend**2 - z**2, 0.0))
            # a circle of radius `edge` inside both: bend - edge from the arc's centre
            touch, centre = self.half, 0.0
            if self.edge:
                lift = np.sqrt((self.bend - self.edge) ** 2 - (self.half - self.edge) ** 2)
                centre = middle + self.side * lift
                touch = (self.half - self.edge) * self.bend / (self.bend - self.edge)
        if not self.edge:
            return plain
        over = z - (self.half - self.edge)
        corner = centre + self.side * np.sqrt(np.maximum(self.edge**2 - over**2, 0.0))
        return np.where(z > touch, corner, plain)

    def stops(self) -> list[float]:
        touch = self.half - self.edge
        if np.isfinite(self.bend):
            touch *= self.bend / (self.bend - self.edge) if self.edge else 1.0
        return [-self.half, -touch, touch, self.half]


def face(rise: float, crest: float, side: int, form: RingForm, stock: float, beyond: float) -> Face:
    half = form.width_mm / 2
    bend = (half**2 + rise**2) / (2 * rise) + side * side * stock if rise else np.inf
    return Face(crest + side * stock, bend, side, half + beyond, form.edge_mm)


@dataclass(frozen=True)
class Side:
    """A wall: z(angle, r), and on which side of it (out) the place ends."""

    out: int
    z: Callable[[Array, Array], Array]
    r: Callable[[Array, Array], Array] | None = None
    """For a leaning wall, its radius over (angle, z)."""


@dataclass(frozen=True)
class Room:
    """One claim: what it takes, and what its metal fills."""

    takes: tuple[Side, ...]
    fills: tuple[Side, ...]
    takes_r: tuple[float, float]
    fills_r: tuple[float, float]
    count: int = 0
    gap: float = 0.0

    @staticmethod
    def holds(sides: tuple[Side, ...], span: tuple[float, float], r: Array, a: Array, z: Array):
        inside = (r >= span[0]) & (r <= span[1])
        for side in sides:
            inside = inside & ((z - side.z(a, r)) * side.out <= 0)
        return inside


class PlainRing:
    """A ring to be asked point by point."""

    def __init__(self, form: RingForm, places: list[AnyPlace], stock: Stock = NO_STOCK) -> None:
        self.form, half = form, form.width_mm / 2
        bore = form.inside_diameter_mm / 2
        self.crest0 = crest = bore + form.thickness_mm
        self.dry = face(form.outside.rise_mm, crest, 1, form, 0.0, 0.0)
        self.outside = face(form.outside.rise_mm, crest, 1, form, stock.outside_mm, stock.edge_mm)
        self.bore = face(form.inside.rise_mm, bore, -1, form, stock.bore_mm, stock.edge_mm)
        # a full half-round ends at its arc's end, however much is left on the edges
        self.half = min(half + stock.edge_mm, self.outside.bend)
        self.proud, self.twist = form.proud_mm, 0.0
        self.rooms: list[Room] = []
        self.waves = [w.count for p in places if (w := getattr(p, "wave", None)) is not None]
        for place in places:
            self.rooms += self._rooms(place, bore, half)

    def _rooms(self, place: AnyPlace, bore: float, half: float) -> list[Room]:
        gap, endless = place.gap, (0.0, np.inf)
        if isinstance(place, Liner):
            top = bore + place.thickness_mm
            return [Room((), (), (0.0, top), (0.0, top - gap.floor))]
        if isinstance(place, Channel):
            ends = [(way, place.centre_mm + way * place.width_mm / 2) for way in (-1, 1)]
            ends = [(way, at) for way, at in ends if abs(at - way * half) > 1e-9]
            takes, fills = (
                tuple(self._wall(place, way, at, inset, lean=True) for way, at in ends)
                for inset in (0.0, gap.side)
            )
            floor = self.crest0 - place.depth_mm
            return [Room(takes, fills, (floor, np.inf), (floor + gap.floor, np.inf))]
        if isinstance(place, Stripe | Edges):
            if isinstance(place, Stripe):
                rows = [[(-1, place.from_mm, "from"), (1, place.to_mm, "to")]]
            else:
                inner = half - place.width_mm
                rows = [[(1, -inner, "both")], [(-1, inner, "both")]]
            found = []
            for row in rows:
                ends = [(way, at, on) for way, at, on in row if abs(at - way * half) > 1e-9]
                takes, fills = (
                    tuple(
                        self._wall(place, way, at, inset, moves=self._moves(place, on))
                        for way, at, on in ends
                    )
                    for inset in (0.0, gap.side)
                )
                found.append(Room(takes, fills, endless, endless))
            return found
        assert isinstance(place, Segments)
        slant = np.radians(place.slant_deg)
        self.twist = np.tan(slant) / self.crest0
        floor = 0.0 if place.depth_mm is None else self.crest0 - place.depth_mm
        lift = 0.0 if place.depth_mm is None else gap.floor
        taken = gap.side / (self.crest0 * np.cos(slant))
        spans = (floor, np.inf), (floor + lift, np.inf)
        return [Room((), (), *spans, place.count, taken)]

    @staticmethod
    def _moves(place: Stripe | Edges, end: str) -> bool:
        return place.wave is not None and getattr(place.wave, "on", "both") in ("both", end)

    def _wall(
        self,
        place: AnyPlace,
        way: int,
        at: float,
        inset: float,
        *,
        moves: bool = True,
        lean: bool = False,
    ) -> Side:
        wave = getattr(place, "wave", None)

        def top(a: Array) -> Array:
            if wave is None or not moves:
                return np.full(np.shape(a), at)
            return at + wave.amplitude_mm * np.sin(wave.count * a + np.radians(wave.phase_deg))

        under = getattr(place, "undercut_mm", 0.0) if lean else 0.0
        if not under:
            return Side(way, lambda a, r: top(a) - way * inset)
        floor = self.crest0 - place.depth_mm

        def rise(a: Array) -> Array:
            return self.dry.r(top(a)) - floor

        def z(a: Array, r: Array) -> Array:
            # from the outside down to `under` further out at the floor; the gap square to it
            share = (floor + rise(a) - r) / rise(a)
            return top(a) + way * (under * share - inset * np.hypot(1, under / rise(a)))

        def r(a: Array, z: Array) -> Array:
            past = way * (z - top(a)) + inset * np.hypot(1, under / rise(a))
            return floor + rise(a) * (1 - past / under)

        return Side(way, z, r)

    def owners(self, r: Array, a: Array, z: Array) -> dict[tuple[str, int], Array]:
        """Who holds the points (r, angle, z); segments and joints not yet told apart."""
        under = r <= self.outside.r(z)
        top = self.outside.r(z) + max(self.proud, 0.0)
        left = (np.abs(z) <= self.half) & (r >= self.bore.r(z)) & (r <= top)
        found: dict[tuple[str, int], Array] = {}
        held = np.zeros(np.shape(left), dtype=int)
        room = {}
        for i, claim in enumerate(self.rooms):
            takes = Room.holds(claim.takes, claim.takes_r, r, a, z)
            fills = Room.holds(claim.fills, claim.fills_r, r, a, z)
            found["part", i] = left & fills & under
            room["gap", i] = left & takes & ~fills & under & (held == 0)
            held = held + found["part", i]
            left = left & ~takes
        body_top = self.outside.r(z) + self.proud
        found["body", -1] = left & (r <= body_top)
        # a part pressed past its own place fills the room it is pressed into
        room["recess", -1] = left & (r > body_top) & (held == 0)
        found["doubled", -1] = np.maximum(held + found["body", -1] - 1, 0)
        return found | room

    def _curves(self) -> list[Callable[[Array, Array], Array]]:
        """Every boundary as a radius over (angle, z)."""
        found = [lambda a, z: self.bore.r(z), lambda a, z: self.outside.r(z)]
        found.append(lambda a, z: self.outside.r(z) + self.proud)
        levels = {x for room in self.rooms for x in (*room.takes_r, *room.fills_r)}
        for level in sorted(levels - {0.0, np.inf}):
            found.append(lambda a, z, level=level: np.full(np.shape(z), level))
        for room in self.rooms:
            found += [side.r for side in (*room.takes, *room.fills) if side.r is not None]
        return found

    def _stops(self, a: Array) -> Array:
        """Every z at which the answer changes its kind, shape (angles, stops), sorted."""
        fixed = {*self.bore.stops(), *self.outside.stops()}
        rows = [np.full(a.size, z) for z in fixed]
        for room in self.rooms:
            for side in (*room.takes, *room.fills):
                if side.r is None:
                    rows.append(_on_cut(side, a, self.twist))
        curves = self._curves()
        scan = np.linspace(-self.half, self.half, SCAN)
        grid_a = a[:, None] + self.twist * scan
        at = [np.broadcast_to(curve(grid_a, scan[None, :]), grid_a.shape) for curve in curves]
        for one, two in combinations(range(len(curves)), 2):
            signs = np.where(at[one] > at[two], 1, -1)
            where, step = np.nonzero(signs[:, :-1] * signs[:, 1:] < 0)
            if not where.size:
                continue
            low, high, was = scan[step], scan[step + 1], signs[where, step]
            for _ in range(50):
                z = 0.5 * (low + high)
                angle = a[where] + self.twist * z
                same = np.where(curves[one](angle, z) > curves[two](angle, z), 1, -1) == was
                low, high = np.where(same, z, low), np.where(same, high, z)
            order = np.argsort(where, kind="stable")
            nth = np.arange(where.size) - np.searchsorted(where[order], where[order])
            for n in range(int(nth.max()) + 1):
                row = np.full(a.size, self.half)
                row[where[order][nth == n]] = (0.5 * (low + high))[order][nth == n]
                rows.append(row)
        return np.sort(np.clip(np.array(rows).T, -self.half, self.half), axis=1)

    def moments(self, a: Array, nodes: int) -> dict[tuple[str, int], Array]:
        """Integral of r dr dz along the slanted cut at each angle [mm3/rad]."""
        stops = self._stops(a)
        x, w = np.polynomial.legendre.leggauss(nodes)
        # z = cosine of an even angle: takes out the square root where an arc ends upright
        share, slope = 0.5 * (1 + np.sin(np.pi / 2 * x)), np.pi / 4 * np.cos(np.pi / 2 * x)
        width = np.diff(stops, axis=1)[:, :, None]
        z = (stops[:, :-1, None] + width * share).reshape(a.size, -1)
        weight = (width * slope * w).reshape(a.size, -1)
        angle = a[:, None] + self.twist * z
        radii = np.sort(np.array([np.broadcast_to(c(angle, z), z.shape) for c in self._curves()]), 0)
        middle, ring = 0.5 * (radii[1:] + radii[:-1]), 0.5 * np.diff(radii**2, axis=0)
        found = self.owners(middle, angle[None], z[None])
        return {k: np.einsum("kaz,kaz,az->a", ring, mask, weight) for k, mask in found.items()}

    def volumes(self, *, panels: int = 8, nodes: int = 12) -> dict[Key, float]:
        """Volume of every owner and segment; `panels` of 4 angles to the fastest wave [mm3]."""
        found: dict[Key, float] = {}
        turns = panels * max(self.waves) if self.waves else 0
        kinds: dict[Key, tuple[float, float]] = {}
        for i, room in enumerate(self.rooms):
            for n in range(room.count):
                start, after = n * TURN / room.count, (n + 1) * TURN / room.count
                kinds["part", i, n] = (start, after - room.gap)
                kinds["gap", i, n] = (start, after)
                if room.gap > 0:
                    kinds["joint", i, n] = (after - room.gap, after)
        told = {(kind, i) for kind, i, _ in kinds}
        whole = self._integrated(0.0, TURN, turns, nodes)
        found |= {(*k, None): v for k, v in whole.items() if k not in told}
        for (kind, i, n), (start, end) in kinds.items():
            share = (end - start) / TURN
            if not self.waves:
                found[kind, i, n] = whole["part" if kind == "joint" else kind, i] * share
                continue
            some = self._integrated(start, end, max(2, round(turns * share)), nodes)
            found[kind, i, n] = some["part" if kind == "joint" else kind, i]
        return found

    def _integrated(self, start: float, end: float, panels: int, nodes: int) -> dict:
        if not panels:
            return {k: float(v[0]) * TURN for k, v in self.moments(np.zeros(1), nodes).items()}
        x, w = np.polynomial.legendre.leggauss(4)
        half = (end - start) / panels / 2
        a = (start + half * (1 + 2 * np.arange(panels)[:, None] + x)).ravel()
        weights = np.tile(half * w, panels)
        return {k: float(v @ weights) for k, v in self.moments(a, nodes).items()}


def _on_cut(side: Side, a: Array, twist: float) -> Array:
    """z of a wall along the slanted cut, by halving; the wall is met once."""
    if twist == 0.0:
        return side.z(a, a)
    low, high = np.full(a.size, -200.0), np.full(a.size, 200.0)
    for _ in range(60):
        z = 0.5 * (low + high)
        past = z > side.z(a + twist * z, a)
        low, high = np.where(past, low, z), np.where(past, z, high)
    return 0.5 * (low + high)
