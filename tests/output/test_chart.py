"""The colour maps as files: readable, small, the same every time, everything in its place."""

from __future__ import annotations

import struct
import xml.etree.ElementTree as ET
from itertools import combinations

import numpy as np
import pytest

from ringgeom.colour.ternary import chart_points, green_line, ternary_map
from ringgeom.errors import InputError
from ringgeom.metal import Alloy, alloy_by_name, alloy_from_recipe, catalogue
from ringgeom.output.chart import (
    FRAME,
    SIDE_MM,
    fill,
    green_line_chart,
    place_mm,
    ternary_chart,
)
from ringgeom.output.chart_sheet import HEIGHT_MM, WIDTH_MM, Row
from ringgeom.output.chart_tags import Box, tag_places

TITLE = "Heron & <Reed>: " + 9 * "a heading too long for its sheet, "

LARGEST_SVG_BYTES = 600_000
LEAST_DOTS = 1600

ALLOYS = (
    alloy_by_name("gold-750-yellow-3n"),
    alloy_by_name("gold-750-green"),
    alloy_by_name("gold-417-yellow"),
    alloy_from_recipe("A <long> & odd name $of$ a maker's own metal, longer than its column",
                      {"Au": 75, "Ag": 10.5, "Pd": 10, "Cu": 3.5, "Ni": 0.9, "Zn": 0.1}),
)  # fmt: skip


def crowd() -> list[Alloy]:
    """Sixteen alloys, most of them on two fineness lines."""
    names = ("gold-750", "gold-58")
    charted = [one for one in catalogue() if one.name.startswith(names) and chart_points([one])]
    return charted[:16]


@pytest.fixture(scope="module")
def pictures() -> dict[str, bytes]:
    points = chart_points(ALLOYS)
    return {
        "triangle.png": ternary_chart(points, title=TITLE),
        "triangle.svg": ternary_chart(points, title=TITLE, kind="svg"),
        "line.png": green_line_chart(points),
        "line.svg": green_line_chart(points, kind="svg"),
    }


@pytest.mark.parametrize("name", ["triangle.png", "line.png"])
def test_pngs_open_and_are_large_enough(pictures: dict[str, bytes], name: str) -> None:
    data = pictures[name]
    assert data[:8] == b"\x89PNG\r\n\x1a\n"
    width, height = struct.unpack(">II", data[16:24])
    assert width >= LEAST_DOTS
    # A5 lying, to a dot
    assert height == pytest.approx(width * HEIGHT_MM / WIDTH_MM, abs=1.5)


@pytest.mark.parametrize("name", ["triangle.svg", "line.svg"])
def test_svgs_are_well_formed_small_and_a5(pictures: dict[str, bytes], name: str) -> None:
    root = ET.fromstring(pictures[name])
    assert root.tag.endswith("svg")
    assert len(pictures[name]) < LARGEST_SVG_BYTES
    wide, high = (float(root.attrib[side].removesuffix("pt")) for side in ("width", "height"))
    # points of 1/72 inch
    assert (wide / 72 * 25.4, high / 72 * 25.4) == pytest.approx((210, 148), abs=0.01)
    # letters are outlines, so no font is needed and nothing is fetched
    assert not list(root.iter("{http://www.w3.org/2000/svg}text"))
    assert b"date>" not in pictures[name]


def test_the_same_bytes_twice(pictures: dict[str, bytes]) -> None:
    points = chart_points(ALLOYS)
    assert ternary_chart(points, title=TITLE) == pictures["triangle.png"]
    assert ternary_chart(points, title=TITLE, kind="svg") == pictures["triangle.svg"]
    assert green_line_chart(points, kind="svg") == pictures["line.svg"]


def test_nobodys_settings_change_the_sheet(pictures: dict[str, bytes]) -> None:
    import matplotlib

    with matplotlib.rc_context({"lines.linewidth": 9, "font.size": 30, "axes.facecolor": "red"}):
        assert green_line_chart(chart_points(ALLOYS)) == pictures["line.png"]
        assert matplotlib.rcParams["font.size"] == 30


def test_points_land_where_geometry_says() -> None:
    """By hand, an equilateral triangle: gold up, silver left, copper right."""
    silver, copper, gold = place_mm((0, 100, 0)), place_mm((0, 0, 100)), place_mm((100, 0, 0))
    assert copper[0] - silver[0] == pytest.approx(SIDE_MM)
    assert copper[1] == silver[1]
    assert np.hypot(gold[0] - silver[0], gold[1] - silver[1]) == pytest.approx(SIDE_MM)
    third = place_mm((100 / 3, 100 / 3, 100 / 3))
    assert third == pytest.approx(np.mean([silver, copper, gold], axis=0))
    # 3N: three quarters up, half way across there
    x, y = place_mm((75, 12.5, 12.5))
    assert (x - silver[0]) / SIDE_MM == pytest.approx(0.5)
    assert (y - silver[1]) / SIDE_MM == pytest.approx(0.75 * np.sqrt(3) / 2)


