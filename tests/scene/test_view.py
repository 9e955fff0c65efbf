"""The views: everything in the picture, to a whole number of dots, parts apart and joints whole."""

from __future__ import annotations

from collections.abc import Callable
from itertools import combinations
from math import pi
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

import ringgeom as rg
from ringgeom.scene import view as views
from ringgeom.scene.apart import shifts_mm
from ringgeom.scene.shown import Shown, shown
from ringgeom.scene.studio import brightness, studio
from ringgeom.scene.view import FOOT, HEAD, HEIGHT, SIDE, VIEWS, WIDTH, View, standing, turning

JobOf = Callable[[Path], rg.Job]


def spots_px(view: View) -> np.ndarray:
    """Every corner in dots from the picture's lower left, and its depth [mm]."""
    moved = [
        shape.skin.points @ turn[:3, :3].T + turn[:3, 3]
        for shape, turn in zip(view.shapes, view.turns, strict=True)
    ]
    spots = np.vstack(moved)
    spots[:, :2] = spots[:, :2] * view.px_per_mm + np.array(view.size) / 2
    return spots


@pytest.mark.parametrize("name", VIEWS)
def test_nothing_is_clipped_and_there_is_no_room_left(
    design_file: Path, job_of: JobOf, name: str
) -> None:
    view = VIEWS[name](shown(job_of(design_file)))
    x, y, _ = spots_px(view).T
    low, high = (SIDE, FOOT), (WIDTH - SIDE, HEIGHT - HEAD)
    # rounding of the last bit
    assert x.min() > low[0] - 1e-6
    assert y.min() > low[1] - 1e-6
    assert x.max() < high[0] + 1e-6
    assert y.max() < high[1] + 1e-6
    # in the middle, and one dot more for a millimetre would not fit
    assert x.min() + x.max() == pytest.approx(low[0] + high[0])
    assert y.min() + y.max() == pytest.approx(low[1] + high[1])
    larger = (view.px_per_mm + 1) / view.px_per_mm
    full = larger * (x.max() - x.min()) > high[0] - low[0]
    full |= larger * (y.max() - y.min()) > high[1] - low[1]
    assert full or view.px_per_mm == views.LARGEST_PX_PER_MM


def test_the_front_shows_outside_and_width_to_scale(design_file: Path, job_of: JobOf) -> None:
    job = job_of(design_file)
    view = VIEWS["front"](shown(job))
    x, y, _ = spots_px(view).T
    outside = job.outside_diameter_mm
    taper = job.design.ring.tapered
    if taper is not None:
        # from side to side, each as thick as the taper is there
        radius = job.form.inside_diameter_mm / 2
        turns = np.linspace(0, 2 * np.pi, 1441)
        reach = np.array([(radius + taper.at(turn)[1]) * np.cos(turn) for turn in turns.tolist()])
        outside = float(np.ptp(reach))
    # the largest facets of the outside stay within the chord error of every mesh
    assert (x.max() - x.min()) / view.px_per_mm == pytest.approx(outside, abs=0.01)
    assert (y.max() - y.min()) / view.px_per_mm == pytest.approx(job.form.width_mm, abs=1e-6)


@given(st.floats(-360, 360), st.floats(-90, 90))
def test_standing_is_a_rotation(turn: float, height: float) -> None:
    matrix = standing(turn, height)
    assert matrix @ matrix.T == pytest.approx(np.eye(3), abs=1e-12)
    assert np.linalg.det(matrix) == pytest.approx(1.0)


def test_a_standing_ring_seen_along_its_axis_and_from_the_side() -> None:
    """Derived: along the axis x stays x; from the side the axis runs to the right."""
    assert standing(0, 0) == pytest.approx(np.eye(3))
    assert standing(90, 0) @ [0, 0, 1] == pytest.approx([1, 0, 0])
    assert standing(0, 90) @ [0, 1, 0] == pytest.approx([0, 0, 1])


