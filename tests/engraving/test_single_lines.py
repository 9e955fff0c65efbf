"""Letters and drawings of single lines: ground of a round tool, spacing, files, refusals."""

from __future__ import annotations

from io import StringIO
from itertools import pairwise, product
from math import pi
from pathlib import Path
from string import ascii_letters, digits
from typing import Any

import ezdxf
import numpy as np
import pytest
from engraving import drawn
from engraving.drawn import job_in, motif
from engraving.test_solid import closed
from engraving.texts import engraving, made
from shapely import LineString, MultiLineString, Point
from shapely.affinity import translate

import ringgeom as rg
from ringgeom.drawing.laser import Unwound, unwound
from ringgeom.engraving.alphabet import ABOVE, BELOW, LETTERS
from ringgeom.engraving.arcs import arc
from ringgeom.engraving.asked import Lettering
from ringgeom.engraving.flat import polygon_of
from ringgeom.engraving.graved import Line, graved, points_along
from ringgeom.engraving.row import row
from ringgeom.engraving.single_line import set_lines
from ringgeom.engraving.solid import lettered
from ringgeom.engraving.stroke import line
from ringgeom.errors import InputError
from ringgeom.findings.finding import Finding
from ringgeom.form.solid import solids
from ringgeom.output.laser_files import laser_dxf

CHORD_MM = 0.005
WEST_EUROPE = "".join(chr(n) for n in range(0xC0, 0x100))
"""Letters of Latin-1; multiplication and division signs are among them."""


def asked(text: str, **keys: Any) -> Lettering:
    return Lettering(kind="lettering", text=text, **({"height_mm": 1.5, "font": "line"} | keys))


def ends(one: Line) -> tuple[tuple[float, float], tuple[float, float]]:
    return one[0].start, one[-1].end


def found(job: rg.Job, code: str) -> list[Finding]:
    return [one for one in job.findings if one.code == code]


def scored(one: Unwound) -> list[Any]:
    """Open polylines of the layer to follow, as ezdxf reads them."""
    document = ezdxf.read(StringIO(laser_dxf(one, "Trial").decode()))
    assert not document.audit().errors
    return [e for e in document.modelspace() if e.dxf.layer == "score"]


CORNER = (line((0, 0), (3, 0)), line((3, 0), (3, 2)))
ROUND = arc((1, 1), (0.8, 0.8), 0.0, 2 * pi)


@pytest.mark.parametrize(
    ("lines", "area"),
    [
        # a straight line: a rectangle and a disc (Steiner)
        ([(line((1, 2), (4, 6)),)], lambda h: 5 * 2 * h + pi * h**2),
        # a corner: both rectangles share a square inside, a quarter disc joins them outside
        ([CORNER], lambda h: 5 * 2 * h + pi * h**2 + (pi / 4 - 1) * h**2),
        # a circle: a ring between two circles
        ([ROUND], lambda h: 2 * pi * 0.8 * 2 * h),
        # a cross: the square in its middle is cut once
        (
            [(line((0, 0), (4, 0)),), (line((2, -2), (2, 2)),)],
            lambda h: 2 * (4 * 2 * h + pi * h**2) - 4 * h**2,
        ),
    ],
    ids=["straight", "corner", "circle", "cross"],
)
@pytest.mark.parametrize("width", [0.04, 0.2, 0.6])
def test_the_ground_of_a_round_tool(lines: list[Line], area: Any, width: float) -> None:
    """Derived areas; bends lose 0.1 um of their outline at most, ends a 24th of a quarter turn."""
    shape = graved(lines, width)
    assert shape.area_mm2 == pytest.approx(area(width / 2), rel=3e-4)
    assert shape.area_mm2 <= area(width / 2) + 1e-9


def test_straight_lines_have_straight_sides() -> None:
    shape = graved([(line((0, 0), (5, 0)),)], 0.3)
    assert shape.bounds_mm[2:] == pytest.approx((-0.15, 0.15), abs=1e-12)


