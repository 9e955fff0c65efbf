"""Every form of outside and bore against its second drawing, closed forms and shapely."""

from __future__ import annotations

from itertools import pairwise
from math import pi
from typing import Any

import numpy as np
import pytest
import shapely
from form import rings
from form.outlines import (
    BORES,
    FORMS,
    asked,
    band,
    bore_edges,
    is_line,
    measured,
    outside_edges,
    sampled,
    section_edges,
)
from hypothesis import given, settings
from hypothesis import strategies as st
from judging.checks import judged
from judging.programs import SHAPELY

from ringgeom.form.measure import build, extent
from ringgeom.form.pieces import Piece
from ringgeom.form.ring import Stock, ring
from ringgeom.form.ring_form import RingForm
from ringgeom.form.section import BODY
from ringgeom.form.solid import solids
from ringgeom.form.volume import volumes

BAND = Piece(BODY)
EXAMPLES = settings(max_examples=25, deadline=None, derandomize=True)
ROUNDING = 1e-12
"""Sums of a dozen terms of some hundred cubic millimetres, each to 1e-16 of itself."""


def polygon(form: RingForm, steps: int = 4000) -> shapely.Polygon:
    """The section drawn with many points: an arc's share is off by its chord, 1e-7 of it."""
    runs = [
        sampled(edge, 2 if is_line(edge) else steps)[:-1] for edge in section_edges(asked(form))
    ]
    return shapely.Polygon(np.concatenate(runs))


def cut(form: RingForm, stock: Stock | None = None, steps: int = 3000) -> shapely.Polygon:
    """The package's own section, sampled piece by piece between its stops."""
    laid = ring(form, [], stock or Stock())
    frame = laid.cast if stock else laid.finished
    lines = []
    for chain in (frame.bore, frame.outside):
        runs = []
        for curve, low, high in chain.pieces():
            z = 0.5 * (low + high) - 0.5 * (high - low) * np.cos(np.linspace(0, np.pi, steps))
            runs.append(np.column_stack([z, curve.r(z)]))
        lines.append(np.concatenate(runs))
    # neighbours end at one stop, one of them a rounding too far
    return shapely.Polygon(np.concatenate([lines[0], lines[1][::-1]])).buffer(0)


@pytest.mark.parametrize("inside", BORES)
@pytest.mark.parametrize("outside", FORMS)
def test_volume_area_and_centroid(outside: str, inside: str) -> None:
    """Derived: Green's theorem in closed form on a second drawing; and shapely on 4000 points."""
    form = band(outside, inside)
    laid, exact = ring(form, []), measured(asked(form))
    found = volumes(laid)
    assert list(found) == [BAND]
    assert found[BAND].by == "closed form"
    assert found[BAND].volume_mm3 == pytest.approx(exact.volume, rel=ROUNDING)
    built = build(laid, BAND, with_stock=False)
    # areas by a rule of 24 nodes a column, good to rounding where nothing ends upright
    assert built.area_mm2 == pytest.approx(exact.area, rel=1e-9)
    assert built.length_mm == pytest.approx(2 * pi * exact.r, rel=1e-9)
    plain = polygon(form)
    assert plain.is_valid
    assert exact.area == pytest.approx(plain.area, rel=1e-6)
    assert exact.r == pytest.approx(plain.centroid.y, rel=1e-6)
    assert exact.z == pytest.approx(plain.centroid.x, abs=1e-6)
    mine, theirs = found[BAND].volume_mm3, 2 * pi * plain.centroid.y * plain.area
    why = "its 4000 points are off by their chord, 1e-7"
    judged(SHAPELY, "volume of every form, after Pappus", mine, theirs, rel=1e-6, why=why)


