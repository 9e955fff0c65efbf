"""Drawing files read: paths, units, transforms and styles, against two other libraries."""

from __future__ import annotations

import io
import warnings
from math import pi
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import svgelements
from engraving.svg_files import svg
from hypothesis import given, reject, settings
from hypothesis import strategies as st
from judging.checks import judged
from judging.programs import SVGELEMENTS, SVGPATHTOOLS
from shapely import Polygon
from svgpathtools import parse_path

from ringgeom.engraving.flat import extent_mm
from ringgeom.engraving.svg import drawn, read_drawing
from ringgeom.engraving.svg.path_data import runs
from ringgeom.engraving.svg.tree import Node
from ringgeom.errors import InputError

NODE = Node("path", 1, {})
number = st.integers(-400, 400).map(lambda n: n / 10)


@st.composite
def path_data(draw: st.DrawFn) -> str:
    """A path of any commands, its numbers written in any of the ways that are allowed."""
    words = [f"M{draw(number)},{draw(number)}"]
    for _ in range(draw(st.integers(1, 8))):
        command = draw(st.sampled_from("LlHhVvCcSsQqTtAaMmZz"))
        if command in "Zz":
            words.append(command)
            continue
        for repeat in range(draw(st.integers(1, 2))):
            if command in "Aa":
                given_ = [draw(st.integers(1, 40)), draw(st.integers(1, 40))]
                given_ += [draw(st.integers(-90, 90)), draw(st.sampled_from([0, 1]))]
                given_ += [draw(st.sampled_from([0, 1])), draw(number), draw(number)]
            else:
                takes = {"L": 2, "H": 1, "V": 1, "C": 6, "S": 4, "Q": 4, "T": 2, "M": 2}
                given_ = [draw(number) for _ in range(takes[command.upper()])]
            said = draw(st.sampled_from([" ", ",", " , "])).join(f"{n:g}" for n in given_)
            words.append(f"{command if repeat == 0 else ''} {said}")
    return " ".join(words)


@given(d=path_data())
@settings(max_examples=150, deadline=None)
def test_any_path_against_another_library(d: str) -> None:
    found = [stroke for run in runs(d, NODE, 1e-6) for stroke in run.strokes]
    try:
        referee = [one for one in parse_path(d) if _drawn(one)]
    except AssertionError:
        reject()  # it does not know that an arc back to its own start is left out
    at = 0
    for one in referee:
        kind = type(one).__name__
        if kind != "Arc":
            t = np.linspace(0, 1, 5)
            wanted = [(point.real, point.imag) for point in map(one.point, t)]
            got, why = found[at].at(t), "rounding of binary numbers of up to some hundreds"
            judged(SVGPATHTOOLS, "points of lines and curves [mm]", got, wanted, abs=1e-9, why=why)
            at += 1
            continue
        # an arc is some cubics; which lie on its ellipse is tested in test_arcs
        assert complex(*found[at].start) == pytest.approx(one.start, abs=1e-9)
        while complex(*found[at].end) != pytest.approx(one.end, abs=1e-9):
            at += 1
        at += 1
    assert at == len(found)


def _drawn(one: Any) -> bool:
    """Whether a segment of the referee has any size."""
    return one.start != one.end if type(one).__name__ == "Arc" else len({*one.bpoints()}) > 1


@pytest.mark.parametrize(
    ("d", "points"),
    [
        ("M1 2 3 4 5 6", [(1, 2), (3, 4), (5, 6)]),
        ("m1 2 3 4 5 6", [(1, 2), (4, 6), (9, 12)]),
        ("M0 0H5V5h-5v-2", [(0, 0), (5, 0), (5, 5), (0, 5), (0, 3)]),
        ("M.5.5 1.5-1.5e0", [(0.5, 0.5), (1.5, -1.5)]),
        ("M0 0a5 5 0 0110 0", [(0, 0), (10, 0)]),
    ],
)
def test_ways_of_writing(d: str, points: list[tuple[float, float]]) -> None:
    """By the grammar of SVG 2, section 9.3.9: repeats, signs and flags without spaces."""
    strokes = [stroke for run in runs(d, NODE, 1e-6) for stroke in run.strokes]
    assert strokes[0].start == points[0]
    assert strokes[-1].end == points[-1]
    if "a" not in d:
        assert [stroke.end for stroke in strokes] == points[1:]