def test_a_letter_takes_its_ground_times_its_depth() -> None:
    """I in the outside of a flat band: (half of R^2 - (R - d)^2, over R) times its ground."""
    job = made(engraving(text="I", font="line", height_mm=2.0, line_mm=0.2, on="outside"))
    (one,) = job.engraved
    r, d = one.face.radius_mm, 0.15
    ground = 1.8 * 0.2 + pi * 0.1**2
    assert one.removed_mm3 == pytest.approx(ground * d * (1 - d / (2 * r)), rel=1e-4)


@pytest.mark.parametrize(
    "keys",
    [
        {"on": "inside"},
        {"on": "outside", "raised": True},
        {"on": "outside", "floor": "flat", "text": "&8ß"},
        {"on": "inside", "made": "cast", "line_mm": 0.35, "height_mm": 2.0},
    ],
    ids=["bore", "raised", "flat floor", "cast"],
)
def test_solids_are_closed(keys: dict[str, Any]) -> None:
    """Grooves as solids; `lettered` itself holds them against the exact volume."""
    job = made(engraving(**({"text": "Rgé", "font": "line", "line_mm": 0.2} | keys)))
    assert not job.stopped, job.findings
    plain = solids(job.ring, chord_mm=CHORD_MM)
    for mesh in lettered(plain, job.engraved, chord_mm=CHORD_MM).values():
        closed(mesh)


def test_capitals_are_as_high_as_asked_with_their_cut() -> None:
    for width in (0.1, 0.3):
        low, high = row(asked("HE", line_mm=width)).bounds_mm[2:]
        assert (low, high) == pytest.approx((-0.75, 0.75), abs=1e-9)


def test_length_is_asked_for() -> None:
    set_to = row(asked("ROBIN", fit_mm=14.0))
    assert set_to.length_mm == 14.0
    low, high = set_to.bounds_mm[:2]
    # ends are half discs, drawn with straight pieces
    assert (low, high) == pytest.approx((-7.0, 7.0), abs=2e-4)


@pytest.mark.parametrize("letter", sorted(LETTERS))
def test_every_letter_is_lines_that_join(letter: str) -> None:
    (one,) = set_lines(letter)
    for drawn_line in one.glyph.lines:
        for before, after in pairwise(drawn_line):
            assert before.end == pytest.approx(after.start, abs=1e-9)
    points = np.vstack([points_along(a, 0.01) for a in one.glyph.lines])
    assert points[:, 1].min() >= -3.4 - 1e-9
    assert points[:, 1].max() <= 11


def test_letters_of_western_europe_are_there() -> None:
    assert row(asked(WEST_EUROPE.replace("÷", ""))).lines
    assert row(asked("ĄąĆćĘęŁłŃńŚśŹźŻż ČčŘřŠšŮůŽž ŐőŰű Ğğİı Șș Ŭŭ Āā Ḍḍ")).lines


def test_an_accent_stands_clear_of_its_letter() -> None:
    """Over and under; an i loses its dot under one."""
    for mark in (*ABOVE, *BELOW):
        (one,) = set_lines("e" + mark if mark != "\u0323" else "ḍ")
        (plain,) = set_lines("e" if mark != "\u0323" else "d")
        accent = one.glyph.lines[len(plain.glyph.lines) :]
        assert accent
        apart = MultiLineString([points_along(a, 0.01) for a in plain.glyph.lines]).distance(
            MultiLineString([points_along(a, 0.01) for a in accent])
        )
        # cedilla and ogonek hang on their letter
        assert apart >= 1.0 if mark not in "\u0327\u0328" else apart < 1.0
    assert len(set_lines("ï")[0].glyph.lines) == 3


def test_no_two_letters_run_together() -> None:
    """Every pair of letters and figures, further apart than a cut a ninth of their height wide."""
    drawn_lines = {
        letter: MultiLineString(
            [points_along(one, 0.01) for one in set_lines(letter)[0].glyph.lines]
        )
        for letter in ascii_letters + digits
    }
    near = {}
    for one, two in product(drawn_lines, repeat=2):
        step = set_lines(one + two)[1].x
        near[one + two] = drawn_lines[one].distance(translate(drawn_lines[two], step))
    pair = min(near, key=lambda key: near[key])
    assert near[pair] > 10 / 9, (pair, near[pair])