def test_parts_apart_do_not_meet(design_file: Path, job_of: JobOf) -> None:
    """Along the axis every two parts are clear of each other, unless one moved outwards."""
    parts = shown(job_of(design_file)).parts
    moved = shifts_mm(parts)
    spans = [
        (part.mesh.vertices[:, 2].min() + by[2], part.mesh.vertices[:, 2].max() + by[2])
        for part, by in zip(parts, moved, strict=True)
    ]
    for one, other in combinations(range(len(parts)), 2):
        if parts[one].segment or parts[other].segment:
            continue
        assert spans[one][0] > spans[other][1] or spans[other][0] > spans[one][1]
    out = np.hypot(moved[:, 0], moved[:, 1])
    for part, by in zip(parts, out, strict=True):
        assert (by > 0) == part.segment
    assert min(low for low, _ in spans) == pytest.approx(-max(high for _, high in spans))


@given(st.integers(1, 24), st.floats(0, 0.02), st.floats(0, 2 * pi))
def test_a_cut_keeps_clear_of_joints(count: int, gap: float, near: float) -> None:
    """Derived: segments of one size, so the clear angle is the middle of one, the nearest."""
    pitch = 2 * pi / count
    knots = [angle for n in range(count) for angle in (n * pitch, (n + 1) * pitch - gap)]
    found = Shown(job="", parts=(), gaps=(), joints=tuple(knots)).clear_angle(near)
    away = np.abs((np.array(knots) - found + pi) % (2 * pi) - pi).min()
    assert away == pytest.approx((pitch - gap) / 2, abs=1e-8)
    assert abs((found - near + pi) % (2 * pi) - pi) <= pitch / 2 + gap / 2 + 1e-8


def test_the_section_shows_the_cut_and_its_ink(design_file: Path, job_of: JobOf) -> None:
    view = VIEWS["section"](shown(job_of(design_file)))
    cut = [shape for shape in view.shapes if shape.cut and shape.part >= 0]
    assert cut
    ink = view.ink_mm.reshape(-1, 2) * view.px_per_mm + np.array([WIDTH, HEIGHT]) / 2
    assert (ink > 0).all()
    assert (ink < [WIDTH, HEIGHT]).all()
    # the ink is a closed line: at every corner as many edges begin as end, by pairs
    ends = np.round(view.ink_mm.reshape(-1, 2), 6)
    _, times = np.unique(ends, axis=0, return_counts=True)
    assert (times % 2 == 0).all()


def test_a_turn_is_of_one_scale_and_comes_back(designs: Path, job_of: JobOf) -> None:
    frames = turning(shown(job_of(designs / "heron.toml")))
    assert {frame.px_per_mm for frame in frames} == {frames[0].px_per_mm}
    wide, high = frames[0].size
    for frame in frames:
        x, y, _ = spots_px(frame).T
        assert 0 < x.min() < x.max() < wide
        assert FOOT < y.min() < y.max() < high - HEAD
    step = frames[1].turns[0, :3, :3] @ frames[0].turns[0, :3, :3].T
    whole = np.linalg.matrix_power(step, len(frames))
    assert whole == pytest.approx(np.eye(3), abs=1e-9)


def test_light_is_never_brighter_than_one_nor_dark() -> None:
    cube = studio()
    assert cube.max() <= 1.0
    # no black holes in a mirror: the darkest place is a fifth of the brightest
    assert cube.min() > 0.2
    # smooth: a whole turn of the eye changes it by steps of less than a twentieth
    assert np.abs(np.diff(cube, axis=1)).max() < 0.05


def test_the_cube_of_light_meets_at_its_edges() -> None:
    """Towards +x and +y, half way: the dots on both faces lie a dot apart."""
    edge = brightness(np.array([1.0, 1.0, 0.3]))
    assert brightness(np.array([1.0, 0.99, 0.3])) == pytest.approx(edge, abs=0.02)
