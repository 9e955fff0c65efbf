"""The package colour-science as referee of the tables and formulas of colour."""

from __future__ import annotations

import warnings

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from judging.checks import judged, published
from judging.programs import COLOUR_SCIENCE

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


@pytest.mark.parametrize(("first", "second", "printed"), SHARMA)
def test_published_pairs(
    first: tuple[float, ...], second: tuple[float, ...], printed: float
) -> None:
    published(
        "Sharma, Wu and Dalal 2005, table 1 (from memory)",
        f"dE00 from {' '.join(map(str, first))} to {' '.join(map(str, second))}",
        float(delta_e_00(np.array(first), np.array(second))),
        printed,
        abs=5e-5,
        why="half a unit of the last digit",
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
    why = "rounding of binary numbers through a dozen functions"
    judged(COLOUR_SCIENCE, "dE00 of any two colours", ours, theirs, abs=1e-7, why=why)
    assert ours == pytest.approx(float(delta_e_00(np.array(two), np.array(one))), abs=1e-9)


def test_tables() -> None:
    observer = referee.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"]
    for row in table("cie_1931_5nm"):
        wavelength = float(row["wavelength_nm"])
        bars = [float(row[key]) for key in ("x_bar", "y_bar", "z_bar")]
        what, why = "CIE 1931 observer, every 5 nm", "the same printed digits"
        judged(COLOUR_SCIENCE, what, bars, list(observer[wavelength]), abs=1e-12, why=why)
        for name, key in (("D65", "d65"), ("A", "a"), ("C", "c")):
            what, theirs = "illuminants D65, A, C", float(referee.SDS_ILLUMINANTS[name][wavelength])
            judged(COLOUR_SCIENCE, what, float(row[key]), theirs, abs=0, why="the same digits")


def test_white_points() -> None:
    for illuminant, x, y in (("d65", 0.3127, 0.3290), ("a", 0.4476, 0.4074)):
        values = white(illuminant)
        published(
            "ISO 11664-2 and CIE 15, chromaticities of illuminants",
            f"{illuminant.upper()}, x and y",
            values[:2] / values.sum(),
            (x, y),
            abs=1e-4,
            why="published to four digits; summed every 5 nm here",
        )


@settings(max_examples=60, deadline=None)
@given(level=st.floats(0.02, 1), slope=st.floats(-0.9, 0.9))
def test_lab_and_yellowness(level: float, slope: float) -> None:
    """Of smooth spectra, by the referee from our own XYZ; the sums are the same sums."""
    waves = (wavelengths_nm() - 580) / 200
    spectrum = np.clip(level * (1 + slope * waves), 0, 1)
    values = xyz(spectrum)
    point = white()[:2] / white().sum()
    theirs = referee.XYZ_to_Lab(values / 100, illuminant=point)
    why = "the sums are the same sums; constants of seven digits"
    judged(COLOUR_SCIENCE, "L*a*b* of smooth spectra", lab(spectrum), theirs, abs=1e-6, why=why)
    index = float(yellowness_index(spectrum))
    theirs = float(referee.colorimetry.yellowness_ASTMD1925(xyz(spectrum, "c")))
    judged(COLOUR_SCIENCE, "yellowness of smooth spectra", index, theirs, abs=1e-6, why=why)


@settings(max_examples=100, deadline=None)
@given(colour=st.tuples(L, AB, AB))
def test_lab_inverts(colour: tuple[float, ...]) -> None:
    assert lab_of_xyz(xyz_of_lab(np.array(colour))) == pytest.approx(colour, abs=1e-9)


def test_swatch() -> None:
    for light, printed in ((50.0, "#777777"), (100.0, "#FFFFFF")):
        found, why = hex_rgb(np.array([light, 0.0, 0.0])), "mid grey and white"
        published("IEC 61966-2-1", f"L* {light:g} as a swatch", found, printed, why=why)