@pytest.mark.parametrize("inside", BORES)
@pytest.mark.parametrize("outside", FORMS)
def test_every_point_lies_on_the_second_drawing(outside: str, inside: str) -> None:
    form = band(outside, inside)
    for chain, edges in zip(
        form.drawn, (outside_edges(asked(form)), bore_edges(asked(form))), strict=True
    ):
        for edge in edges:
            if edge[0][0] != edge[-1][0]:
                points = sampled(edge, 41)[1:-1]
                # an arc that ends upright loses half its digits at the very end
                assert chain.r(points[:, 0]) == pytest.approx(points[:, 1], abs=1e-9)


@pytest.mark.parametrize("inside", BORES)
@pytest.mark.parametrize("outside", FORMS)
def test_size_and_thickness_are_where_they_are_asked(outside: str, inside: str) -> None:
    """The bore is its smallest at mid-width; the crest lies the thickness above it."""
    form = band(outside, inside)
    face, bore = form.drawn
    assert bore.extremes_mm()[0] == form.inside_diameter_mm / 2
    assert float(bore.r(np.zeros(1))[0]) == form.inside_diameter_mm / 2
    assert face.extremes_mm()[1] == pytest.approx(form.band.crest_mm, abs=1e-14)
    mid = float(face.r(np.zeros(1))[0])
    assert mid == pytest.approx(form.band.mid_mm, abs=1e-14)
    assert form.mid_mm == pytest.approx(mid - form.band.bore_mm, abs=1e-14)
    at = form.outside.crest_z_mm(3.0)
    assert face.extremes_mm(at, at)[1] == pytest.approx(form.band.crest_mm, abs=1e-14)
    lowest = float(np.min(face.r(np.array([-3.0, 3.0]))))
    assert form.falls_mm[0] == pytest.approx(form.band.crest_mm - lowest, abs=1e-7)


@pytest.mark.parametrize("outside", FORMS)
def test_what_a_calliper_reads(outside: str) -> None:
    form = band(outside, "domed", edge_mm=0.15)
    found = extent(ring(form, []), BAND, with_stock=False)
    assert found.bore_mm == pytest.approx(form.inside_diameter_mm, abs=1e-12)
    assert found.width_mm == 6.0
    if not form.highest_at_edge:
        assert found.outside_mm == pytest.approx(2 * form.band.crest_mm, abs=1e-12)
        return
    # by Pythagoras: a circle of 0.15 at the edge, bend + 0.15 from the hollow's centre
    half, dip, edge = 3.0, 0.4, 0.15
    bend = (half**2 + dip**2) / (2 * dip)
    centre = np.sqrt((bend + edge) ** 2 - (half - edge) ** 2)
    top = form.band.crest_mm - dip + bend - centre + edge
    assert found.outside_mm == pytest.approx(2 * top, abs=1e-12)
    assert found.outside_mm < 2 * form.band.crest_mm - 0.05


@pytest.mark.parametrize("outside", ["concave", "concave, rims", "twin dome"])
def test_what_is_let_in_is_measured_from_the_outside_at_mid_width(outside: str) -> None:
    """A channel of 0.6 in a hollow is 0.6 deep at mid-width, whatever the crest."""
    form = band(outside)
    laid = ring(form, [rings.channel(width=0.6, depth=0.6)])
    floor = laid.claims[0].takes.floor_mm
    assert floor == pytest.approx(float(form.drawn[0].r(np.zeros(1))[0]) - 0.6, abs=1e-14)


ONE_STOCK = Stock(outside_mm=0.12, bore_mm=0.12, edge_mm=0.12)


@pytest.mark.parametrize("inside", BORES)
@pytest.mark.parametrize("outside", FORMS)
def test_stock_is_the_section_grown_square_to_every_face(outside: str, inside: str) -> None:
    """shapely grows the finished section by the same amount, its corners drawn out to a point.

    It draws them out straight, the program along the face's own arc; so corners are compared
    by the little that differs, and everything else closely.
    """
    form = band(outside, inside)
    # 300 points an arc: its chords are off by 1e-6; with many more the growing leaves arcs out
    grown = polygon(form, 300).buffer(0.12, join_style="mitre", mitre_limit=1000)
    mine = cut(form, ONE_STOCK)
    differs = mine.symmetric_difference(grown)
    # a sagitta of 0.12^2 / 2R over 0.12: below 1e-3 at the tightest arc of these, R = 0.8
    assert differs.area < 3e-3
    corners = shapely.MultiPoint([edge[0] for edge in section_edges(asked(form))]).buffer(0.3)
    assert differs.difference(corners).area < 1e-4