def test_letters_that_lean_are_set_nearer() -> None:
    def width(text: str) -> float:
        return row(asked(text)).natural_mm

    assert width("AV") < width("A") + width("V")
    assert width("TA") < width("TH") - width("H") + width("A")
    assert width("HH") > 2 * width("H") + 0.2


@pytest.mark.parametrize("side", ["outside", "inside"])
def test_the_laser_follows_the_lines(side: str) -> None:
    """I, 2 mm high and cut 0.2 wide: one open line of 1.8 mm, nothing to fill."""
    job = made(engraving(text="I", font="line", height_mm=2.0, line_mm=0.2, on=side, at="3:00"))
    for one in unwound(job):
        assert not any(one.shapes.values())
        (only,) = scored(one)
        assert not only.closed
        (x0, y0), (x1, y1) = ([float(v) for v in p[:2]] for p in only.get_points())
        assert (x1 - x0, y1 - y0) == pytest.approx((0.0, 1.8), abs=1e-6)
        assert y0 == pytest.approx(one.across_mm / 2 - 0.9, abs=1e-6)


def test_lines_lie_in_the_middle_of_their_cuts() -> None:
    """What the laser follows is where the solid is cut, mirrored in the bore and turned."""
    job = made(engraving(text="Jr7", font="line", line_mm=0.2, repeat=3, mirrored=True, at="2:00"))
    (one,) = job.engraved
    cut = [polygon_of(shape) for copy in one.copies for shape in copy]
    for path in one.lines:
        way = LineString(points_along(path, 1e-4))
        assert any(shape.contains(way.buffer(0.0995)) for shape in cut)


def test_a_line_across_the_seam_is_parted() -> None:
    """A word that takes the whole bore: what lies across the opening goes on at the other end."""
    job = made(engraving(text="OOOOOOOO", font="line", line_mm=0.2, height_mm=2.0, fit_mm=53.0))
    one = unwound(job)[0]
    long = sum(LineString(line).length for line in one.lines["score"])
    (only,) = job.engraved
    whole = sum(LineString(points_along(path, 1e-3)).length for path in only.lines)
    assert long == pytest.approx(whole, abs=1e-6)
    assert all(-1e-9 <= x <= one.around_mm + 1e-9 for some in one.lines["score"] for x, _ in some)


def test_cast_letters_are_shapes_for_the_laser() -> None:
    job = made(engraving(text="I", font="line", height_mm=2.0, line_mm=0.4, made="cast"))
    assert not job.stopped
    assert all(one.shapes["cast"] and not one.lines["score"] for one in unwound(job))


@pytest.mark.parametrize(("width", "warned"), [(0.07, True), (0.08, False)])
def test_a_line_too_fine_is_questioned(width: float, warned: bool) -> None:
    job = made(engraving(font="line", line_mm=width))
    fine = found(job, "letters-fine")
    assert bool(fine) == warned
    if warned:
        assert fine[0].value == width
        assert fine[0].fix == "line_mm = 0.08 or more"
        assert fine[0].key == ("engraving", 0, "line_mm")


def test_a_cast_line_needs_its_height_too() -> None:
    job = made(engraving(font="line", line_mm=0.2, height_mm=1.0, made="cast"))
    (fine,) = found(job, "letters-fine")
    assert fine.fix == 'line_mm = 0.3 or more, with height_mm = 1.2 or more, or made = "engraved"'


@pytest.mark.parametrize(
    ("keys", "words"),
    [
        ({"font": "serif", "line_mm": 0.2}, "only letters of single lines"),
        ({"font": "line", "line_mm": 0.5}, "line_mm = 0.375 or less"),
        ({"font": "line", "line_mm": 0.01}, "0.02"),
    ],
)
def test_widths_that_cannot_be(keys: dict[str, Any], words: str) -> None:
    with pytest.raises(InputError) as caught:
        made(engraving(**keys))
    assert words in str(caught.value)


def test_letters_it_lacks_are_named() -> None:
    job = made(engraving(font="line", text="Жa☺"))
    (one,) = found(job, "text-cannot-be-set")
    assert "alphabet of single lines lacks Ж (U+0416" in one.text
    assert "☺" in one.text
    assert job.stopped


