"""Every scale of finger sizes, whatever its row says: marks, spellings, order, labels."""

from __future__ import annotations

import math
from decimal import Decimal
from itertools import pairwise

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from ringgeom.errors import SizeError
from ringgeom.facts import table
from ringgeom.finger import FingerSize, Scale, labels, read_size, scales

FLOAT_MM = 1e-9  # binary arithmetic only


def _marks(scale: Scale) -> list[str]:
    count = int((scale.highest - scale.lowest) / scale.step)
    return [scale.label(scale.lowest + place * scale.step) for place in range(count + 1)]


ALL_SCALES = pytest.mark.parametrize("scale", scales(), ids=lambda scale: scale.prefix)


@ALL_SCALES
def test_every_mark_is_read_labelled_and_read_again(scale: Scale) -> None:
    for mark in _marks(scale):
        size = read_size(mark)
        (label,) = (found for found in labels(size.inside_diameter_mm) if found.scale == scale.name)
        assert size.label == label.label == mark
        assert label.residual_mm == pytest.approx(0, abs=FLOAT_MM)
        assert label.inside_diameter_mm == size.inside_diameter_mm
        assert "-0.00" not in str(label)


@ALL_SCALES
def test_every_spelling_of_a_scale_before_and_after_the_size(scale: Scale) -> None:
    _, bare = scale.label(scale.lowest + 13).split(" ", maxsplit=1)
    wanted = read_size(f"{scale.prefix} {bare}").inside_diameter_mm
    for spelling in (scale.name, scale.prefix, *scale.spellings):
        assert read_size(f"{spelling} {bare}").inside_diameter_mm == wanted
        assert read_size(f"{spelling.upper()}-{bare}").inside_diameter_mm == wanted
        if spelling.lower() != "in":  # after a number it is the inch
            assert read_size(f"{bare} ({spelling})").inside_diameter_mm == wanted


@ALL_SCALES
def test_sizes_grow_along_a_scale(scale: Scale) -> None:
    across_mm = [read_size(mark).inside_diameter_mm for mark in _marks(scale)]
    assert all(smaller < larger for smaller, larger in pairwise(across_mm))


def test_no_two_scales_share_a_spelling_and_each_has_a_source() -> None:
    spellings = [spelling for scale in scales() for spelling in scale.spellings]
    assert len(spellings) == len(set(spellings))
    assert len({scale.prefix for scale in scales()}) == len(scales())
    for row in table("finger_scales"):
        assert row["source"]
        assert row["known"] in ("read", "computed", "memory", "common practice")


@given(st.floats(10.0, 26.0))
def test_labels_are_the_nearest_marks(across_mm: float) -> None:
    found = {label.scale: label for label in labels(across_mm)}
    for scale in scales():
        off_mm = [abs(read_size(m).circumference_mm - math.pi * across_mm) for m in _marks(scale)]
        if scale.name in found:
            assert abs(found[scale.name].residual_mm) <= min(off_mm) + FLOAT_MM
        else:
            half_step_mm = abs(off_mm[1] - off_mm[0]) / 2
            assert min(off_mm) >= half_step_mm - FLOAT_MM


def test_labels_say_how_far_off_they_are() -> None:
    # US 7 is 54.42 mm around by Wikipedia, "Ring size"; ISO 54 is 54 mm by definition.
    iso, us, *_ = labels(25.4 * (0.458 + 0.032 * 7))
    assert str(iso) == "ISO 54 (+0.42 mm around)"
    assert str(us) == "US 7 (+0.00 mm around)"
    assert [label.scale for label in labels(24.6)] == ["North America"]
    assert labels(40.0) == ()


@pytest.mark.parametrize("across_mm", [0.0, -17.3, math.nan, math.inf])
def test_labels_of_no_diameter(across_mm: float) -> None:
    with pytest.raises(SizeError, match="positive number of mm"):
        labels(across_mm)


def _read(text: str) -> FingerSize | None:
    """The size, or None where it is refused."""
    try:
        return read_size(text)
    except SizeError:
        return None


@given(
    st.decimals(0, 99, places=3),
    st.sampled_from(["US {}", "{} ISO", "jp{}", "{} mm across", "c {}", '{}" across', "{}"]),
)
def test_decimal_comma_means_decimal_point(value: Decimal, typed: str) -> None:
    point = _read(typed.format(value))
    comma = _read(typed.format(str(value).replace(".", ",")))
    assert (point is None) == (comma is None)
    assert point is None or comma is None or point.label == comma.label


@given(st.decimals(0, 76, places=3), st.decimals(0, 76, places=3))
def test_larger_numbers_are_larger_fingers(one: Decimal, other: Decimal) -> None:
    smaller, larger = sorted((one, other))
    assume(smaller != larger)
    for typed in ("US {}", "ISO {}", "JP {}", "CH {}", "IN {}", "{} mm across", "{} mm around"):
        low, high = _read(typed.format(smaller)), _read(typed.format(larger))
        if low is not None and high is not None:
            assert low.inside_diameter_mm < high.inside_diameter_mm