@pytest.mark.parametrize("outside", FORMS)
def test_every_face_keeps_its_own_stock(outside: str) -> None:
    """0.10 a polished face, 0.15 an edge face: as far from the finished face as that."""
    form = band(outside, "eased")
    finished, cast = polygon(form), cut(form, rings.STOCK)
    left, low, right, high = cast.bounds
    assert (left, right) == (pytest.approx(-3.15, abs=1e-9), pytest.approx(3.15, abs=1e-9))
    assert low == pytest.approx(form.band.bore_mm - 0.10, abs=1e-9)
    # the crest lies between two points of the drawing, and a ridge is drawn out to a point
    assert high >= form.band.crest_mm + 0.10 - 1e-6
    # from anywhere on the stock's surface it is a tenth of a millimetre to the metal, or more
    ring_line = cast.exterior
    points = [ring_line.interpolate(s, normalized=True) for s in np.linspace(0, 1, 400)]
    away = np.array([finished.distance(point) for point in points])
    assert away.min() > 0.10 - 1e-6
    # and no more than a corner's point is, but at the corners between two faces
    assert np.median(away) < 0.15 + 1e-6


@pytest.mark.parametrize("outside", FORMS)
def test_stock_larger_than_the_form_is_drawn_or_refused(outside: str) -> None:
    """2 mm of stock swallow every hollow: what is left is still a section around the finished."""
    form = band(outside, "flat")
    thick = Stock(outside_mm=2.0, bore_mm=0.5, edge_mm=2.0)
    mine = cut(form, thick)
    assert mine.buffer(1e-6).contains(polygon(form, 400))


@pytest.mark.parametrize("inside", BORES)
@pytest.mark.parametrize("outside", FORMS)
def test_rounded_edges_touch_both_faces(outside: str, inside: str) -> None:
    """Away from the corners nothing moves; each corner is tangent to face and edge face."""
    form = band(outside, inside, edge_mm=0.15)
    finished = ring(form, []).finished
    for chain, plain, side in zip(
        (finished.outside, finished.bore), form.drawn, (1, -1), strict=True
    ):
        z = np.linspace(-2.7, 2.7, 301)
        assert chain.r(z) == pytest.approx(plain.r(z), abs=1e-12)
        for curve, low, high in list(chain.pieces())[:: len(chain.curves) - 1]:
            end = low if low < 0 else high
            # level with the edge face where it meets it
            assert abs(curve.lean_at(end)) > 1e5
        for (one, _, stop), (two, _, _) in zip(
            list(chain.pieces())[:1] + list(chain.pieces())[-2:-1],
            list(chain.pieces())[1:2] + list(chain.pieces())[-1:],
            strict=True,
        ):
            assert one.lean_at(stop) == pytest.approx(two.lean_at(stop), abs=1e-9)
        fine = np.linspace(-3.0, 3.0, 2001)
        assert (side * (plain.r(fine) - chain.r(fine)) > -1e-9).all()


def hundredths(low: float, high: float) -> st.SearchStrategy[float]:
    return st.integers(round(low * 100), round(high * 100)).map(lambda n: n / 100)


