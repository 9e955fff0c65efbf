"""A band that tapers: its volume by other integrals, its section by the same band all round."""

from __future__ import annotations

from functools import partial
from itertools import pairwise
from math import cos, pi, tau
from typing import Any

import numpy as np
import pytest
import trimesh
from hypothesis import given, settings
from hypothesis import strategies as st
from manifold3d import Manifold, Mesh64
from scipy.integrate import dblquad, quad

from ringgeom.errors import ShapeError
from ringgeom.form.contacts import contacts
from ringgeom.form.measure import extent
from ringgeom.form.places import AnyPlace, Channel, Edges, Liner, Segments, Stripe
from ringgeom.form.profiles import Domed, FlatFace
from ringgeom.form.ring import Stock, ring
from ringgeom.form.ring_form import RingForm
from ringgeom.form.section import BODY, Owner
from ringgeom.form.solid import solids
from ringgeom.form.taper import Eased, Taper
from ringgeom.form.volume import volumes

ALLOY = "Au 75 Ag 25"
STOCK = Stock(outside_mm=0.1, bore_mm=0.08, edge_mm=0.15)
FLAT = FlatFace()
HALF = Taper(width=Eased((0.0, pi), (6.0, 4.0)), thickness=Eased((0.0, pi), (2.2, 1.6)))
LOPSIDED = Taper(
    width=Eased((0.0, 1.0, 4.0), (6.0, 5.5, 3.6)), thickness=Eased((0.0, 2.5), (2.2, 1.7))
)


def form(taper: Taper | None, **other: Any) -> RingForm:
    measures = {"inside_diameter_mm": 17.0, "width_mm": 6.0, "thickness_mm": 2.2}
    return RingForm(**{**measures, "outside": FLAT, "inside": FLAT, "taper": taper, **other})


def channel(**keys: Any) -> Channel:
    asked = {"name": "reed", "place": "channel", "alloy": ALLOY, "width_mm": 2.0, "depth_mm": 0.9}
    return Channel.model_validate({**asked, **keys})


def eased(eased: Eased, angle: float) -> float:
    """The same measure from the words of its docstring alone."""
    angle %= tau
    stations = [*zip(eased.angles, eased.values, strict=True), (tau, eased.values[0])]
    for (start, a), (end, b) in pairwise(stations):
        if start <= angle <= end:
            return a + (b - a) * (1 - cos(pi * (angle - start) / (end - start))) / 2
    raise AssertionError


@pytest.mark.parametrize("taper", [HALF, LOPSIDED], ids=["half", "lopsided"])
def test_plain_band_by_an_integral_of_its_own(taper: Taper) -> None:
    """Derived: w (b t + t^2 / 2) over the angle, by scipy's quadrature of other code's measures."""

    def slice_mm3(angle: float) -> float:
        wide, thick = eased(taper.width, angle), eased(taper.thickness, angle)
        return wide * (8.5 * thick + thick**2 / 2)

    exact = sum(
        quad(slice_mm3, a, b, epsabs=1e-11)[0]
        for a, b in zip(taper.angles, (*taper.angles[1:], tau), strict=True)
    )
    found = volumes(ring(form(taper), ()))
    ((_, volume),) = found.items()
    assert volume.volume_mm3 == pytest.approx(exact, rel=1e-12)


def test_domed_band_with_an_inlay_by_scipy() -> None:
    """Derived: the outside is the circle through crest and edges, each as high as its share."""
    found = volumes(ring(form(HALF, outside=Domed(form="domed", rise_mm=0.44)), [channel()]))

    def top(angle: float, z: float) -> float:
        wide, thick = eased(HALF.width, angle), eased(HALF.thickness, angle)
        rise, half = 0.44 * thick / 2.2, wide / 2
        bend = (half**2 + rise**2) / (2 * rise)
        return 8.5 + thick - bend + (bend**2 - z**2) ** 0.5

    def half_r2(z: float, angle: float) -> float:
        floor = 8.5 + 1.3 * eased(HALF.thickness, angle) / 2.2
        return (top(angle, z) ** 2 - floor**2) / 2

    exact, _ = dblquad(
        half_r2,
        0.0,
        pi,
        lambda angle: -eased(HALF.width, angle) / 6,
        lambda angle: eased(HALF.width, angle) / 6,
        epsabs=1e-10,
    )
    (part,) = [v for piece, v in found.items() if piece.owner == Owner("part", 0)]
    assert part.volume_mm3 == pytest.approx(2 * exact, rel=1e-10)


