"""Cut lists for segments and laminated stripes."""

from __future__ import annotations

from math import pi, radians
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ringgeom.errors import InputError, ShapeError
from ringgeom.making.cut_list import billet, segment_cuts

TWELVE: dict[str, Any] = {
    "count": 12,
    "inside_mm": 19.0,
    "outside_mm": 21.0,
    "joint_gap_mm": 0.05,
    "kerf_mm": 0.3,
    "cleaning_mm": 0.1,
    "length_error_mm": 0.02,
    "angle_error_deg": 0.5,
}


def test_twelve_segments() -> None:
    """Derived: pi 19 / 12 = 4.974188 less 0.05 x 19 / 21, pi 21 / 12 = 5.497787 less 0.05."""
    found = segment_cuts(**TWELVE)
    # to the digits written
    assert found.inner_arc_mm == pytest.approx(4.928950, abs=5e-7)
    assert found.outer_arc_mm == pytest.approx(5.447787, abs=5e-7)
    assert found.wedge_deg == 30.0
    assert found.start_deg == tuple(30.0 * n for n in range(12))
    assert found.piece_mm == pytest.approx(5.647787, abs=5e-7)
    assert found.strip_mm == pytest.approx(12 * 5.947787, abs=6e-6)
    assert found.kerf_mm == pytest.approx(3.6, rel=1e-12)


def test_errors_close_or_do_not() -> None:
    """Derived: 12 x (0.02 + 1 mm x 0.5 degree) all one way; by chance sqrt(12) of the squares."""
    found = segment_cuts(**TWELVE)
    opened = radians(0.5) * 1.0
    assert found.closing_worst_mm == pytest.approx(12 * (0.02 + opened), rel=1e-12)
    assert found.closing_likely_mm == pytest.approx((12 * (0.02**2 + opened**2)) ** 0.5, rel=1e-12)
    assert found.joint_low_mm == pytest.approx(0.05 - 0.02 - opened, rel=1e-9)
    coarse = segment_cuts(**{**TWELVE, "length_error_mm": 0.1})
    assert coarse.joint_low_mm < 0
    exact = segment_cuts(**{**TWELVE, "length_error_mm": 0, "angle_error_deg": 0})
    assert exact.closing_worst_mm == 0
    assert exact.joint_low_mm == exact.joint_high_mm == 0.05


@given(st.integers(2, 60), st.floats(0, 0.1))
def test_pieces_and_joints_close_the_ring(count: int, gap: float) -> None:
    found = segment_cuts(**{**TWELVE, "count": count, "joint_gap_mm": gap})
    # sums of up to sixty terms: rounding
    assert count * (found.outer_arc_mm + gap) == pytest.approx(pi * 21, rel=1e-12)
    assert count * (found.inner_arc_mm + gap * 19 / 21) == pytest.approx(pi * 19, rel=1e-12)
    assert found.closing_likely_mm <= found.closing_worst_mm


def test_a_kerf_larger_than_a_segment_is_refused() -> None:
    """Derived: pi 19 / 180 = 0.332 less 0.045 leaves 0.286 for a kerf; 172 leave 0.302."""
    with pytest.raises(ShapeError) as caught:
        segment_cuts(**{**TWELVE, "count": 180})
    said = str(caught.value)
    assert "the kerf takes the whole segment; here 0.3 mm; allowed: less than 0.286" in said
    assert "nearest: 172 segments or fewer" in said
    segment_cuts(**{**TWELVE, "count": 172})
    with pytest.raises(ShapeError):
        segment_cuts(**{**TWELVE, "count": 173})


@pytest.mark.parametrize(
    ("change", "error", "words"),
    [
        ({"count": 1}, InputError, "here 1; allowed: a whole number from 2 to 1000"),
        ({"count": 12.0}, InputError, "here 12.0"),
        ({"outside_mm": 19.0}, ShapeError, "the segments are not thick; here 19 mm"),
        ({"joint_gap_mm": 5.5}, ShapeError, "the joint gap takes the whole segment; here 5.5 mm"),
        ({"angle_error_deg": 91}, InputError, "allowed: 0 to 90 degree"),
        ({"cleaning_mm": -0.1}, InputError, "the cleaning"),
        ({"inside_mm": float("nan")}, InputError, "the inside"),
    ],
)
def test_no_such_segments(change: dict[str, Any], error: type[Exception], words: str) -> None:
    with pytest.raises(error) as caught:
        segment_cuts(**{**TWELVE, **change})
    assert words in str(caught.value)