@st.composite
def outsides(draw: st.DrawFn, form: str, half: float) -> dict[str, Any]:
    """Measures of one form that go with a band so wide and 2.4 mm thick."""
    keys: dict[str, Any] = {"form": form}
    if form == "domed":
        keys["rise_mm"] = draw(hundredths(0.0, min(1.6, half)))
    elif form == "half-round":
        keys["edge_height_mm"] = draw(hundredths(max(0.2, 2.4 - half), 2.1))
    elif form == "oval":
        keys["rise_mm"] = draw(hundredths((0.05 * half) ** 0.5 + 0.01, min(1.8, half)))
    elif form == "bevelled":
        keys |= {"bevel_mm": draw(hundredths(0.1, half - 0.1))}
        keys |= {"drop_mm": draw(hundredths(0.05, 1.8))}
    elif form == "knife-edge":
        keys["drop_mm"] = draw(hundredths(0.1, 1.8))
        key = draw(st.sampled_from(["top_mm", "round_mm"]))
        most = (
            2 * half - 0.1
            if key == "top_mm"
            else 0.9 * ((half**2 + keys["drop_mm"] ** 2) / (2 * keys["drop_mm"]))
        )
        keys[key] = draw(st.just(0.0) | hundredths(0.05, most))
    elif form == "concave":
        keys["rim_mm"] = draw(st.just(0.0) | hundredths(0.1, half - 0.5))
        keys["dip_mm"] = draw(hundredths(0.05, min(1.6, half - keys["rim_mm"])))
    elif form == "stepped":
        keys |= {"ledge_mm": draw(hundredths(0.1, half - 0.1))}
        keys |= {"drop_mm": draw(hundredths(0.05, 1.8))}
    elif form == "rounded-square":
        keys["radius_mm"] = draw(hundredths(0.1, min(1.8, half)))
    elif form == "twin-dome":
        keys["rise_mm"] = draw(hundredths(0.05, min(1.6, half / 2)))
    elif form == "free":
        count = draw(st.integers(2, 7))
        inner = draw(st.lists(hundredths(-half, half), min_size=count, max_size=count, unique=True))
        points = [{"z_mm": z, "rise_mm": draw(hundredths(0.0, 1.2))} for z in sorted(inner)]
        for before, after in pairwise(points):
            z, r = after["z_mm"] - before["z_mm"], after["rise_mm"] - before["rise_mm"]
            # bows of up to half of what would overhang
            chord = np.hypot(z, r)
            most = 0.5 * chord * np.tan((np.pi / 2 - abs(np.arctan2(r, z))) / 2)
            bow = round(draw(st.floats(-0.5, 0.5)) * float(most), 4)
            # flatter than a radius of 1000 mm it may be drawn straight
            after["bow_mm"] = bow if abs(bow) * 8000 > chord**2 else 0.0
        keys["points"] = points
    return keys


@pytest.mark.parametrize("form", sorted({one["form"] for one in FORMS.values()}))
@EXAMPLES
@given(data=st.data())
def test_any_measures(form: str, data: st.DataObject) -> None:
    """Any measures that fit: no misfit, the volume of the second drawing, growing with stock."""
    half = data.draw(hundredths(1.5, 5.0))
    made = band(
        data.draw(outsides(form, half)),
        "domed" if data.draw(st.booleans()) else "flat",
        width_mm=2 * half,
        thickness_mm=2.4,
        inside_diameter_mm=data.draw(hundredths(13, 22)),
    )
    if sum(made.falls_mm) > 2.39:
        return
    assert [
        list(f.misfits(face))
        for f, face in zip((made.outside, made.inside), made.faces, strict=True)
    ] == [[], []]
    laid = ring(made, [], rings.STOCK)
    exact = measured(asked(made))
    found = volumes(laid)[BAND].volume_mm3
    # a flat arc's bend, up to 2000 mm, cubed, is subtracted from itself
    assert found == pytest.approx(exact.volume, rel=1e-8)
    assert volumes(laid, with_stock=True)[BAND].volume_mm3 > found