PLACES: dict[str, list[AnyPlace]] = {
    "inlay": [channel(gap_mm=0.05)],
    "undercut": [channel(gap_mm=0.05, undercut_mm=0.15, centre_mm=0.4)],
    "step": [channel(centre_mm=2.0, gap_mm={"side": 0.05, "floor": 0.03})],
    "waving": [channel(width_mm=1.4, wave={"amplitude_mm": 0.5, "count": 3}, gap_mm=0.04)],
    "liner and edges": [
        Liner(name="in", place="liner", alloy=ALLOY, thickness_mm=0.7, gap_mm=0.03),
        Edges(name="rails", place="edges", alloy=ALLOY, width_mm=1.2),
    ],
    "crossing": [
        channel(width_mm=1.0, depth_mm=0.7, wave={"amplitude_mm": 0.8, "count": 3}, gap_mm=0.05),
        Stripe(name="left", place="stripe", alloy=ALLOY, from_mm=-3.0, to_mm=0.2),
    ],
    "segments": [
        Segments(
            name="field", place="segments", alloys=(ALLOY,), count=5, depth_mm=0.8, gap_mm=0.05
        )
    ],
    "pressed": [channel(gap_mm=-0.02)],
}


@pytest.mark.parametrize("name", PLACES)
@pytest.mark.parametrize("taper", [HALF, LOPSIDED], ids=["half", "lopsided"])
def test_parts_and_gaps_are_the_band(name: str, taper: Taper) -> None:
    made = form(taper, outside=Domed(form="domed", rise_mm=0.3), edge_mm=0.25)
    laid, plain = ring(made, PLACES[name], STOCK), ring(made, (), STOCK)
    for with_stock in (False, True):
        parts, band = (
            sum(v.volume_mm3 for v in volumes(one, with_stock=with_stock).values())
            for one in (laid, plain)
        )
        assert parts == pytest.approx(band, abs=1e-6)


@pytest.mark.parametrize("name", PLACES)
def test_solids_are_closed_as_large_and_apart(name: str) -> None:
    """Judges: trimesh after a reading back in 32-bit numbers, manifold3d for what overlaps."""
    made = form(LOPSIDED, outside=Domed(form="domed", rise_mm=0.3), edge_mm=0.25)
    laid = ring(made, PLACES[name], STOCK)
    exact = volumes(laid)
    found = solids(laid)
    assert set(found) == {piece for piece in exact if piece.owner.kind in ("part", "body")}
    whole = []
    for piece, mesh in found.items():
        read = trimesh.Trimesh(mesh.vertices.astype("f4").astype(float), mesh.faces)
        assert read.is_watertight
        assert read.is_winding_consistent
        # facets lie within 0.005 mm of a surface, outside and floors on the same side of it
        assert abs(read.volume - exact[piece].volume_mm3) < 0.005 * read.area
        assert read.volume == pytest.approx(exact[piece].volume_mm3, rel=4e-3)
        whole.append(
            Manifold(Mesh64(vert_properties=mesh.vertices, tri_verts=mesh.faces.astype("u8")))
        )
    pressed = name == "pressed"
    for n, one in enumerate(whole):
        for other in whole[:n]:
            assert pressed or (one ^ other).volume() < 1e-4