@pytest.mark.parametrize(
    ("unit", "mm"),
    [("mm", 1), ("cm", 10), ("in", 25.4), ("pt", 25.4 / 72), ("pc", 25.4 / 6), ("px", 25.4 / 96),
     ("", 25.4 / 96), ("Q", 0.25)],
)  # fmt: skip
def test_units_of_the_page(unit: str, mm: float) -> None:
    """CSS Values and Units: absolute lengths."""
    found = drawn(svg('<rect x="1" y="1" width="2" height="2"/>', f"20{unit}", f"10{unit}"))
    assert found.shape.area_mm2 == pytest.approx(4 * mm**2, rel=1e-12)
    assert bool(found.notes) == (unit in ("", "px"))


@pytest.mark.parametrize(
    ("ratio", "extent"),
    [
        ("", (5, 15, 0, 10)),
        ("xMinYMid meet", (0, 10, 0, 10)),
        ("xMaxYMid", (10, 20, 0, 10)),
        ("none", (0, 20, 0, 10)),
        ("xMidYMax slice", (0, 20, 0, 20)),
        ("xMidYMin slice", (0, 20, -10, 10)),
    ],
)
def test_the_view_box_in_its_window(ratio: str, extent: tuple[float, ...]) -> None:
    """A square box in a window of 20 x 10 mm; worked out by SVG 2, section 8.2; y is upwards."""
    inside = '<rect width="5" height="5"/>'
    data = svg(inside, box=f'0 0 5 5" preserveAspectRatio="{ratio}' if ratio else "0 0 5 5")
    assert extent_mm(drawn(data).shape) == pytest.approx(extent, abs=1e-12)


moves = st.lists(
    st.one_of(
        st.tuples(number, number).map(lambda v: f"translate({v[0]} {v[1]})"),
        st.tuples(st.sampled_from([0.5, -1, 2]), st.sampled_from([0.5, 1, 3])).map(
            lambda v: f"scale({v[0]},{v[1]})"
        ),
        st.integers(-180, 180).map(lambda v: f"rotate({v})"),
        st.integers(-180, 180).map(lambda v: f"rotate({v}, 3 4)"),
        st.integers(-40, 40).map(lambda v: f"skewX({v})"),
        st.integers(-40, 40).map(lambda v: f"skewY({v})"),
        st.just("matrix(1 0.5 -0.5 1 2 3)"),
    ),
    max_size=3,
).map(" ".join)


@given(outer=moves, inner=moves, unit=st.sampled_from(["mm", "in", "px"]))
@settings(max_examples=60, deadline=None)
def test_nested_transforms_against_another_library(outer: str, inner: str, unit: str) -> None:
    """svgelements works in px, 96 to the inch, with y downwards."""
    inside = (
        f'<defs><g id="one"><path transform="{inner}" d="M0 0h3v1l-2 1z"/></g></defs>'
        f'<g transform="{outer}"><use href="#one" x="1" y="2"/></g>'
    )
    data = svg(inside, f"30{unit}", f"20{unit}", "-5 -5 60 40")
    try:
        found = drawn(data)
    except InputError:
        reject()  # moved further than a metre
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        tree = svgelements.SVG.parse(io.BytesIO(data), ppi=96, reify=True)
    path = next(one for one in tree.elements() if isinstance(one, svgelements.Path))
    corners = np.array([(p.x, p.y) for p in path.as_points()]) * 25.4 / 96
    high = {"mm": 20.0, "in": 20 * 25.4, "px": 20 * 25.4 / 96}[unit]
    corners[:, 1] = high - corners[:, 1]
    referee = Polygon(corners)
    why = "it takes 3.77953 px for a mm, which is 3e-6 short"
    area = found.shape.area_mm2
    assert area == pytest.approx(referee.area, rel=1e-5, abs=1e-9)
    x0, y0, x1, y1 = referee.bounds
    extent = extent_mm(found.shape)
    judged(
        SVGELEMENTS, "extent of nested drawings [mm]", extent, (x0, x1, y0, y1), abs=1e-3, why=why
    )


