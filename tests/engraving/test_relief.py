"""Metal that letters take: closed forms on cylinders, quadrature on domes, sums over parts."""

from __future__ import annotations

from math import pi
from typing import Any

import numpy as np
import pytest
from engraving.texts import engraving, made
from hypothesis import given, settings
from hypothesis import strategies as st

import ringgeom as rg
from ringgeom.engraving.asked import Lettering
from ringgeom.engraving.engraved import Engraved, engraved
from ringgeom.engraving.face import face
from ringgeom.engraving.relief import Relief, beds, removed_mm3
from ringgeom.engraving.row import row
from ringgeom.engraving.shape import Shape
from ringgeom.engraving.stroke import line
from ringgeom.form.clock import clock_angle, clock_words
from ringgeom.form.profiles import Domed, FlatFace, HalfRound
from ringgeom.form.ring import Ring, ring
from ringgeom.form.ring_form import RingForm

REED = """
[[part]]
name = "reed"
place = "channel"
alloy = "gold-750-green"
width_mm = 2.4
depth_mm = 0.8
gap_mm = 0.04
"""
PLANKS = """
[[part]]
name = "plank"
place = "segments"
alloys = ["silver-925", "gold-1000"]
count = 8
slant_deg = {slant}
gap_mm = 0.05
"""


def band(outside: Any = None, inside: Any = None) -> Ring:
    form = RingForm(
        inside_diameter_mm=17.0,
        width_mm=6.0,
        thickness_mm=2.0,
        outside=outside or FlatFace(),
        inside=inside or FlatFace(),
    )
    return ring(form, ())


def box(x: float, y: float, wide: float, high: float) -> Shape:
    corners = [(x, y), (x + wide, y), (x + wide, y + high), (x, y + high)]
    return Shape(
        (tuple(line(a, b) for a, b in zip(corners, corners[1:] + corners[:1], strict=True)),)
    )


def taken(made: Ring, side: Any, shape: Shape, **keys: Any) -> float:
    relief = Relief(
        **({"depth_mm": 0.2, "raised": False, "floor": "flat", "middle_mm": 0.0} | keys)
    )
    found = face(made, side)
    return sum(removed_mm3(found, list(beds(found, relief)), [shape]).values())


@given(
    wide=st.floats(0.1, 20),
    high=st.floats(0.1, 2),
    depth=st.floats(0.01, 0.5),
    raised=st.booleans(),
    floor=st.sampled_from(["flat", "following"]),
)
@settings(max_examples=40, deadline=None)
def test_a_box_on_a_cylinder(
    wide: float, high: float, depth: float, raised: bool, floor: str
) -> None:
    """Derived: a ring's sector, angle (R1^2 - R0^2) / 2 times height."""
    plain = band()
    for side, radius, out in (("outside", 10.5, 1), ("inside", 8.5, -1)):
        to = radius + (out if raised else -out) * depth
        volume = wide / radius * (to**2 - radius**2) / 2 * high * out
        found = taken(
            plain, side, box(-1, -0.5, wide, high), depth_mm=depth, raised=raised, floor=floor
        )
        assert found == pytest.approx(-volume, rel=1e-12)


def by_columns(made: Ring, side: Any, shape: Shape, relief: Relief) -> float:
    """The same by plain midpoint sums over a box, which is all the shape may be here."""
    x0, x1, y0, y1 = shape.bounds_mm
    found = face(made, side)
    z = y0 + (y1 - y0) * (np.arange(200_000) + 0.5) / 200_000
    r = found.r(z)
    flat = relief.flat_mm(found)
    to = r + relief.rise_mm(found) if flat is None else np.full_like(r, flat)
    cut = found.out * (r**2 - to**2) / 2
    cut = np.minimum(cut, 0) if relief.raised else np.maximum(cut, 0)
    return float(cut.mean() * (y1 - y0) * (x1 - x0) / found.radius_mm)


@pytest.mark.parametrize("side", ["outside", "inside"])
@pytest.mark.parametrize("raised", [False, True])
@pytest.mark.parametrize("floor", ["flat", "following"])
@pytest.mark.parametrize(
    "outside", [Domed(form="domed", rise_mm=0.5), HalfRound(form="half-round", edge_height_mm=0.4)]
)
def test_a_box_on_a_dome(side: str, raised: bool, floor: Any, outside: Any) -> None:
    """Against midpoint sums; a flat floor fades out where the dome falls below it."""
    plain = band(outside, Domed(form="domed", rise_mm=0.4))
    relief = Relief(depth_mm=0.1, raised=raised, floor=floor, middle_mm=0.4)
    shape = box(2.0, -1.9, 3.0, 4.2)
    deep = taken(plain, side, shape, depth_mm=0.1, raised=raised, floor=floor, middle_mm=0.4)
    assert deep == pytest.approx(by_columns(plain, side, shape, relief), rel=1e-8)
    assert (deep < 0) == raised


def test_thin_letters_take_their_area_times_the_depth() -> None:
    """To first order in depth over radius, whatever the text."""
    asked = Lettering(kind="lettering", text="Ag&ß", height_mm=1.5, depth_mm=1e-5)
    found = row(asked)
    (one,) = engraved(band(), [asked], [found])
    area = sum(shape.area_mm2 for shape in found.shapes)
    assert one.removed_mm3 == pytest.approx(area * 1e-5, rel=1e-6)


def sums(job: rg.Job) -> None:
    """Parts, gaps and what is engraved are the band, to 1e-6 mm3 and better."""
    whole = sum(volume.volume_mm3 for _, volume in job.volumes)
    gaps = sum(v.volume_mm3 for p, v in job.volumes if p.owner.kind not in ("part", "body"))
    assert job.volume_mm3 + gaps + sum(p.engraved_mm3 for p in job.parts) == pytest.approx(
        whole, abs=1e-9
    )


