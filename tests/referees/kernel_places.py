"""What every place of a design file takes, built with the exact kernel from the contract alone."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from form.outlines import Asked
from OCP.BRepAdaptor import BRepAdaptor_Curve
from OCP.BRepAlgoAPI import BRepAlgoAPI_Splitter
from OCP.BRepBuilderAPI import (
    BRepBuilderAPI_MakeEdge,
    BRepBuilderAPI_MakeSolid,
    BRepBuilderAPI_Sewing,
    BRepBuilderAPI_Transform,
)
from OCP.BRepCheck import BRepCheck_Analyzer
from OCP.BRepFill import BRepFill
from OCP.BRepLib import BRepLib
from OCP.collections import (
    Array1_double,
    Array1_gp_Pnt,
    Array1_int,
    HArray1_double,
    HArray1_gp_Pnt,
)
from OCP.Geom import Geom_BSplineCurve
from OCP.GeomAPI import GeomAPI_Interpolate
from OCP.gp import gp_Pnt, gp_Trsf, gp_Vec
from OCP.TopAbs import TopAbs_EDGE, TopAbs_SOLID
from OCP.TopoDS import TopoDS
from referees.kernel_forms import formed
from referees.kernel_region import (
    AXIS,
    TURN,
    CannotJudge,
    Part,
    Point,
    Region,
    Shape,
    Wall,
    checked,
    inner,
    listed,
    outline,
    polygon,
    together,
)

BEYOND_MM = 0.3  # tools stand this far off the metal, so that no face falls on another
POINTS_PER_WAVE = 16  # a quintic spline through the sine is 1e-7 of the amplitude off
POINTS_PER_TURN = 96  # the same spline's circle is 3e-12 of the radius off
TURN_PER_SPAN = 0.02  # of a joint's helix [rad]: 4e-10 of the radius off


class Ring:
    """The whole band: its section, its outside profile, how far tools must reach."""

    def __init__(self, design: Mapping[str, Any], inside_diameter_mm: float) -> None:
        ring = design["ring"]
        self.bore = inside_diameter_mm / 2
        self.half = ring["width_mm"] / 2
        self.crest = self.bore + ring["thickness_mm"]
        self.proud = float(design.get("body", {}).get("proud_mm", 0.0))
        self.edge = float(ring.get("edge_mm", 0.0))
        self.rise_out, self.rise_in = (
            float(form["rise_mm"]) if form["form"] == "domed" else 0.0
            for form in (ring.get(side, {"form": "flat"}) for side in ("outside", "inside"))
        )
        self.forms = Asked(
            inside_diameter_mm,
            ring["width_mm"],
            ring["thickness_mm"],
            *(ring.get(side, {"form": "flat"}) for side in ("outside", "inside")),
        )
        self.arched = {self.forms.outside["form"], self.forms.inside["form"]} <= {"flat", "domed"}
        self.far_in = self.bore - 4 * BEYOND_MM
        self.far_out = self.crest + max(self.proud, 0.0) + BEYOND_MM
        self.far_z = self.half + BEYOND_MM
        self.stripes: list[tuple[Boundary, Boundary]] = []  # of the stripes cut so far

    def deeper_than(self, radius: float) -> Region:
        z = self.far_z
        return polygon((self.far_in, -z), (radius, -z), (radius, z), (self.far_in, z))

    def beyond(self, radius: float) -> Region:
        z = self.far_z
        return polygon((radius, -z), (self.far_out, -z), (self.far_out, z), (radius, z))

    def _rounding(self, rise: float) -> tuple[float, float, float]:
        """Drop from the crest of a rounding's centre and of its point on the curve; that z."""
        h, e = self.half, self.edge
        if not rise:
            return e, 0.0, h - e
        arc = (h * h + rise * rise) / (2 * rise)
        inset = math.sqrt((arc - e) ** 2 - (h - e) ** 2)
        return arc - inset, arc - inset * arc / (arc - e), (h - e) * arc / (arc - e)

    def outside_at(self, z: float) -> float:
        """Outside radius at height z, edge rounding included [mm]."""
        if not self.arched:
            raise CannotJudge("undercut walls are judged under flat and domed outsides only")
        h, e, rise = self.half, self.edge, self.rise_out
        drop, _, touch = self._rounding(rise)
        if abs(z) > h:
            raise CannotJudge(f"a channel's wall leaves the band at z = {z:.3f} mm")
        if abs(z) > touch:
            return float(self.crest - drop + math.sqrt(max(e**2 - (abs(z) - h + e) ** 2, 0.0)))
        arc = (h * h + rise * rise) / (2 * rise) if rise else math.inf
        return float(self.crest - (arc - math.sqrt(arc**2 - z * z) if rise else 0.0))

    def band(self, shift: float) -> Region:
        """The band's section, its outside moved radially by `shift`."""
        if not self.arched:
            return formed(self.forms, self.edge, shift)
        h, e = self.half, self.edge

        def upper(crest: float, rise: float, way: int) -> tuple[Point, Point, Point]:
            """Rounding of one upper corner: on the edge face, half way, on the curve."""
            drop, on_curve, touch = self._rounding(rise)
            centre = crest - way * drop
            aim = (math.pi / 2 + math.atan2(touch - h + e, drop - on_curve)) / 2
            knee = (centre + way * e * math.cos(aim), h - e + e * math.sin(aim))
            return (centre, h), knee, (crest - way * on_curve, touch)

        def side(corner: tuple[Point, Point, Point], crest: float) -> list[tuple[Point, ...]]:
            top, bottom = corner[::-1], tuple((r, -z) for r, z in corner)
            middle = (bottom[2], (crest, 0.0), corner[2])
            flat = abs(crest - corner[2][0]) < 1e-12
            return [bottom, middle[::2] if flat else middle, top]

        out = upper(self.crest + shift, self.rise_out, 1)
        bore = upper(self.bore, self.rise_in, -1)
        if out[0][0] < bore[0][0]:
            raise CannotJudge("domes and roundings leave no edge face")
        back = [edge[::-1] for edge in side(bore, self.bore)[::-1]]
        return outline(
            [
                ((bore[0][0], -h), (out[0][0], -h)),
                *side(out, self.crest + shift),
                ((out[0][0], h), (bore[0][0], h)),
                *back,
            ]
        )