@pytest.mark.parametrize("name", [name for name in PLACES if name != "segments"])
@pytest.mark.parametrize("angle", [0.0, 1.3, 2.5, pi, 5.0])
def test_a_section_is_that_of_the_same_band_all_round(name: str, angle: float) -> None:
    """At every angle: width and thickness of there, places with their share, gaps as asked."""
    made = form(LOPSIDED, outside=Domed(form="domed", rise_mm=0.3), edge_mm=0.25)
    laid = ring(made, PLACES[name])
    wide, thick = eased(LOPSIDED.width, angle), eased(LOPSIDED.thickness, angle)
    # drawn together with other angles, as for the volumes
    angles = np.array([0.1, angle, 4.4])
    ((section, column),) = [
        (s, int(np.flatnonzero(which == 1)[0])) for which, s in laid.sections(angles) if 1 in which
    ]
    at = section.cuts[:, column]
    assert np.ptp(at) == pytest.approx(wide, abs=1e-9)
    gaps = [cell for cell in section.cells if cell.owners[0].kind == "gap"]
    columns = {cell.column for cell in gaps}
    moment = sum(np.broadcast_to(section.moment(c), angles.shape)[column] for c in section.cells)
    local = form(
        None,
        width_mm=wide,
        thickness_mm=thick,
        outside=Domed(form="domed", rise_mm=0.3 * thick / 2.2),
        edge_mm=0.25,
    )
    ((_, band),) = ring(local, ()).sections(np.zeros(1))
    doubled = sum(
        np.broadcast_to(section.moment(c), angles.shape)[column] * (len(c.owners) - 1)
        for c in section.cells
    )
    assert moment == pytest.approx(sum(float(band.moment(c)[0]) for c in band.cells), rel=1e-9)
    assert doubled >= 0.0
    assert bool(columns) == (name != "pressed")


def test_a_gap_keeps_its_width_where_the_band_narrows() -> None:
    laid = ring(form(HALF), [channel(gap_mm={"side": 0.06, "floor": 0.04})])
    for angle in (0.0, 1.0, pi):
        ((_, section),) = laid.sections(np.array([angle]))
        walls = [c for c in section.cells if c.owners == (Owner("gap", 0),)]
        wide, thick = HALF.at(angle)
        beside = [c for c in walls if section.ends_r(c.high, c.column)[0] > 8.5 + 0.99 * thick]
        assert len(beside) == 2
        for cell in beside:
            low, high = section.cuts[cell.column, 0], section.cuts[cell.column + 1, 0]
            assert high - low == pytest.approx(0.06, abs=1e-12)
        under = [c for c in walls if c not in beside]
        for cell in under:
            low, high = (section.ends_r(c, cell.column)[0] for c in (cell.low, cell.high))
            assert high - low == pytest.approx(0.04, abs=1e-12)
            assert low == pytest.approx(8.5 + 1.3 * thick / 2.2, abs=1e-12)
        outer = max(abs(float(section.cuts[c.column, 0])) for c in beside)
        assert outer == pytest.approx(wide / 6, abs=1e-9)


def test_the_bore_is_the_finger_all_round() -> None:
    laid = ring(form(LOPSIDED, inside=Domed(form="domed", rise_mm=0.2)), [channel(gap_mm=0.05)])
    (body,) = [piece for piece in volumes(laid) if piece.owner == BODY]
    found = extent(laid, body, with_stock=False)
    assert found.bore_mm == pytest.approx(17.0, abs=1e-12)
    assert found.outside_mm == pytest.approx(17.0 + 2 * 2.2, abs=1e-12)
    assert found.width_mm == pytest.approx(6.0, abs=1e-12)