def lettered(job: rg.Job) -> Engraved:
    assert not job.stopped, job.findings
    return job.engraved[0]


@pytest.mark.parametrize("on", ["inside", "outside"])
@pytest.mark.parametrize("floor", ["flat", "following"])
def test_letters_over_an_inlay_are_shared_out(on: str, floor: str) -> None:
    """On a plain cylinder the shares of inlay, body and gap are those of the uncut text."""
    rest = engraving(on=on, floor=floor, centre_mm=1.0, depth_mm=0.1)
    job, plain = made(REED + rest), made(rest)
    sums(job)
    sums(plain)
    whole = lettered(plain).removed_mm3
    shares = {part.name: part.engraved_mm3 for part in job.parts}
    if on == "inside":
        assert shares["reed"] == 0
        assert shares["body"] == pytest.approx(whole, rel=1e-12)
        return
    assert min(shares.values()) > 0.1 * whole
    # what lies over the gap, 0.04 mm of 1.5, is nobody's metal
    assert 0.95 * whole < sum(shares.values()) < whole
    assert "letters-over-joint" in {f.code for f in job.findings}


@pytest.mark.parametrize("slant", [0.0, 20.0])
def test_letters_over_planks_are_shared_out(slant: float) -> None:
    """Every plank's share by clipping polygons along its joints, by shapely."""
    from shapely.geometry import Polygon
    from shapely.ops import unary_union

    job = made(
        PLANKS.format(slant=slant) + engraving(on="outside", text="HHHHHHHHHHHHHHH", font="sans")
    )
    sums(job)
    one = lettered(job)
    side = one.face
    letters = unary_union([Polygon(s.polylines(1e-4)[0]) for s in one.copies[0]])
    depth = (side.radius_mm**2 - (side.radius_mm - 0.15) ** 2) / 2 / side.radius_mm
    lean = side.radius_mm * side.ring.twist
    found = {piece.sector: volume for piece, volume in one.removed}
    assert len(found) >= 3
    for number in range(8):
        start, end = (side.radius_mm * a for a in side.ring.ends(one.removed[0][0].owner, number))
        area = 0.0
        for shift in (-side.around_mm, 0.0):
            corners = [(start, -3), (end, -3), (end, 3), (start, 3)]
            plank = Polygon([(x + shift + lean * y, y) for x, y in corners])
            area += letters.intersection(plank).area
        # straight letters are exact as polygons
        assert found.get(number, 0.0) == pytest.approx(area * depth, abs=1e-9)


def test_repeats_and_places_do_not_change_what_is_taken() -> None:
    once = lettered(made(engraving()))
    for keys in ({"at": "7:20"}, {"at": -400.0}, {"mirrored": True}):
        assert lettered(made(engraving(**keys))).removed_mm3 == pytest.approx(
            once.removed_mm3, rel=1e-12
        )
    thrice = lettered(made(engraving(repeat=3)))
    assert thrice.removed_mm3 == pytest.approx(3 * once.removed_mm3, rel=1e-12)
    assert len(thrice.copies) == 3


def test_the_casting_keeps_its_metal_unless_it_is_cast_in() -> None:
    plain, cut = made(), made(engraving())
    cast = made(engraving(made="cast"))
    proud = made(engraving(raised=True, height_mm=2.5))
    (a,), (b,), (c,), (d,) = (job.parts for job in (plain, cut, cast, proud))
    assert a.cast_mm3 == b.cast_mm3
    assert a.volume_mm3 > b.volume_mm3 == pytest.approx(c.volume_mm3, rel=1e-12)
    # under the 0.1 mm of stock in the bore the letters are 0.25 mm deep in the wax
    (one,) = cast.engraved
    ratio = dict(one.cast_removed)[c.cast_piece] / c.engraved_mm3
    assert ratio == pytest.approx(0.25 / 0.15, rel=0.01)
    assert a.cast_mm3 - c.cast_mm3 == pytest.approx(ratio * c.engraved_mm3, rel=1e-9)
    assert d.volume_mm3 > a.volume_mm3
    # raised inside, they are not on the outside; there they stand over it
    assert proud.engraved[0].top_mm == 0
    over = made(engraving(raised=True, height_mm=2.5, on="outside", depth_mm=0.3))
    assert 2 * over.engraved[0].top_mm == pytest.approx(plain.outside_diameter_mm + 0.6, abs=1e-9)
    assert d.cast_mm3 > a.cast_mm3


def test_inside_reads_upright_to_who_looks_in() -> None:
    """Seen from without, text in the bore is mirrored; the outside's is not."""
    inner, outer = (
        lettered(made(engraving(text="LO", on=on))).copies[0] for on in ("inside", "outside")
    )

    def middles(copy: tuple[Shape, ...]) -> list[float]:
        return [sum(shape.bounds_mm[:2]) / 2 for shape in copy]

    assert middles(outer)[0] < middles(outer)[1]
    assert middles(inner)[0] > middles(inner)[1]
    # the L stands on its foot on both: more of it lies below than above
    for copy in (inner, outer):
        weight = copy[0].integral(lambda y: 0.5 * y * y) / copy[0].area_mm2
        assert weight < 0


@pytest.mark.parametrize(
    ("at", "turns"), [("12:00", 0.0), ("0:00", 0.0), ("3:00", 0.25), ("9:30", 9.5 / 12), (90, 0.25)]
)
def test_the_clock(at: Any, turns: float) -> None:
    assert clock_angle(at) == pytest.approx(2 * pi * turns, abs=1e-15)
    assert clock_angle(clock_words(2 * pi * turns)) == pytest.approx(2 * pi * turns, abs=1e-12)