def test_a_text_without_end_is_refused_soon() -> None:
    with pytest.raises(InputError, match="strokes; allowed: 40,000 at most"):
        row(asked("Rg8&ßÅ" * 33, height_mm=20))


LINES = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="4mm" height="2mm" viewBox="0 0 4 2">'
    '<path fill="none" stroke="black" d="M0 1 H4 M1 0 V2"/></svg>'
)
BOTH = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="4mm" height="2mm" viewBox="0 0 4 2">'
    '<path d="M3 0 h1 v2 h-1 z"/><path fill="none" stroke="black" d="M0 1 H2"/></svg>'
)


@pytest.fixture(autouse=True)
def _more_drawings(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(drawn, "DRAWINGS", {"lines.svg": LINES, "both.svg": BOTH})


def test_a_drawing_of_lines_is_cut_along_them(tmp_path: Path) -> None:
    """A cross of 4 and 2 mm, twice as large, still cut 0.3 mm wide."""
    job = job_in(tmp_path, motif(file="lines.svg", count=3, height_mm=4.0, line_mm=0.3))
    assert not job.stopped, job.findings
    (one,) = job.engraved
    ground = 8 * 0.3 + 4 * 0.3 + 2 * pi * 0.15**2 - 0.3**2
    r = one.face.radius_mm
    assert one.removed_mm3 == pytest.approx(3 * ground * 0.2 * (1 - 0.1 / r), rel=2e-4)
    (face,) = unwound(job)
    assert not face.shapes["fill"]
    assert (
        sorted(round(LineString(p).length, 6) for p in face.lines["score"]) == [4.0] * 3 + [8.0] * 3
    )


def test_filled_shapes_stay_filled_beside_lines(tmp_path: Path) -> None:
    job = job_in(tmp_path, motif(file="both.svg", count=2, line_mm=0.2))
    (face,) = unwound(job)
    assert [shape.area_mm2 for shape in face.shapes["fill"]] == pytest.approx([2.0, 2.0])
    assert len(face.lines["score"]) == 2
    (one,) = job.engraved
    area = sum(s.area_mm2 for copy in one.copies for s in copy)
    assert area == pytest.approx(2 * (2.0 + 2 * 0.2 + pi * 0.01), rel=1e-4)


def test_lines_without_a_width_are_left_out_and_told(tmp_path: Path) -> None:
    job = job_in(tmp_path, motif(file="both.svg", count=2))
    (note,) = found(job, "figure-fitted")
    assert "single lines of the drawing are left out" in note.text
    assert not unwound(job)[0].lines["score"]
    job = job_in(tmp_path, motif(file="lines.svg"))
    (stop,) = found(job, "figure-cannot-be-drawn")
    assert "give line_mm, the width of the cut" in stop.text


def test_lines_of_a_drawing_too_fine_are_questioned(tmp_path: Path) -> None:
    (thin,) = found(job_in(tmp_path, motif(file="lines.svg", line_mm=0.06)), "thin-cut")
    assert thin.value == pytest.approx(0.06, abs=1e-3)
    assert "line_mm = 0.08" in thin.fix
    assert not found(job_in(tmp_path, motif(file="lines.svg", line_mm=0.1)), "thin-cut")


def test_copies_are_mirrored_with_their_lines(tmp_path: Path) -> None:
    job = job_in(tmp_path, motif(file="both.svg", count=2, mirrored="round", line_mm=0.2))
    (one,) = job.engraved
    for path, copy in zip(one.lines, one.copies, strict=True):
        assert polygon_of(copy[0]).contains(Point(*ends(path)[0]))
    middles = [0.5 * (ends(p)[0][0] + ends(p)[1][0]) for p in one.lines]
    centres = [0.5 * (c[0].bounds_mm[0] + c[0].bounds_mm[1]) for c in one.copies]
    sides = [m - c for m, c in zip(middles, centres, strict=True)]
    assert sides[0] == pytest.approx(-sides[1], abs=1e-9)
    assert abs(sides[0]) > 0.9