def _rim(r: float, wall: Wall, n: int) -> Shape:
    """Closed quintic spline through n exact points of a wall on the cylinder r."""
    angles = TURN * np.arange(n) / n
    at = np.array([(r * math.cos(a), r * math.sin(a), wall(r, a)) for a in angles])
    # Uniform quintic B-splines are worth 66, 26 and 1 hundred-and-twentieths at their knots.
    weight = (66 + 52 * np.cos(angles) + 2 * np.cos(2 * angles)) / 120
    poles = np.fft.ifft(np.fft.fft(at, axis=0) / weight[:, None], axis=0).real
    points, knots, once = Array1_gp_Pnt(1, n), Array1_double(1, n + 1), Array1_int(1, n + 1)
    for i in range(n + 1):
        knots.SetValue(i + 1, TURN * i / n)
        once.SetValue(i + 1, 1)
        if i < n:
            points.SetValue(i + 1, gp_Pnt(*poles[i]))
    return BRepBuilderAPI_MakeEdge(Geom_BSplineCurve(points, knots, once, 5, True)).Edge()


def _between(low: Wall, high: Wall, r0: float, r1: float, count: int, what: str) -> Region:
    """All between two walls and two cylinders; walls are straight in every section plane."""
    n = max(POINTS_PER_TURN, POINTS_PER_WAVE * count)
    if any(high(r, TURN * i / n) <= low(r, TURN * i / n) for r in (r0, r1) for i in range(n)):
        raise CannotJudge(f"{what}: the walls meet")
    corners = ((r0, low), (r1, low), (r1, high), (r0, high))
    if not count:
        return polygon(*((r, z(r, 0.0)) for r, z in corners))
    rims = [_rim(r, wall, n) for r, wall in corners]
    sewing = BRepBuilderAPI_Sewing(1e-6)
    for one, two in zip(rims, rims[1:] + rims[:1], strict=True):
        sewing.Add(BRepFill.Face_s(one, two))
    sewing.Perform()
    solid = BRepBuilderAPI_MakeSolid(TopoDS.Shell(sewing.SewedShape())).Solid()
    if not BRepLib.OrientClosedSolid_s(solid) or not BRepCheck_Analyzer(solid).IsValid():
        raise CannotJudge(f"{what}: the kernel could not close the wavy tool")
    return Region(solid=solid)