def test_faces_that_meet_by_scipy() -> None:
    """Derived: a wall's area is its height times the way along it, floor's over width and turn."""
    laid = ring(form(HALF), [channel(gap_mm=0.05)])
    found = {(one.kind, one.side): one.area_mm2 for one in contacts(laid)}

    def floor(angle: float) -> float:
        radius = 8.5 + 1.3 * HALF.thickness.at(angle) / 2.2
        return radius * HALF.width.at(angle) / 3

    exact = 2 * quad(floor, 0.0, pi)[0]
    # the lean that the taper gives the floor is left out: under a thousandth
    assert found["floor", 0] == pytest.approx(exact, rel=1e-9)

    def wall(r: float, angle: float) -> float:
        step = 1e-5
        slope = (HALF.width.at(angle + step) - HALF.width.at(angle - step)) / (2 * step) / 6
        return float(np.hypot(r, slope))

    area, _ = dblquad(
        wall,
        0.0,
        pi,
        lambda angle: 8.5 + 1.3 * HALF.thickness.at(angle) / 2.2,
        lambda angle: 8.5 + HALF.thickness.at(angle),
    )
    for side in (-1, 1):
        assert found["wall", side] == pytest.approx(2 * area, rel=1e-6)


@settings(max_examples=25, deadline=None)
@given(data=st.data())
def test_any_taper(data: st.DataObject) -> None:
    """Parts and gaps make the band, whatever it tapers to; even stations are no taper."""
    count = data.draw(st.integers(1, 4))
    angles = sorted(data.draw(st.sets(st.integers(5, 355), min_size=count, max_size=count)))
    widths = [data.draw(st.integers(300, 600)) / 100 for _ in angles]
    thicks = [data.draw(st.integers(150, 220)) / 100 for _ in angles]
    turns = (0.0, *(angle * pi / 180 for angle in angles))
    taper = Taper(width=Eased(turns, (6.0, *widths)), thickness=Eased(turns, (2.2, *thicks)))
    rise = data.draw(st.sampled_from([0.0, 0.2, 0.5]))
    inner = data.draw(st.sampled_from([0.0, 0.2]))
    made = form(
        taper,
        outside=Domed(form="domed", rise_mm=rise),
        inside=Domed(form="domed", rise_mm=inner),
        edge_mm=data.draw(st.sampled_from([0.0, 0.2])),
    )
    places = PLACES[data.draw(st.sampled_from(["inlay", "undercut", "step", "liner and edges"]))]
    parts = sum(v.volume_mm3 for v in volumes(ring(made, places)).values())
    band = sum(v.volume_mm3 for v in volumes(ring(made, ())).values())
    assert parts == pytest.approx(band, abs=1e-6)
    least, most = (
        sum(v.volume_mm3 for v in volumes(ring(made.of(*size), ())).values())
        for size in ((min(widths), min(thicks)), (6.0, 2.2))
    )
    assert least - 1e-9 <= band <= most + 1e-9


def test_slanted_joints_are_refused() -> None:
    slanted = Segments(name="field", place="segments", alloys=(ALLOY,), count=5, slant_deg=20.0)
    with pytest.raises(ShapeError, match="tapers"):
        ring(form(HALF), [slanted])


def test_what_does_not_fit_says_where() -> None:
    """Edges of 0.9 mm fit a band 2.2 mm thick, and not where it is 1.6."""
    laid = ring(form(HALF, edge_mm=0.9), ())
    with pytest.raises(ShapeError, match=r"where the band is 4 x 1.6 mm"):
        laid.at(pi)


@pytest.mark.parametrize("taper", [HALF, LOPSIDED], ids=["half", "lopsided"])
def test_its_integral_and_its_slope(taper: Taper) -> None:
    """By scipy's quadrature and a central difference."""
    for one in (taper.width, taper.thickness):
        for end in (0.7, 3.0, tau):
            stops = sorted({0.0, end, *(a for a in one.angles if a < end)})
            exact = sum(quad(partial(eased, one), a, b)[0] for a, b in pairwise(stops))
            assert one.round_to(end) == pytest.approx(exact, abs=1e-10)
        for angle in (0.3, 2.0, 5.0):
            step = 1e-6
            slope = (eased(one, angle + step) - eased(one, angle - step)) / (2 * step)
            assert one.slope(angle) == pytest.approx(slope, abs=1e-7)
            assert abs(slope) <= one.steepest[0] + 1e-9