def test_marks_and_lines_share_one_geometry() -> None:
    """Referee: the ternary axes of mpltern, on the same box of the sheet."""
    import mpltern  # noqa: F401
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    figure = Figure(figsize=(WIDTH_MM / 25.4, HEIGHT_MM / 25.4), dpi=100)
    FigureCanvasAgg(figure)
    left, bottom = place_mm((0, 100, 0))
    box = (left / WIDTH_MM, bottom / HEIGHT_MM, SIDE_MM / WIDTH_MM,
           SIDE_MM * np.sqrt(3) / 2 / HEIGHT_MM)  # fmt: skip
    axes = figure.add_axes(box, projection="ternary", ternary_sum=100.0)
    figure.canvas.draw()
    for place in ((100, 0, 0), (0, 100, 0), (0, 0, 100), (75, 12.5, 12.5), (37.5, 10, 52.5)):
        dots = axes.transData.transform(axes.transProjection.transform([place]))[0]
        # a hundredth of a millimetre: far below a dot
        assert dots / 100 * 25.4 == pytest.approx(place_mm(place), abs=0.01)


@pytest.mark.parametrize("place", [(75, 25, 0), (75, 12, 13), (40, 10, 50), (2, 49, 49)])
def test_the_fill_has_the_colour_of_the_place(place: tuple[float, float, float]) -> None:
    """The dot at a mixture shows that mixture's own swatch."""
    data = ternary_map()
    picture = fill(data)
    rows, dots, _ = picture.shape
    x, y = place_mm(place)
    left, bottom = place_mm((0, 100, 0))
    across = min(int((x - left) / SIDE_MM * dots), dots - 1)
    up = int((y - bottom) / (SIDE_MM * np.sqrt(3) / 2) * rows)
    index = int(np.abs(data.shares_percent - np.array(place)).sum(axis=1).argmin())
    # within a dot colours change by less than two steps of 255
    assert np.abs(picture[up, across] - 255 * data.srgb[index]).max() <= 2


def rows_at(*spots: tuple[float, float]) -> list[Row]:
    return [
        Row(spot_mm=spot, tag=str(place), mark="exact", hex="#FFFFFF", name="", lines=())
        for place, spot in enumerate(spots, start=1)
    ]


@pytest.mark.parametrize(
    "spots",
    [
        [place_mm(point.place_percent) for point in chart_points(crowd())],
        [place_mm((75, 12.5, 12.5))] * 16,
        [place_mm((100, 0, 0)), place_mm((0, 100, 0)), place_mm((0, 0, 100))],
        [place_mm((75, 25 - n / 4, n / 4)) for n in range(16)],
    ],
    ids=["catalogue", "one place", "corners", "four percent"],
)
def test_tags_lie_on_nothing_and_stay_in_the_frame(spots: list[tuple[float, float]]) -> None:
    rows = rows_at(*spots)
    word = Box(middle_mm=place_mm((79, 10, 11)), width_mm=14.0, height_mm=3.0)
    tags = tag_places(rows, FRAME, [word])
    assert len(tags) == len(spots)
    for first, second in combinations(tags, 2):
        assert not first.meets(second)
    for tag in tags:
        assert tag.inside(FRAME)
        assert not tag.meets(word)
        for x, y in spots:
            # no part of a tag on the middle of a mark
            assert not tag.meets(Box(middle_mm=(x, y), width_mm=1.5, height_mm=1.5))


def test_nothing_is_drawn_beyond_the_margins(pictures: dict[str, bytes]) -> None:
    """Even with a long name, six metals and a long heading the margins stay paper."""
    import io

    from matplotlib.image import imread

    for name in ("triangle.png", "line.png"):
        picture = imread(io.BytesIO(pictures[name]))[..., :3]
        edge = round(5 / 25.4 * 200)  # 5 mm at the sides, half of it above and below
        paper = picture[0, 0]
        inner = np.zeros(picture.shape[:2], dtype=bool)
        inner[edge // 2 : -edge // 2, edge:-edge] = True
        assert np.abs(picture[~inner] - paper).max() < 0.01


def test_alloys_are_marked_apart_from_each_other() -> None:
    """A projected alloy makes another picture than the same place and colour exact."""
    exact = chart_points([alloy_by_name("gold-750-green")])
    one = chart_points([alloy_from_recipe("gold-750-green", {"Au": 74.9, "Ag": 24.9, "Zn": 0.2})])
    assert ternary_chart(exact, title="x") != ternary_chart(one, title="x")


def test_a_sheet_holds_sixteen_alloys() -> None:
    points = chart_points(crowd())
    assert len(points) == 16
    for draw in (ternary_chart, green_line_chart):
        assert len(draw(points, title="Sixteen", kind="svg")) < LARGEST_SVG_BYTES
        with pytest.raises(InputError, match="at most 16"):
            draw((*points, points[0]), title="Seventeen")
    assert green_line().known