STRIPES = [("left", 2.0, 15.5), ("middle", 2.0, 10.4), ("right", 2.0, 15.5)]
BAND: dict[str, Any] = {"bore_mm": 18.0, "thickness_mm": 2.0, "strain_limit_percent": 8.0}


def test_equal_stripes_are_equal_metal_but_not_in_the_blank() -> None:
    """Derived: 0.15 filed off each edge: sheets 2.15, 2, 2.15 of 6.3."""
    # sums and quotients of a few decimals throughout: rounding, far below 1e-12
    plain = billet(STRIPES, **BAND)
    assert [sheet.share_percent for sheet in plain.sheets] == pytest.approx(
        [100 / 3] * 3, rel=1e-12
    )
    stocked = billet(STRIPES, **BAND, edge_mm=0.15)
    assert [sheet.blank_mm for sheet in stocked.sheets] == pytest.approx(
        [2.15, 2.0, 2.15], rel=1e-12
    )
    assert [sheet.finished_mm for sheet in stocked.sheets] == [2.0, 2.0, 2.0]
    assert stocked.sheets[0].share_percent == pytest.approx(100 * 2.15 / 6.3, rel=1e-12)
    assert stocked.stack_mm == pytest.approx(6.3, rel=1e-12)


def test_two_rings_from_one_billet() -> None:
    """Derived: 2 (pi 20 + 0.5 + 0.3) x 1.1 = 139.990 long, 6 x 2; halved stack: half as long."""
    left = {"rings": 2, "end_mm": 0.5, "kerf_mm": 0.3, "crop_percent": 10.0}
    found = billet(STRIPES, **BAND, **left)
    # the number is written to 0.001
    assert found.length_mm == pytest.approx(139.990, abs=5e-4)
    assert found.strip_mm == pytest.approx(20 * pi + 0.5, rel=1e-12)
    # two thirds of 15.5 and one of 10.4, by volume
    assert found.density_g_cm3 == pytest.approx((2 * 15.5 + 10.4) / 3, rel=1e-12)
    # the length is written to 0.001 of 140
    assert found.grams == pytest.approx(139.990 * 12 * 13.8 / 1000, rel=1e-5)
    assert found.grams == pytest.approx(sum(sheet.grams for sheet in found.sheets), rel=1e-12)
    rolled = billet(STRIPES, **BAND, **left, stack_reduction_percent=50.0)
    assert rolled.stack_mm == pytest.approx(12.0, rel=1e-12)
    assert [sheet.sheet_mm for sheet in rolled.sheets] == pytest.approx([4.0, 4.0, 4.0], rel=1e-12)
    assert rolled.length_mm == pytest.approx(found.length_mm / 2, rel=1e-12)
    assert rolled.grams == pytest.approx(found.grams, rel=1e-12)


def test_a_thick_laminate_is_warned() -> None:
    """Derived: 2 / 20 is 10 %, above a limit of 8; 1.5 / 19.5 is 7.7 %. The limit is the shop's."""
    assert billet(STRIPES, **BAND).warned
    assert not billet(STRIPES, **{**BAND, "thickness_mm": 1.5}).warned
    # at the limit itself there is no warning
    assert not billet(STRIPES, **{**BAND, "strain_limit_percent": 10.0}).warned


@pytest.mark.parametrize(
    ("stripes", "change", "words"),
    [
        (STRIPES[:1], {}, "no such count of stripes; here 1"),
        ([], {}, "no such count of stripes; here 0"),
        ([("a", 0, 15), ("b", 1, 15)], {}, "the width of a"),
        ([("a", 1, 15), ("b", 1, -1)], {}, "the density of b is not an amount; here -1 g/cm3"),
        (STRIPES, {"rings": 0}, "no such count of rings; here 0"),
        (STRIPES, {"stack_reduction_percent": 100}, "allowed: 0 to 95 %"),
        (STRIPES, {"bore_mm": float("inf")}, "the bore"),
        (STRIPES, {"kerf_mm": -1}, "the kerf"),
    ],
)
def test_no_such_billet(stripes: Any, change: dict[str, Any], words: str) -> None:
    with pytest.raises(InputError) as caught:
        billet(stripes, **{**BAND, **change})
    assert words in str(caught.value)
