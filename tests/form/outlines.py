"""The forms of outside and bore drawn a second time, from their words alone: lines and arcs.

An edge is two points for a line, three for an arc (its ends and one point between), each as
(z, r). Nothing of the package's curves is used; touching points are found by root finding.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from math import atan2, cos, hypot, pi, sin, sqrt, tan
from typing import Any

import numpy as np
from scipy.optimize import brentq

from ringgeom.form.ring_form import RingForm

Point = tuple[float, float]
Edge = tuple[Point, ...]


@dataclass(frozen=True)
class Asked:
    """A band as it is asked for: measures in mm, and two forms as plain keys."""

    inside_diameter_mm: float
    width_mm: float
    thickness_mm: float
    outside: Mapping[str, Any]
    inside: Mapping[str, Any]


def asked(form: RingForm) -> Asked:
    """The keys of a band."""
    return Asked(
        form.inside_diameter_mm,
        form.width_mm,
        form.thickness_mm,
        form.outside.model_dump(),
        form.inside.model_dump(),
    )


FORMS: dict[str, dict[str, Any]] = {
    "flat": {"form": "flat"},
    "domed": {"form": "domed", "rise_mm": 0.4},
    "half-round": {"form": "half-round", "edge_height_mm": 0.7},
    "oval": {"form": "oval", "rise_mm": 1.0},
    "bevelled": {"form": "bevelled", "bevel_mm": 1.1, "drop_mm": 0.6},
    "knife edge": {"form": "knife-edge", "drop_mm": 0.7},
    "knife edge, flat ridge": {"form": "knife-edge", "drop_mm": 0.7, "top_mm": 0.4},
    "knife edge, rounded": {"form": "knife-edge", "drop_mm": 0.7, "round_mm": 0.8},
    "concave": {"form": "concave", "dip_mm": 0.4},
    "concave, rims": {"form": "concave", "dip_mm": 0.4, "rim_mm": 0.7},
    "stepped": {"form": "stepped", "ledge_mm": 0.8, "drop_mm": 0.4},
    "rounded square": {"form": "rounded-square", "radius_mm": 0.9},
    "twin dome": {"form": "twin-dome", "rise_mm": 0.5},
    "free": {
        "form": "free",
        "points": [
            {"z_mm": -2.8, "rise_mm": 0.0},
            {"z_mm": -1.2, "rise_mm": 0.5, "bow_mm": 0.15},
            {"z_mm": -1.2, "rise_mm": 0.8},
            {"z_mm": 1.0, "rise_mm": 0.6},
            {"z_mm": 3.0, "rise_mm": 0.1, "bow_mm": -0.12},
        ],
    },
    "free, hollows up to steps": {
        "form": "free",
        "points": [
            {"z_mm": -2.5, "rise_mm": 0.0},
            {"z_mm": -1.5, "rise_mm": 0.5},
            {"z_mm": -1.5, "rise_mm": 0.7},
            {"z_mm": -1.2, "rise_mm": 0.4, "bow_mm": -0.02},
            {"z_mm": 0.0, "rise_mm": 0.4},
            {"z_mm": 0.4, "rise_mm": 0.7, "bow_mm": -0.04},
            {"z_mm": 0.4, "rise_mm": 0.5},
            {"z_mm": 3.0, "rise_mm": 0.3},
        ],
    },
}
"""Every form of the outside with ordinary measures on a band of 6 x 2.2 mm."""

BORES: dict[str, dict[str, Any]] = {
    "flat": {"form": "flat"},
    "domed": {"form": "domed", "rise_mm": 0.25},
    "eased": {"form": "eased", "radius_mm": 0.45},
}


def band(outside: str | dict[str, Any], inside: str | dict[str, Any] = "flat", **more: Any) -> Any:
    """A band of 6 x 2.2 mm on a bore of 17.35 unless told otherwise."""
    from pydantic import TypeAdapter

    from ringgeom.form.profiles import Inside, Outside

    asked_out = FORMS[outside] if isinstance(outside, str) else outside
    asked_in = BORES[inside] if isinstance(inside, str) else inside
    measures = {"inside_diameter_mm": 17.35, "width_mm": 6.0, "thickness_mm": 2.2} | more
    return RingForm(
        outside=TypeAdapter(Outside).validate_python(asked_out),
        inside=TypeAdapter(Inside).validate_python(asked_in),
        **measures,
    )


def arc(centre: Point, radius: float, start: float, end: float) -> Edge:
    """From one angle to another round a centre; angles from +z towards +r [rad]."""
    angles = (start, 0.5 * (start + end), end)
    a, b, c = ((centre[0] + radius * cos(t), centre[1] + radius * sin(t)) for t in angles)
    return a, b, c


def both(right: Sequence[Edge]) -> list[Edge]:
    """A right half, from mid-width outwards, and its mirror image; left to right."""
    left = [tuple((-z, r) for z, r in reversed(edge)) for edge in reversed(right)]
    return [*left, *right]


def bulge(start: Point, end: Point, bow: float) -> Edge:
    """A stretch whose middle lies off the straight by so much, to its left as it runs."""
    if not bow:
        return start, end
    z, r = end[0] - start[0], end[1] - start[1]
    long = hypot(z, r)
    middle = 0.5 * (start[0] + end[0]) - r / long * bow, 0.5 * (start[1] + end[1]) + z / long * bow
    return start, middle, end


def outside_edges(form: Asked) -> list[Edge]:
    """The outside, left to right; (z, r), unrounded."""
    half, crest = form.width_mm / 2, form.inside_diameter_mm / 2 + form.thickness_mm
    return _OUTSIDES[form.outside["form"]](form.outside, half, crest, form)


def bore_edges(form: Asked) -> list[Edge]:
    """The bore, left to right."""
    half, bore, asked = form.width_mm / 2, form.inside_diameter_mm / 2, form.inside
    rise = asked.get("rise_mm", 0.0)
    # a dome of a nanometre is flat: its circle is larger than numbers can tell from a line
    if asked["form"] == "domed" and rise > 1e-6:
        return [((-half, bore + rise), (0.0, bore), (half, bore + rise))]
    if asked["form"] == "eased":
        radius = asked["radius_mm"]
        corner = arc((half - radius, bore + radius), radius, -pi / 2, 0.0)
        return both([((0.0, bore), (half - radius, bore)), corner])
    return [((-half, bore), (half, bore))]


def _flat(asked: Any, half: float, crest: float, form: Asked) -> list[Edge]:
    return [((-half, crest), (half, crest))]


def _domed(asked: Any, half: float, crest: float, form: Asked) -> list[Edge]:
    edge = crest - asked["rise_mm"]
    return [((-half, edge), (0.0, crest), (half, edge))]


def _half_round(asked: Any, half: float, crest: float, form: Asked) -> list[Edge]:
    edge = bore_edges(form)[-1][-1][1] + asked["edge_height_mm"]
    return [((-half, edge), (0.0, crest), (half, edge))]


def _oval(asked: Any, half: float, crest: float, form: Asked) -> list[Edge]:
    rise = asked["rise_mm"]
    side = rise**2 / half  # the ellipse's own bend at its end
    centre = half - side, crest - rise
    # the middle arc, centred under the crest, touches the side arc from around it
    middle = brentq(lambda big: hypot(centre[0], centre[1] - crest + big) + side - big, rise, 1e4)
    lean = atan2(centre[1] - crest + middle, centre[0])
    top = arc((0.0, crest - middle), middle, pi / 2, lean)
    return both([top, arc(centre, side, lean, 0.0)])


def _bevelled(asked: Any, half: float, crest: float, form: Asked) -> list[Edge]:
    start = half - asked["bevel_mm"]
    return both(
        [((0.0, crest), (start, crest)), ((start, crest), (half, crest - asked["drop_mm"]))]
    )


def _knife_edge(asked: Any, half: float, crest: float, form: Asked) -> list[Edge]:
    edge, top, radius = (
        (half, crest - asked["drop_mm"]),
        asked.get("top_mm", 0.0) / 2,
        asked.get("round_mm", 0.0),
    )
    if not radius:
        flat = [((0.0, crest), (top, crest))] if top else []
        return both([*flat, ((top, crest), edge)])

    def touch(angle: float) -> Point:
        return radius * sin(angle), crest - radius * (1 - cos(angle))

    def over(angle: float) -> float:
        z, r = touch(angle)
        return r - tan(angle) * (half - z) - edge[1]

    angle = brentq(over, 0.0, min(atan2(asked["drop_mm"], half) + 0.5, pi / 2 - 1e-9))
    ridge = arc((0.0, crest - radius), radius, pi / 2, pi / 2 - angle)
    return both([ridge, (touch(angle), edge)])


def _concave(asked: Any, half: float, crest: float, form: Asked) -> list[Edge]:
    reach = half - asked.get("rim_mm", 0.0)
    hollow = (-reach, crest), (0.0, crest - asked["dip_mm"]), (reach, crest)
    if not asked.get("rim_mm"):
        return [hollow]
    return [((-half, crest), hollow[0]), hollow, (hollow[2], (half, crest))]


def _stepped(asked: Any, half: float, crest: float, form: Asked) -> list[Edge]:
    at, low = half - asked["ledge_mm"], crest - asked["drop_mm"]
    return both([((0.0, crest), (at, crest)), ((at, crest), (at, low)), ((at, low), (half, low))])


def _rounded_square(asked: Any, half: float, crest: float, form: Asked) -> list[Edge]:
    radius = asked["radius_mm"]
    corner = arc((half - radius, crest - radius), radius, pi / 2, 0.0)
    return both([((0.0, crest), (half - radius, crest)), corner])


def _twin_dome(asked: Any, half: float, crest: float, form: Asked) -> list[Edge]:
    low = crest - asked["rise_mm"]
    return both([((0.0, low), (half / 2, crest), (half, low))])


def _free(asked: Any, half: float, crest: float, form: Asked) -> list[Edge]:
    points = [(p["z_mm"], p["rise_mm"]) for p in asked["points"]]
    bows = [p.get("bow_mm", 0.0) for p in asked["points"]][1:]
    edges = [
        bulge(a, b, bow) for a, b, bow in zip(points, points[1:], bows, strict=False) if a != b
    ]
    if points[0][0] > -half:
        edges = [((-half, points[0][1]), points[0]), *edges]
    if points[-1][0] < half:
        edges = [*edges, (points[-1], (half, points[-1][1]))]
    top = max(_top(edge) for edge in edges)
    return [tuple((z, r - top + crest) for z, r in edge) for edge in edges]


def _top(edge: Edge) -> float:
    """The highest point of a straight edge or of an arc."""
    ends = edge[0][1], edge[-1][1]
    if is_line(edge):
        return max(ends)
    found = circle(edge)
    over = edge[0][0] < found.z < edge[-1][0] and edge[len(edge) // 2][1] > found.r
    return found.r + found.radius if over else max(ends)


_OUTSIDES: dict[str, Callable[[Any, float, float, Asked], list[Edge]]] = {
    "flat": _flat,
    "domed": _domed,
    "half-round": _half_round,
    "oval": _oval,
    "bevelled": _bevelled,
    "knife-edge": _knife_edge,
    "concave": _concave,
    "stepped": _stepped,
    "rounded-square": _rounded_square,
    "twin-dome": _twin_dome,
    "free": _free,
}


@dataclass(frozen=True)
class Circle:
    """The circle of an arc's three points, and the angles of its ends."""

    z: float
    r: float
    radius: float
    start: float
    turn: float