HOLLOWS = {
    "steep, up to a step": [(-3, 0), (-1, 0), (0, 1.0, -0.292), (0, 0.2), (3, 0.2)],
    "less steep": [(-3, 0), (-1, 0), (-0.1, 0.75, -0.24), (-0.1, 0.2), (3, 0.2)],
    "on a ridge, tighter than the stock": [
        (-3, 0), (-0.09, 0), (-0.09, 0.5), (0.09, 0.5, -0.06), (0.09, 0), (3, 0),
    ],
    "on a ledge": [(-3, 0.3), (-2.85, 0.3, -0.06), (-2.85, 0), (3, 0)],
}  # fmt: skip
"""Outlines that were once cast wrongly: z, rise, bow of each point."""


@pytest.mark.parametrize("name", HOLLOWS)
def test_a_casting_holds_the_ring_and_stands_not_far_above_it(name: str) -> None:
    """At a step a hollow once ran up to metres of stock, or was left out, and lacked its metal."""
    keys = ("z_mm", "rise_mm", "bow_mm")
    points = [dict(zip(keys, point, strict=False)) for point in HOLLOWS[name]]
    made = band({"form": "free", "points": points}, thickness_mm=2.6)
    laid = ring(made, [], rings.STOCK)
    cast, finished = (laid.frame(with_stock=some).outside for some in (True, False))
    z = np.linspace(-3, 3, 4001)
    assert (cast.r(z) - finished.r(z)).min() > 0.1 - 1e-9
    assert cast.extremes_mm()[1] < finished.extremes_mm()[1] + 0.4 + 1e-9
    assert cut(made, rings.STOCK).contains(polygon(made, 100).buffer(-1e-6))
    drawn = solids(laid, with_stock=True)[BAND].volume_mm3()
    assert drawn == pytest.approx(volumes(laid, with_stock=True)[BAND].volume_mm3, rel=2e-3)


WRONG: dict[str, tuple[dict[str, Any], str, float]] = {
    "domed": ({"form": "domed", "rise_mm": 3.1}, "rise_mm", 3.0),
    "half-round, thick": ({"form": "half-round", "edge_height_mm": 2.3}, "edge_height_mm", 2.2),
    "oval, high": ({"form": "oval", "rise_mm": 3.1}, "rise_mm", 3.0),
    "oval, low": ({"form": "oval", "rise_mm": 0.2}, "rise_mm", 0.15**0.5),
    "bevelled": ({"form": "bevelled", "bevel_mm": 3.0, "drop_mm": 0.3}, "bevel_mm", 3.0),
    "knife edge, top": ({"form": "knife-edge", "drop_mm": 0.5, "top_mm": 6.0}, "top_mm", 6.0),
    # the circle through both edges: (9 + 0.25) / 1
    "knife edge, round": (
        {"form": "knife-edge", "drop_mm": 0.5, "round_mm": 9.3},
        "round_mm",
        9.25,
    ),
    "concave": ({"form": "concave", "dip_mm": 1.2, "rim_mm": 2.0}, "dip_mm", 1.0),
    "concave, rims": ({"form": "concave", "dip_mm": 0.2, "rim_mm": 3.0}, "rim_mm", 3.0),
    "stepped": ({"form": "stepped", "ledge_mm": 3.0, "drop_mm": 0.2}, "ledge_mm", 3.0),
    "rounded square": ({"form": "rounded-square", "radius_mm": 3.2}, "radius_mm", 3.0),
    "twin dome": ({"form": "twin-dome", "rise_mm": 1.6}, "rise_mm", 1.5),
    "free": (
        {"form": "free", "points": [{"z_mm": -3.2, "rise_mm": 0.0}, {"z_mm": 3.0, "rise_mm": 0.3}]},
        "points",
        3.0,
    ),
}


@pytest.mark.parametrize("name", WRONG)
def test_what_does_not_fit_is_said_with_its_limit(name: str) -> None:
    wrong, key, limit = WRONG[name]
    form = band(wrong)
    (one,) = form.outside.misfits(form.faces[0])
    assert one.key == key
    assert one.limit == pytest.approx(limit, abs=1e-12)
    assert one.fix
