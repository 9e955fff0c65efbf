"""The package colour-science as referee of the tables and formulas of colour."""

from __future__ import annotations

import warnings

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ringgeom.colour import delta_e_00
from ringgeom.colour.cie import (
    hex_rgb,
    lab,
    lab_of_xyz,
    wavelengths_nm,
    white,
    xyz,
    xyz_of_lab,
    yellowness_index,
)
from ringgeom.facts import table

with warnings.catch_warnings():
    # it warns of plotting packages that are not wanted here
    warnings.simplefilter("ignore")
    import colour as referee

L = st.floats(1, 100)
AB = st.floats(-80, 80)
SHARMA = [
    ((50.0, 2.6772, -79.7751), (50.0, 0.0, -82.7485), 2.0425),
    ((50.0, 3.1571, -77.2803), (50.0, 0.0, -82.7485), 2.8615),
    ((50.0, -1.3802, -84.2814), (50.0, 0.0, -82.7485), 1.0000),
    ((50.0, 0.0, 0.0), (50.0, -1.0, 2.0), 2.3669),
    ((50.0, 2.5, 0.0), (50.0, 0.0, -2.5), 4.3065),
    ((50.0, 2.5, 0.0), (73.0, 25.0, -18.0), 27.1492),
    ((60.2574, -34.0099, 36.2677), (60.4626, -34.1751, 39.4387), 1.2644),
    ((22.7233, 20.0904, -46.6940), (23.0331, 14.9730, -42.5619), 2.0373),
    ((90.8027, -2.0831, 1.4410), (91.1528, -1.6435, 0.0447), 1.4441),
    ((2.0776, 0.0795, -1.1350), (0.9033, -0.0636, -0.5514), 0.9082),
]


@pytest.mark.parametrize(("first", "second", "published"), SHARMA)
def test_published_pairs(
    first: tuple[float, ...], second: tuple[float, ...], published: float
) -> None:
    """Sharma, Wu and Dalal 2005, table 1 (from memory; colour-science agrees below)."""
    assert float(delta_e_00(np.array(first), np.array(second))) == pytest.approx(
        published, abs=5e-5
    )


@settings(max_examples=300, deadline=None)
@given(one=st.tuples(L, AB, AB), two=st.tuples(L, AB, AB))
def test_difference(one: tuple[float, ...], two: tuple[float, ...]) -> None:
    """Hues exactly opposite flip with the last digit: left out."""
    hues = [np.degrees(np.arctan2(b, a)) for _, a, b in (one, two)]
    if abs(abs(hues[0] - hues[1]) - 180) < 1e-3:
        return
    ours = float(delta_e_00(np.array(one), np.array(two)))
    theirs = float(referee.delta_E(np.array(one), np.array(two), method="CIE 2000"))
    assert ours == pytest.approx(theirs, rel=1e-9, abs=1e-9)
    assert ours == pytest.approx(float(delta_e_00(np.array(two), np.array(one))), abs=1e-9)


def test_tables() -> None:
    observer = referee.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"]
    for row in table("cie_1931_5nm"):
        wavelength = float(row["wavelength_nm"])
        bars = [float(row[key]) for key in ("x_bar", "y_bar", "z_bar")]
        assert bars == pytest.approx(list(observer[wavelength]), abs=1e-12)
        for name, key in (("D65", "d65"), ("A", "a"), ("C", "c")):
            assert float(row[key]) == float(referee.SDS_ILLUMINANTS[name][wavelength])


def test_white_points() -> None:
    """ISO 11664-2 / CIE 15: D65 and A chromaticities, published to four digits."""
    for illuminant, x, y in (("d65", 0.3127, 0.3290), ("a", 0.4476, 0.4074)):
        values = white(illuminant)
        assert values[0] / values.sum() == pytest.approx(x, abs=1e-4)
        assert values[1] / values.sum() == pytest.approx(y, abs=1e-4)


@settings(max_examples=60, deadline=None)
@given(level=st.floats(0.02, 1), slope=st.floats(-0.9, 0.9))
def test_lab_and_yellowness(level: float, slope: float) -> None:
    """Of smooth spectra, by the referee from our own XYZ; the sums are the same sums."""
    waves = (wavelengths_nm() - 580) / 200
    spectrum = np.clip(level * (1 + slope * waves), 0, 1)
    values = xyz(spectrum)
    point = white()[:2] / white().sum()
    theirs = referee.XYZ_to_Lab(values / 100, illuminant=point)
    assert lab(spectrum) == pytest.approx(theirs, abs=1e-6)
    index = float(yellowness_index(spectrum))
    assert index == pytest.approx(
        float(referee.colorimetry.yellowness_ASTMD1925(xyz(spectrum, "c"))), abs=1e-6
    )


@settings(max_examples=100, deadline=None)
@given(colour=st.tuples(L, AB, AB))
def test_lab_inverts(colour: tuple[float, ...]) -> None:
    assert lab_of_xyz(xyz_of_lab(np.array(colour))) == pytest.approx(colour, abs=1e-9)


def test_swatch() -> None:
    """IEC 61966-2-1: mid grey L* 50 is #777777; white is white."""
    assert hex_rgb(np.array([50.0, 0.0, 0.0])) == "#777777"
    assert hex_rgb(np.array([100.0, 0.0, 0.0])) == "#FFFFFF"