@pytest.mark.parametrize(
    ("inside", "area"),
    [
        ('<rect width="6" height="4"/>', 24),
        ('<rect width="6" height="4" rx="1"/>', 24 - (4 - pi)),
        ('<rect width="6" height="4" ry="9" rx="1"/>', 24 - (4 - pi) * 2),
        ('<circle cx="5" cy="5" r="2"/>', 4 * pi),
        ('<ellipse cx="5" cy="5" rx="2" ry="1"/>', 2 * pi),
        ('<ellipse cx="5" cy="5" rx="2"/>', 4 * pi),
        ('<polygon points="0,0 4,0 4,3"/>', 6),
        ('<polyline points="0,0 4,0 4,3 0,0"/>', 6),
        ('<path d="M0 0h4v4h-4zm1 1h2v2h-2z" fill-rule="evenodd"/>', 12),
        ('<path d="M0 0h4v4h-4zm1 1h2v2h-2z"/>', 16),
        ('<path d="M0 0h4v4h-4zm1 1v2h2v-2z"/>', 12),
        ('<g style="fill-rule: evenodd"><path d="M0 0h4v4h-4zm1 1h2v2h-2z"/></g>', 12),
        ('<rect width="4" height="4"/><rect x="1" y="1" width="2" height="2"/>', 16),
        ('<rect width="4" height="4"/><rect x="3.5" y="3.5" width="2" height="2"/>', 19.75),
        ('<rect width="4" height="4"/><rect x="4" y="1" width="2" height="2"/>', 20),
        ('<path d="M0 0h4v4h-4v-3.995"/>', 16),
        ('<symbol id="s" viewBox="0 0 2 2"><circle cx="1" cy="1" r="1"/></symbol>'
         '<use xlink:href="#s" width="6" height="4"/>', 4 * pi),
        ('<style>.no{display:none} #q{fill:none;stroke:red} rect.w{fill:#000}</style>'
         '<circle class="no" r="3"/><rect class="w" width="2" height="2"/>', 4),
        ('<g display="none"><circle r="1"/></g><rect width="1" height="1"/>', 1),
        ('<g visibility="hidden"><rect width="3" height="3"/>'
         '<rect width="1" height="1" visibility="visible"/></g>', 1),
    ],
)  # fmt: skip
def test_figures_have_their_area(inside: str, area: float) -> None:
    """Closed forms; cubics lie within 1e-6 mm of arcs of some 12 mm."""
    assert drawn(svg(inside)).shape.area_mm2 == pytest.approx(area, abs=2e-5)


def test_an_arc_without_a_radius_is_a_line() -> None:
    """SVG 2, section 9.5.1."""
    found = drawn(svg('<path d="M0 0A0 5 0 0 1 4 0A1e-300 5 0 0 1 4 3z"/>'))
    assert found.shape.area_mm2 == pytest.approx(6, abs=1e-12)


def test_where_a_figure_lies() -> None:
    """y runs upwards from the foot of the page: 2 mm below its top of 10 is 8."""
    found = drawn(svg('<rect x="1" y="2" width="3" height="1"/>'))
    assert extent_mm(found.shape) == pytest.approx((1, 4, 7, 8), abs=1e-12)


def test_lines_without_fill_are_kept_as_lines() -> None:
    found = drawn(
        svg(
            '<path fill="none" stroke="#000" d="M0 0L4 4M1 0c1 1 2 1 3 0"/>'
            '<line x2="3" y2="3" stroke="red"/><path fill="none" d="M0 0h9"/>'
        )
    )
    assert found.shape.loops == ()
    assert [len(line) for line in found.lines] == [1, 1, 1]
    assert found.lines[1][0].degree == 3


def test_touching_figures_are_said_to_be_straightened() -> None:
    found = drawn(svg('<rect width="4" height="4"/><rect x="4" width="2" height="4"/>'))
    assert not found.exact
    assert len(found.shape.loops) == 1
    assert any("0.1 um" in note for note in found.notes)


def test_a_file_from_a_drawing_program(tmp_path: Path) -> None:
    """Name spaces, metadata and settings of other programs are passed over."""
    path = tmp_path / "leaf.svg"
    path.write_bytes(
        b"""<?xml version="1.0" encoding="UTF-8" standalone="no"?>
<svg width="30mm" height="20mm" viewBox="0 0 30 20" version="1.1"
   xmlns:ink="http://example.org/ink" xmlns="http://www.w3.org/2000/svg">
  <ink:view ink:zoom="3"><ink:grid/></ink:view>
  <metadata><x xmlns="http://example.org/rdf">text <text>kept out</text></x></metadata>
  <defs/>
  <g ink:label="Layer 1" id="layer1" transform="translate(2,3)">
    <path style="fill:#1a1a1a;stroke:none;stroke-width:0.26;font-size:4px" id="p1"
       d="m 0,0 c 4,-3 8,-3 12,0 -4,3 -8,3 -12,0 z" />
  </g>
</svg>"""
    )
    found = read_drawing(path)
    # two humps: x = 12 t, height 9 t (1 - t); its integral over x is 12 x 9 / 6
    assert found.shape.area_mm2 == pytest.approx(2 * 18, rel=1e-12)
    assert found.notes == ()