def is_line(edge: Edge) -> bool:
    """Whether an edge is straight, or an arc so short or flat that it is."""
    (ax, ay), (bx, by), (cx, cy) = edge[0], edge[len(edge) // 2], edge[-1]
    return len(edge) == 2 or abs((bx - ax) * (cy - ay) - (by - ay) * (cx - ax)) < 1e-15


def circle(edge: Edge) -> Circle:
    """Centre, radius, first angle and the turn from there."""
    (ax, ay), (bx, by), (cx, cy) = edge
    # from the first point, so that nothing of the ring's own size cancels
    bx, by, cx, cy = bx - ax, by - ay, cx - ax, cy - ay
    twice = 2 * (bx * cy - by * cx)
    x = (cy * (bx**2 + by**2) - by * (cx**2 + cy**2)) / twice
    y = (bx * (cx**2 + cy**2) - cx * (bx**2 + by**2)) / twice
    start, end = atan2(-y, -x), atan2(cy - y, cx - x)
    turn = (end - start) % (2 * pi) - (2 * pi if twice < 0 else 0.0)
    return Circle(ax + x, ay + y, sqrt(x * x + y * y), start, turn)


def sampled(edge: Edge, count: int) -> np.ndarray:
    """Points along an edge, ends included, shape (count, 2)."""
    if is_line(edge):
        return np.linspace(edge[0], edge[-1], count)
    found = circle(edge)
    t = found.start + found.turn * np.linspace(0, 1, count)
    return np.column_stack([found.z + found.radius * np.cos(t), found.r + found.radius * np.sin(t)])


def section_edges(form: Asked) -> list[Edge]:
    """The whole section, counter-clockwise in (z, r): along the bore, back over the outside."""
    low, high = bore_edges(form), outside_edges(form)
    back = [tuple(reversed(edge)) for edge in reversed(high)]
    return [*low, (low[-1][-1], high[-1][-1]), *back, (high[0][0], low[0][0])]


@dataclass(frozen=True)
class Measured:
    """Area [mm2], centroid (z, r) [mm], volume of the section turned once round [mm3]."""

    area: float
    z: float
    r: float
    volume: float


def measured(form: Asked) -> Measured:
    """By Green's theorem, in closed form along every line and arc."""
    area = static_r = static_z = 0.0
    for edge in section_edges(form):
        a, r, z = _line(edge) if is_line(edge) else _arc(edge)
        area, static_r, static_z = area + a, static_r + r, static_z + z
    return Measured(area, static_z / area, static_r / area, 2 * pi * static_r)


def _line(edge: Edge) -> tuple[float, float, float]:
    """Its shares of -int r dz, -int r^2/2 dz and -int z r dz."""
    (z0, r0), (z1, r1) = edge[0], edge[-1]
    dz = z1 - z0
    mixed = (2 * z0 * r0 + z0 * r1 + z1 * r0 + 2 * z1 * r1) / 6
    return -dz * (r0 + r1) / 2, -dz * (r0 * r0 + r0 * r1 + r1 * r1) / 6, -dz * mixed


def _arc(edge: Edge) -> tuple[float, float, float]:
    found = circle(edge)
    c, p, b, t0, t1 = found.z, found.r, found.radius, found.start, found.start + found.turn

    # z = c + b cos t, r = p + b sin t, dz = -b sin t dt
    def anti(t: float) -> tuple[float, float, float]:
        sn, cs = sin(t), cos(t)
        s1, s2 = -cs, 0.5 * (t - sn * cs)
        s3 = -cs + cs**3 / 3
        c1s1, c1s2 = 0.5 * sn * sn, sn**3 / 3
        return (
            b * (p * s1 + b * s2),
            0.5 * b * (p * p * s1 + 2 * p * b * s2 + b * b * s3),
            b * (c * p * s1 + c * b * s2 + b * p * c1s1 + b * b * c1s2),
        )

    low, high = anti(t0), anti(t1)
    return high[0] - low[0], high[1] - low[1], high[2] - low[2]
