"""The data of the colour maps: the triangle's grid, ISO 8654 ranges, places, the green line."""

from __future__ import annotations

import numpy as np
import pytest

from ringgeom.colour.cie import coded_rgb, hex_rgb
from ringgeom.colour.ternary import (
    chart_point,
    chart_points,
    green_line,
    ternary_map,
)
from ringgeom.metal import alloy_by_name, alloy_from_text


def row(gold: float, silver: float, copper: float) -> int:
    shares = ternary_map().shares_percent
    return int(np.abs(shares - np.array([gold, silver, copper])).sum(axis=1).argmin())


def test_the_grid_is_the_whole_triangle() -> None:
    """A triangle of n steps has (n + 1)(n + 2) / 2 corners; every mixture sums to 100."""
    shares = ternary_map().shares_percent
    assert shares.shape == (101 * 102 // 2, 3)
    assert len(np.unique(shares, axis=0)) == len(shares)
    assert (shares >= 0).all()
    # sums of three binary fractions of whole percents: no more than rounding
    assert shares.sum(axis=1) == pytest.approx(100, abs=1e-12)


def test_steps_must_end_at_100() -> None:
    assert len(ternary_map(2.5).shares_percent) == 41 * 42 // 2
    with pytest.raises(ValueError, match="do not end at 100"):
        ternary_map(3.0)


@pytest.mark.parametrize(("copper", "expected"), [(0, -5.5), (4, -3.3), (6, -2.1), (8, -1.0)])
def test_copper_costs_green(copper: int, expected: float) -> None:
    """a* on the 18 ct silver-copper line, as handed down with the model (computed), to 0.1."""
    assert ternary_map().labs[row(75, 25 - copper, copper), 1] == pytest.approx(expected, abs=0.06)


def test_the_corners_are_the_fine_metals() -> None:
    """Order of the corners: silver lightest and nearly grey, copper reddest, gold yellowest."""
    gold, silver, copper = (
        ternary_map().labs[row(*place)] for place in ((100, 0, 0), (0, 100, 0), (0, 0, 100))
    )
    assert silver[0] == max(gold[0], silver[0], copper[0])
    assert np.hypot(*silver[1:]) < 5 < np.hypot(*copper[1:])
    assert copper[1] > gold[1] + 5
    assert gold[2] > copper[2] + 10


def test_swatches_against_colour_science() -> None:
    """Referee: colour-science turns the same CIELAB into sRGB (IEC 61966-2-1)."""
    colour_science = pytest.importorskip("colour")
    data = ternary_map()
    some = np.arange(0, len(data.labs), 97)
    xyz = colour_science.Lab_to_XYZ(
        data.labs[some],
        colour_science.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"],
    )
    theirs = np.clip(colour_science.XYZ_to_sRGB(xyz), 0, 1)
    # the referee's white and matrix have four and five digits: a third of one step of 255
    assert np.abs(theirs - data.srgb[some]).max() < 0.0015


def test_srgb_is_the_code_of_the_swatches() -> None:
    data = ternary_map()
    for index in (row(75, 25, 0), row(0, 0, 100), row(0, 100, 0)):
        coded = "#" + "".join(f"{round(255 * v):02X}" for v in data.srgb[index])
        assert coded == hex_rgb(data.labs[index])
    # the two branches of the curve meet (IEC 61966-2-1) within its rounded constants
    assert coded_rgb(np.array([0.0031308, 0.0031309]))[0] == pytest.approx(0.04045, abs=1e-5)


def test_nominal_ranges_of_iso_8654() -> None:
    """From memory: 3N is 750 gold, 120 to 130 silver, the rest copper."""
    ranges = {each.name: each.corners_percent for each in ternary_map().nominal_ranges}
    assert list(ranges) == ["0N", "1N", "2N", "3N", "4N", "5N"]
    assert ranges["3N"] == ((75, 13, 12), (75, 12, 13))
    assert ranges["0N"] == ((58.5, 34, 7.5), (58.5, 30, 11.5))
    for corners in ranges.values():
        for corner in corners:
            assert sum(corner) == pytest.approx(100, abs=1e-12)


@pytest.mark.parametrize(
    ("name", "range_name"),
    [
        ("gold-750-yellow-2n", "2N"),
        ("gold-750-yellow-3n", "3N"),
        ("gold-750-rose-4n", "4N"),
        ("gold-750-red-5n", "5N"),
        ("gold-585-green-0n", "0N"),
        ("gold-585-yellow-1n", "1N"),
    ],
)
def test_catalogue_shades_lie_in_their_ranges(name: str, range_name: str) -> None:
    """Two sources of the same shades agree: the catalogue's books and the standard (memory)."""
    silver = alloy_by_name(name).recipe.percent("Ag")
    most, least = (
        corner[1]
        for each in ternary_map().nominal_ranges
        if each.name == range_name
        for corner in each.corners_percent
    )
    assert least <= silver <= most


def test_fineness_lines() -> None:
    lines = {each.label: each.corners_percent for each in ternary_map().fineness_lines}
    assert lines["750 · 18 kt"] == ((75, 25, 0), (75, 0, 25))
    assert list(lines) == ["375 · 9 kt", "585 · 14 kt", "750 · 18 kt", "916 · 22 kt"]


def test_three_metals_have_their_exact_place() -> None:
    point = chart_point(alloy_by_name("gold-750-yellow-3n"))
    assert point is not None
    assert point.place_percent == (75, 12.5, 12.5)
    assert (point.left_out, point.remark) == ((), "")


def test_zinc_is_left_out_and_said() -> None:
    """By hand: 41.7, 11.7 and 40.8 of 94.2."""
    point = chart_point(alloy_by_name("gold-417-yellow"))
    assert point is not None
    by_hand = (4170 / 94.2, 1170 / 94.2, 4080 / 94.2)
    assert point.place_percent == pytest.approx(by_hand, abs=1e-9)
    assert point.left_out == (("Zn", 5.8),)
    assert point.remark == "5.8 % zinc left out of the chart"
    assert point.gold_percent == 41.7


def test_alloys_of_other_metals_have_no_place() -> None:
    alloys = [alloy_by_name("platinum-950-cu"), alloy_by_name("gold-750-green")]
    assert [point.name for point in chart_points(alloys)] == ["gold-750-green"]
    # a white gold would lie at a fineness and a colour that are not its own
    assert chart_point(alloy_from_text("Au 75 Pd 15 Ag 10")) is None
    assert chart_point(alloy_from_text("Au 75 Ag 18 Zn 7")) is not None


def test_the_greenest_of_the_line() -> None:
    """75/25 sits at the greenest point of the pair (computed): within the noise of 0.7 dE00."""
    line = green_line()
    assert line.greenest.lab[1] == pytest.approx(line.labs[:, 1].min(), abs=1e-9)
    assert 70 < line.greenest.gold_percent < 82
    eighteen = line.known[0]
    assert eighteen.lab[1] - line.greenest.lab[1] < 0.2


@pytest.mark.parametrize(
    ("place", "expected"),
    [(0, (94.6, -5.5, 24.1)), (1, (95.8, -3.8, 14.8)), (2, (96.5, -2.9, 10.9))],
)
def test_known_greens(place: int, expected: tuple[float, float, float]) -> None:
    """Rioux et al. 2014 under D65, 2 degree observer (computed), printed to 0.1."""
    assert green_line().known[place].lab == pytest.approx(expected, abs=0.06)


def test_the_line_runs_from_a_third_to_fine_gold() -> None:
    line = green_line()
    assert (line.gold_percent[0], line.gold_percent[-1]) == (33, 100)
    assert line.labs.shape == line.srgb.shape == (671, 3)
    assert {"gold-750-green", "gold-500-green"} <= {mark.name for mark in line.catalogued}
    with pytest.raises(ValueError, match="read-only"):
        line.labs[0, 0] = 1.0
