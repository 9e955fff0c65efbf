"""Allowances from the finger to the bore that is made, and reading a stick."""

from __future__ import annotations

import math

import pytest

from ringgeom.errors import InputError
from ringgeom.finger import FitSettings, made_size, read_size, stick_error_mm

FLOAT_MM = 1e-9  # binary arithmetic only
US_7_MM = 25.4 * (0.458 + 0.032 * 7)  # Wikipedia, "Ring size"


# One US size is 0.032 in = 0.8128 mm across (Wikipedia, "Ring size"): half 0.4064, quarter
# 0.2032. That a wide band wants half a size is common practice, no source.
@pytest.mark.parametrize(
    ("fit", "width_mm", "comfort_bore", "allowed_mm"),
    [
        (FitSettings(), 12.0, True, []),
        (FitSettings(wide_band=True), 5.9, False, []),
        (FitSettings(wide_band=True), 6.0, False, [0.4064]),
        (FitSettings(wide_band=True, wide_band_from_mm=5.0), 5.0, False, [0.4064]),
        (FitSettings(wide_band=True, wide_band_add_us=1.0), 8.0, True, [0.8128]),
        (FitSettings(comfort=True), 8.0, False, []),
        (FitSettings(comfort=True), 8.0, True, [-0.2032]),
        (FitSettings(comfort=True, wide_band=True), 8.0, True, [0.4064, -0.2032]),
    ],
)
def test_allowances_are_made_once_and_only_when_asked_for(
    fit: FitSettings, width_mm: float, comfort_bore: bool, allowed_mm: list[float]
) -> None:
    finger = read_size("US 7")
    made = made_size(finger, width_mm=width_mm, comfort_bore=comfort_bore, fit=fit)
    assert made.finger_diameter_mm == finger.inside_diameter_mm
    assert [each.diameter_mm for each in made.allowances] == pytest.approx(allowed_mm)
    assert all(each.why and each.name for each in made.allowances)
    assert made.inside_diameter_mm == pytest.approx(US_7_MM + sum(allowed_mm), abs=FLOAT_MM)
    assert made.circumference_mm == pytest.approx(math.pi * made.inside_diameter_mm)


@pytest.mark.parametrize(
    "settings",
    [{"wide_band_add_us": 2.6}, {"wide_band_add_us": -0.1}, {"comfort_less_us": 0.6}]
    + [{"wide_band_from_mm": value} for value in (-1.0, math.nan, math.inf)],
)
def test_settings_outside_practice_are_refused(settings: dict[str, float]) -> None:
    with pytest.raises(InputError, match=next(iter(settings))):
        FitSettings(**settings)  # type: ignore[arg-type]  # only the numbers are varied


@pytest.mark.parametrize("width_mm", [0.0, -6.0, math.nan, math.inf])
def test_a_band_has_a_width(width_mm: float) -> None:
    with pytest.raises(InputError, match="width_mm"):
        made_size(read_size("US 7"), width_mm=width_mm, comfort_bore=False, fit=FitSettings())


def test_a_stick_read_at_mid_width_is_wrong_by_half_the_width() -> None:
    # ISO 8653 stick: 41 to 76 mm around over 160 mm. The edge 100 mm along, 8 mm of width.
    at_edge_mm, at_middle_mm = (41 + 35 / 160 * along for along in (100, 100 - 8 / 2))
    assert stick_error_mm(8) == pytest.approx(at_edge_mm - at_middle_mm)
    assert stick_error_mm(1) == pytest.approx(0.109, abs=0.0005)  # printed to 3 decimals
    with pytest.raises(InputError, match="width_mm"):
        stick_error_mm(-1)