def _gaps(part: Part) -> tuple[float, float]:
    gap = part.get("gap_mm", 0.0)
    if isinstance(gap, Mapping):
        return float(gap.get("side", 0.0)), float(gap.get("floor", 0.0))
    return float(gap), float(gap)


def _wave(part: Part) -> tuple[Callable[[float], float], int]:
    """Axial shift at theta, and the number of waves (0: the shift is constant)."""
    wave = part.get("wave") or {}
    size, phase = float(wave.get("amplitude_mm", 0.0)), math.radians(wave.get("phase_deg", 0.0))
    count = int(wave.get("count", 0)) if size else 0
    return (lambda a: size * math.sin(count * a + phase)), count


def _channel(ring: Ring, part: Part) -> tuple[Region, Region]:
    side, floor = _gaps(part)
    shift, count = _wave(part)
    bottom = ring.crest - part["depth_mm"]
    under = float(part.get("undercut_mm", 0.0))

    def wall(way: int, gap: float) -> Wall:
        def z(r: float, a: float) -> float:
            top = part.get("centre_mm", 0.0) + shift(a) + way * part["width_mm"] / 2
            lean = under / (ring.outside_at(top) - bottom) if under else 0.0
            return float(top + way * (under - lean * (r - bottom) - gap * math.hypot(1, lean)))

        return z

    def tool(gap: float, lift: float) -> Region:
        low, high = wall(-1, gap), wall(1, gap)
        return _between(low, high, bottom + lift, ring.far_out, count, f"channel {part['name']}")

    claim = tool(0.0, 0.0)
    return claim, tool(side, floor) if side or floor else claim


@dataclass(frozen=True, kw_only=True)
class Boundary:
    """Where a stripe ends: z = z0 + size sin(count theta + phase), at every radius."""

    z0: float
    at_edge: bool = False
    size: float = 0.0
    count: int = 0
    phase: float = 0.0

    def wall(self, gap: float) -> Wall:
        off = 0.0 if self.at_edge else gap
        return lambda r, a: self.z0 + self.size * math.sin(self.count * a + self.phase) + off


def _stripe(ring: Ring, part: Part) -> tuple[Region, Region]:
    side, _ = _gaps(part)
    wave = part.get("wave") or {}

    def boundary(key: str) -> Boundary:
        z = float(part[f"{key}_mm"])
        if abs(abs(z) - ring.half) < 1e-9:
            return Boundary(z0=math.copysign(ring.far_z, z), at_edge=True)
        if not wave.get("amplitude_mm") or wave.get("on", "both") not in ("both", key):
            return Boundary(z0=z)
        phase = math.radians(wave.get("phase_deg", 0.0))
        return Boundary(z0=z, size=wave["amplitude_mm"], count=int(wave["count"]), phase=phase)

    def tool(low: Boundary, high: Boundary, gap: float) -> Region:
        what, reach = f"stripe {part['name']}", (ring.far_in, ring.far_out)
        return _between(low.wall(gap), high.wall(-gap), *reach, max(low.count, high.count), what)

    low, high = boundary("from"), boundary("to")
    # Where a stripe next to this one is gone, claim its place too: no two walls then coincide.
    wide_low, wide_high = low, high
    for _ in ring.stripes:
        wide_low = next((a for a, b in ring.stripes if b == wide_low), wide_low)
        wide_high = next((b for a, b in ring.stripes if a == wide_high), wide_high)
    ring.stripes.append((low, high))
    claim = tool(wide_low, wide_high, 0.0)
    return claim, tool(low, high, side) if side else claim


def _liner(ring: Ring, part: Part) -> tuple[Region, Region]:
    outer, (_, floor) = ring.bore + part["thickness_mm"], _gaps(part)
    claim = ring.deeper_than(outer)
    return claim, ring.deeper_than(outer - floor) if floor else claim


