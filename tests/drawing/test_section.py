"""The drawn section: its areas are the parts', its figures the job's, nothing runs into another."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from itertools import pairwise
from math import pi
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString, Polygon

from ringgeom.drawing.cut import cut_faces
from ringgeom.drawing.faces import part_numbers
from ringgeom.drawing.hatch import PATTERNS, hatching
from ringgeom.drawing.measures import spread
from ringgeom.drawing.section import enlarged_section
from ringgeom.drawing.shapes import Area, Drawing, Word
from ringgeom.drawing.shapes import Path as Line
from ringgeom.drawing.views import exploded_section, front_view, true_section
from ringgeom.output.svg import drawing_svg


def polygon(loops: tuple[tuple[tuple[float, float], ...], ...]) -> Polygon:
    outer = max(loops, key=lambda loop: Polygon(loop).area)
    return Polygon(outer, [loop for loop in loops if loop is not outer])


def test_areas_turned_round_are_the_parts(design_file: Path, job_of: Any) -> None:
    """Pappus: the drawn area times the way of its centroid is the volume, as shapely sees it."""
    job = job_of(design_file)
    if job.ring.turns or job.insets:
        return  # elsewhere round the ring the section is another
    for face in cut_faces(job):
        area = polygon(face.loops)
        assert area.is_valid
        volume = 2 * pi * area.centroid.y * area.area
        if face.part.piece.sector is not None:
            claim = job.ring.claims[face.part.place]
            volume *= 1 / claim.sectors.count - claim.sectors.gap / (2 * pi)
        # arcs are drawn with 33 points: chords lie inside by a few parts in 1e5
        # the section is drawn before anything is engraved
        plain = face.part.volume_mm3 + face.part.engraved_mm3
        assert volume == pytest.approx(plain, rel=5e-4), face.part.name


def test_parts_do_not_overlap_on_the_drawing(design_file: Path, job_of: Any) -> None:
    faces = [polygon(face.loops) for face in cut_faces(job_of(design_file))]
    for number, one in enumerate(faces):
        for other in faces[:number]:
            # neighbours that share an arc share its points
            assert one.intersection(other).area < 1e-6


def words(drawing: Drawing) -> list[Word]:
    return [shape for shape in drawing.shapes if isinstance(shape, Word)]


def test_figures_are_the_jobs(design_file: Path, job_of: Any) -> None:
    job = job_of(design_file)
    drawing = enlarged_section(job)
    texts = [word.text for word in words(drawing)]
    assert f"{job.form.width_mm:.2f}" in texts
    assert f"{job.form.thickness_mm:.2f}" in texts
    told = {round(cut.finished_mm, 2) for cut in job.bench().turning}
    drawn = {float(text.split()[1]) for text in texts if text.startswith("⌀")}
    assert drawn == told


def test_no_figure_lies_on_another(design_file: Path, job_of: Any) -> None:
    from ringgeom.fonts import width_mm

    job = job_of(design_file)
    for drawing in (enlarged_section(job), exploded_section(job)):
        boxes = []
        for word in words(drawing):
            if word.upwards:
                continue
            wide = width_mm(word.text, word.size_mm, bold=word.bold)
            x = word.at[0] - {"start": 0, "middle": wide / 2, "end": wide}[word.anchor]
            boxes.append((x, word.at[1], x + wide, word.at[1] + 0.7 * word.size_mm))
        for number, a in enumerate(boxes):
            assert a[0] >= -1e-6
            assert a[2] <= drawing.width_mm + 1e-6
            for b in boxes[:number]:
                apart = a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]
                assert apart, (a, b)


def test_true_views_are_true(job_of: Any, designs: Path) -> None:
    job = job_of(designs / "heron.toml")
    xs = [
        x
        for shape in true_section(job).shapes
        if isinstance(shape, Area)
        for loop in shape.loops
        for x, _ in loop
    ]
    assert max(xs) - min(xs) == pytest.approx(6.0, abs=1e-9)
    circles = [s for s in front_view(job).shapes if isinstance(s, Line) and s.closed]
    across = [max(x for x, _ in c.points) - min(x for x, _ in c.points) for c in circles]
    assert across == pytest.approx([21.1228, 17.3228], abs=1e-3)  # 180 points to a circle


def test_like_segments_share_a_number(job_of: Any, designs: Path) -> None:
    numbers = part_numbers(job_of(designs / "harbour.toml"))
    assert numbers["plank 1"] == numbers["plank 11"] != numbers["plank 2"]
    assert sorted(set(numbers.values())) == [1, 2, 3, 4, 5]


@given(st.lists(st.floats(-50, 50), min_size=1, max_size=12), st.floats(0.5, 8))
def test_leaders_keep_apart_and_in_order(wanted: list[float], apart: float) -> None:
    found = spread(wanted, apart)
    order = sorted(range(len(wanted)), key=lambda i: wanted[i])
    for one, other in pairwise(order):
        assert found[other] - found[one] >= apart - 1e-9
    # what has room stays where it is wanted
    if all(wanted[b] - wanted[a] >= apart for a, b in pairwise(order)):
        assert found == pytest.approx(wanted, abs=1e-9)
    # and together they move as little as one pool would
    assert sum(found) == pytest.approx(sum(wanted), abs=1e-6)


@pytest.mark.parametrize("number", range(len(PATTERNS) + 2))
def test_hatching_stays_within(number: int) -> None:
    outer = ((0.0, 0.0), (30.0, 0.0), (30.0, 12.0), (0.0, 12.0))
    hole = ((10.0, 4.0), (20.0, 4.0), (20.0, 8.0), (10.0, 8.0))
    area = Polygon(outer, [hole])
    lines = hatching((outer, hole), number)
    assert len(lines) > 5
    for line in lines:
        assert LineString(line.points).difference(area).length < 1e-9


def test_every_pattern_is_another() -> None:
    assert len(set(PATTERNS)) == len(PATTERNS)


def test_the_drawing_as_svg(job_of: Any, designs: Path) -> None:
    """Every area and every word is there, y downwards, in mm."""
    job = job_of(designs / "heron.toml")
    drawing = enlarged_section(job)
    root = ET.fromstring(drawing_svg(drawing, title="a < b & c"))
    space = "{http://www.w3.org/2000/svg}"
    assert root.attrib["height"] == f"{drawing.height_mm:.3f}mm"
    texts = [t.text for t in root.iter(f"{space}text")]
    assert texts == [word.text for word in words(drawing)]
    filled = [p for p in root.iter(f"{space}path") if "fill-rule" in p.attrib]
    areas = [s for s in drawing.shapes if isinstance(s, Area)]
    assert len(filled) == len(areas)
    assert root.find(f"{space}title").text == "a < b & c"  # type: ignore[union-attr]
