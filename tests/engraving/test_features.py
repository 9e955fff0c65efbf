"""The thinnest places: closed forms, and shapely's buffers as a second opinion."""

from __future__ import annotations

from math import pi

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ringgeom.engraving.arcs import disc
from ringgeom.engraving.combined import less, united
from ringgeom.engraving.features import features
from ringgeom.engraving.flat import polygon_of, straight
from ringgeom.engraving.patterns.hatch import Hatch
from ringgeom.engraving.patterns.milgrain import Milgrain
from ringgeom.engraving.patterns.rope import Rope
from ringgeom.engraving.patterns.scales import Scales
from ringgeom.engraving.patterns.vine import Vine
from ringgeom.engraving.shape import Shape, joined
from ringgeom.engraving.unrolled import Unrolled

FACE = Unrolled(round_mm=55.0, low_mm=-3.0, high_mm=3.0)


def box(x0: float, y0: float, x1: float, y1: float) -> Shape:
    return Shape((straight(np.array([(x0, y0), (x1, y0), (x1, y1), (x0, y1)])),))


@given(wide=st.floats(0.05, 2), turn=st.floats(-3, 3), gap=st.floats(0.05, 2))
@settings(max_examples=30, deadline=None)
def test_two_bars_and_the_wall_between(wide: float, turn: float, gap: float) -> None:
    bars = joined([box(0, 0, 5, wide), box(0, wide + gap, 5, wide + gap + 2.5)])
    c, s = np.cos(turn), np.sin(turn)
    found = features(bars.mapped(np.array([(c, -s), (s, c)]), (20, 0)), 55.0)
    assert found.cut is not None
    assert found.metal is not None
    for thin, true in ((found.cut, wide), (found.metal, gap)):
        assert true - 1e-9 <= thin.mm <= true + thin.over_mm + 1e-9
        assert thin.over_mm <= 0.01**2 / (4 * true) + 1e-12


def test_a_neck_between_two_round_bites() -> None:
    """Derived: a plate with two discs of radius 1 bitten out, their middles 2.3 mm apart."""
    plate = less(box(0, 0, 8, 6), [disc((4, 1.9), 1.0), disc((4, 4.2), 1.0)]).shape
    found = features(plate, 55.0)
    assert found.cut is not None
    assert found.cut.mm == pytest.approx(0.3, abs=2e-4)
    assert found.cut.at_mm == pytest.approx((4.0, 3.05), abs=0.02)
    # metal: the bites are 2 mm across
    assert found.metal is not None
    assert found.metal.mm == pytest.approx(2.0, abs=2e-3)


def test_a_neck_is_where_shapely_parts_it() -> None:
    """Shrunk by a little less than half the neck the dumbbell is whole, by a little more parted."""
    bell = united([disc((0, 0), 1.0), disc((3, 0.4), 1.0), box(0, 0, 3, 0.37)]).shape
    found = features(bell, 55.0)
    assert found.cut is not None
    polygon = polygon_of(bell)
    assert polygon.buffer(-0.5 * found.cut.mm * 0.99).geom_type == "Polygon"
    assert polygon.buffer(-0.5 * found.cut.mm * 1.01).geom_type == "MultiPolygon"


def test_the_wall_across_the_seam() -> None:
    found = features(joined([box(0.1, 0, 5, 1), box(50, 0, 54.8, 1)]), 55.0)
    assert found.metal is not None
    assert found.metal.mm == pytest.approx(0.3, abs=2e-4)


def test_a_corner_is_not_thin_and_a_spike_is() -> None:
    square = features(box(0, 0, 3, 3), 55.0)
    assert square.cut is not None
    # the largest disc is found to the spacing of the points, 0.01 mm
    assert square.cut.mm == pytest.approx(3, abs=0.011)
    plate = features(box(0, 0, 4, 3), 55.0)
    assert plate.cut is not None
    assert plate.cut.mm == pytest.approx(3, abs=1e-4)
    spike = Shape((straight(np.array([(0.0, 0), (4, 0.4), (0, 0.8)])),))
    found = features(spike, 55.0)
    assert found.cut is not None
    assert found.cut.mm < 0.02
    assert found.cut.at_mm == pytest.approx((4, 0.4), abs=0.1)


def test_patterns_are_as_thin_as_they_were_asked() -> None:
    hatch = Hatch(pitch_mm=1, line_mm=0.2, crossing=False).drawn(FACE)
    found = features(hatch.cuts[0].shape, FACE.round_mm)
    assert found.cut is not None
    assert found.metal is not None
    assert found.cut.mm == pytest.approx(0.2, abs=2e-4)
    pitch = 55 / 48 * np.sin(pi / 3)
    assert found.metal.mm == pytest.approx(pitch - 0.2, abs=2e-4)
    grain = Milgrain(edges="low").drawn(FACE)
    found = features(grain.cuts[0].shape, FACE.round_mm)
    assert found.cut is not None
    assert found.metal is not None
    assert found.cut.mm == pytest.approx(55 / grain.count - 0.5, abs=1e-3)
    assert found.metal.mm == pytest.approx(0.5, abs=1e-3)


@pytest.mark.parametrize("asking", [Rope(), Vine(), Scales(scale_mm=2.5, row_mm=1.1)])
def test_no_pattern_runs_out_thin_as_it_comes(asking: Rope | Vine | Scales) -> None:
    found = features(asking.drawn(FACE).cuts[0].shape, FACE.round_mm)
    assert found.cut is not None
    assert found.cut.mm > 0.05