def places(ring: Ring, part: Part) -> Iterator[tuple[str, Region, Region]]:
    """(name, claim, metal) of each part that its walls alone tell, in order."""
    name, place = part["name"], part["place"]
    makers = {"channel": _channel, "liner": _liner, "stripe": _stripe}
    if place == "edges":
        if part.get("wave"):
            raise CannotJudge(f"{name}: the contract gives edges no wave")
        h, wide = ring.half, part["width_mm"]
        for i, low, high in ((1, -h, wide - h), (2, h - wide, h)):
            stripe = {**part, "name": f"{name} {i}", "from_mm": low, "to_mm": high}
            yield stripe["name"], *_stripe(ring, stripe)
    elif place in makers:
        yield name, *makers[place](ring, part)
    else:
        raise CannotJudge(f"{name}: no referee for the place {place!r}")


def _joint(ring: Ring, angle: float, lean: float) -> Shape:
    """Radial helicoid theta = angle + lean z, wider and higher than the band."""
    spans = max(1, math.ceil(2 * ring.far_z * abs(lean) / TURN_PER_SPAN))
    heights = [ring.far_z * (2 * i / spans - 1) for i in range(spans + 1)]

    def helix(r: float) -> Shape:
        points, knots = HArray1_gp_Pnt(1, spans + 1), HArray1_double(1, spans + 1)
        for i, z in enumerate(heights, 1):
            knots.SetValue(i, z)
            a = angle + lean * z
            points.SetValue(i, gp_Pnt(r * math.cos(a), r * math.sin(a), z))
        curve = GeomAPI_Interpolate(points, knots, False, 1e-9)
        ends = (points.Value(1), points.Value(spans + 1))
        curve.Load(*(gp_Vec(-lean * p.Y(), lean * p.X(), 1) for p in ends), False)
        curve.Perform()
        return BRepBuilderAPI_MakeEdge(curve.Curve()).Edge()

    return BRepFill.Face_s(helix(ring.far_in), helix(ring.far_out))


def _shares(
    ring: Ring, metal: Shape, starts: Sequence[float], width: float, lean: float, what: str
) -> list[Shape]:
    """The metal between the joints at each start and start + width."""
    if width > TURN - 1e-12:
        return [metal]
    angles = {round(angle % TURN, 12) for start in starts for angle in (start, start + width)}
    split = BRepAlgoAPI_Splitter()
    split.SetArguments(listed(metal))
    split.SetTools(listed(*(_joint(ring, angle, lean) for angle in sorted(angles))))
    split.Build()
    shares: list[list[Shape]] = [[] for _ in starts]
    for solid in inner(checked(split, what), TopAbs_SOLID):
        for edge in inner(solid, TopAbs_EDGE):
            curve = BRepAdaptor_Curve(edge)
            p = curve.Value((curve.FirstParameter() + curve.LastParameter()) / 2)
            angle = math.atan2(p.Y(), p.X()) - lean * p.Z()
            past = [(angle - start) % TURN for start in starts]
            if all(min(x, abs(x - width), TURN - x) > 1e-4 for x in past):  # not on a joint
                break
        else:
            raise CannotJudge(f"{what}: a piece cannot be told from its neighbour")
        for share, x in zip(shares, past, strict=True):
            if x < width:
                share.append(solid)
    return [together(share) for share in shares]


def segments(ring: Ring, part: Part, left: Region) -> tuple[list[Region], Region]:
    """The segments, and the tool that takes all they claim."""
    side, floor = _gaps(part)
    name, count = part["name"], int(part["count"])
    slant, depth = math.radians(part.get("slant_deg", 0.0)), part.get("depth_mm")
    bottom = ring.far_in if depth is None else ring.crest - depth
    lift = 0.0 if depth is None else floor
    metal, _ = left.parted(ring.beyond(bottom + lift), name)
    pitch, lean = TURN / count, math.tan(slant) / ring.crest
    width = pitch - side / (ring.crest * math.cos(slant))
    starts = [i * pitch for i in range(count)]
    if metal.section is None:
        if width > pitch and count > 1:
            raise CannotJudge(f"{name}: interference between segments of metal already cut wavy")
        shares = _shares(ring, metal.bulk, starts, width, lean, name)
    else:
        # Metal that turns round the axis gives equal segments: make one, turn the rest.
        one = metal.turned(width)
        if lean:
            (one,) = _shares(ring, metal.bulk, starts[:1], width, lean, name)
        shares = []
        for start in starts:
            turn = gp_Trsf()
            turn.SetRotation(AXIS, start)
            shares.append(BRepBuilderAPI_Transform(one, turn, True).Shape())
    return [Region(solid=share) for share in shares], ring.beyond(bottom)
