"""Files for the laser: letters as closed shapes of true size, read back by other programs."""

from __future__ import annotations

import re
import subprocess
import xml.etree.ElementTree as ET
from io import BytesIO, StringIO
from math import pi
from pathlib import Path
from shutil import which
from typing import Any

import ezdxf
import numpy as np
import pytest
from PIL import Image
from shapely.geometry import Polygon
from shapely.ops import unary_union

import ringgeom as rg
from ringgeom.drawing.laser import LAYERS, Unwound, unwound
from ringgeom.output.laser_files import MARGIN_MM, laser_dxf, laser_files, laser_svg

ROOT = Path(__file__).parents[2]
SVG = "{http://www.w3.org/2000/svg}"
BAND = """
[job]
name = "Trial"
[ring]
size = "18 mm across"
width_mm = 6.0
thickness_mm = 2.0
[[part]]
name = "plank"
place = "segments"
count = 5
slant_deg = 25
gap_mm = 0.05
depth_mm = 0.6
alloys = ["gold-750-green", "silver-925"]
[body]
alloy = "gold-750-yellow-3n"
"""


def lettering(**keys: Any) -> str:
    words = {"kind": "lettering", "text": "LEFT", "height_mm": 1.5, "font": "bold"} | keys
    lines = [
        f"{key} = " + (str(v).lower() if isinstance(v, bool) else repr(v).replace("'", '"'))
        for key, v in words.items()
    ]
    return "\n[[engraving]]\n" + "\n".join(lines) + "\n"


def faces(*engravings: str) -> list[Unwound]:
    job = rg.job(rg.design_from_text(BAND + "".join(engravings)))
    assert not job.stopped, job.findings
    return list(unwound(job))


@pytest.fixture(scope="module")
def wren() -> rg.Job:
    return rg.job(rg.read_design(ROOT / "designs" / "wren.toml"))


def read(one: Unwound) -> Any:
    return ezdxf.read(StringIO(laser_dxf(one, "Trial").decode()))


def test_dxf_is_sound_and_as_long_as_the_face(wren: rg.Job) -> None:
    found = list(unwound(wren))
    assert [(one.side, one.mirrored) for one in found] == [
        ("outside", False),
        ("inside", False),
        ("inside", True),
    ]
    radii = [wren.form.band.crest_mm, wren.form.band.bore_mm, wren.form.band.bore_mm]
    for one, radius in zip(found, radii, strict=True):
        document = read(one)
        assert not document.audit().errors
        assert document.header["$INSUNITS"] == 4
        space = document.modelspace()
        assert {e.dxf.layer for e in space} <= {*LAYERS, "words"}
        (outline,) = (e for e in space if e.dxf.layer == "outline")
        points = np.array(outline.get_points("xy"))
        assert np.ptp(points[:, 0]) == pytest.approx(2 * pi * radius, abs=1e-9)
        assert np.ptp(points[:, 1]) == pytest.approx(wren.form.width_mm, abs=1e-9)
        fills = [e for e in space if e.dxf.layer == "fill"]
        assert fills
        assert all(e.closed for e in fills)
        for e in [*fills, *(e for e in space if e.dxf.layer == "score")]:
            x, y = np.array(e.get_points("xy")).T
            assert 0 <= x.min() <= x.max() <= one.around_mm
            assert 0 <= y.min() <= y.max() <= one.across_mm
        assert laser_dxf(one, "Trial") == laser_dxf(one, "Trial")


def test_filled_areas_are_those_of_the_letters(wren: rg.Job) -> None:
    """Signed areas of the closed polylines, by shapely, against the exact ones."""
    for one in unwound(wren):
        exact = sum(shape.area_mm2 for shape in one.shapes["fill"])
        loops = [
            Polygon(e.get_points("xy"))
            for e in read(one).modelspace()
            if e.dxf.layer == "fill" and e.closed
        ]
        signed = sum(p.area if p.exterior.is_ccw else -p.area for p in loops)
        length = sum(p.length for p in loops)
        # the polylines keep within a micrometre of the curves
        assert signed == pytest.approx(exact, abs=1e-3 * length)
        assert exact == pytest.approx(sum(_row_area(wren, one.side)), rel=1e-9)


def _row_area(job: rg.Job, side: str) -> list[float]:
    return [
        shape.area_mm2
        for one in job.engraved
        if one.row is not None and one.asked.on == side
        for _ in one.copies
        for shape in one.row.shapes
    ]


def test_svg_is_the_same_rasterised(wren: rg.Job) -> None:
    """Black dots of the picture by librsvg, against the area to fill."""
    if which("rsvg-convert") is None:
        pytest.skip("rsvg-convert is not installed")
    for one in unwound(wren):
        svg = laser_svg(one, "Trial & <error>")
        ET.fromstring(svg)
        dots = 60
        done = subprocess.run(
            [
                "rsvg-convert",
                "-w",
                str(round((one.around_mm + 2 * MARGIN_MM) * dots)),
                "-b",
                "white",
            ],
            input=svg,
            capture_output=True,
            check=True,
        )
        seen = np.asarray(Image.open(BytesIO(done.stdout)).convert("L"), dtype=float)
        black = (255 - seen[seen < 60]).size / dots**2
        exact = sum(shape.area_mm2 for shape in one.shapes["fill"])
        # a dot more or less along the outlines
        assert black == pytest.approx(exact, rel=0.03)


def test_svg_has_its_size_layers_and_words(wren: rg.Job) -> None:
    for one in unwound(wren):
        root = ET.fromstring(laser_svg(one, "Trial & <error>"))
        wide = float(root.attrib["width"].removesuffix("mm"))
        assert wide == pytest.approx(one.around_mm + 2 * MARGIN_MM, abs=1e-5)
        assert root.attrib["viewBox"].split()[2] == root.attrib["width"].removesuffix("mm")
        groups = [g.attrib["id"] for g in root.iter(f"{SVG}g")]
        assert groups == [*LAYERS, "words"]
        (title,) = root.iter(f"{SVG}title")
        assert title.text is not None
        assert f"diameter {one.diameter_mm:.2f} mm" in title.text
    names = [name for name, _ in laser_files(wren)]
    bore = f"{wren.made.inside_diameter_mm:.2f}"
    assert f"bore_d{bore}mm.svg" in names
    assert f"bore-mirrored_d{bore}mm.dxf" in names


def test_the_bore_reads_as_the_tool_sees_it() -> None:
    """L first from the left, its foot to the right; mirrored, the other way round."""
    plain, mirrored = faces(lettering(at="5:00"))
    for one, way in ((plain, 1), (mirrored, -1)):
        first, last = one.shapes["fill"][0], one.shapes["fill"][-1]
        assert way * (last.bounds_mm[0] - first.bounds_mm[0]) > 0
        x0, x1, *_ = first.bounds_mm
        fine = unary_union([Polygon(loop) for loop in first.polylines(1e-3)])
        # an L weighs more on the side of its stem
        assert way * (0.5 * (x0 + x1) - fine.centroid.x) > 0
        # five twelfths round, seen from without to the right of 12
        middle = 0.5 * (first.bounds_mm[0] + last.bounds_mm[1])
        share = 1 - 5 / 12 if way > 0 else 5 / 12
        if way > 0:
            assert middle == pytest.approx(share * one.around_mm, abs=0.1)


def test_a_face_is_cut_open_where_nothing_is_engraved() -> None:
    (at_twelve,) = (f for f in faces(lettering(on="outside", at="12:00", text="I I")))
    assert at_twelve.begins == pytest.approx(pi)
    (at_six,) = (f for f in faces(lettering(on="outside", at="6:00", text="I I")))
    assert at_six.begins == 0.0
    (all_round,) = faces(lettering(on="outside", text="ABCD", repeat=12, fit_mm=5.0))
    for one in (at_twelve, at_six, all_round):
        for shape in one.shapes["fill"]:
            x0, x1, *_ = shape.bounds_mm
            assert x0 >= 0
            assert x1 <= one.around_mm


def test_joints_are_drawn_on_their_own_layer() -> None:
    """Derived: five slanted joints, each 6 / cos long, cut open where the face is."""
    (one,) = faces(lettering(on="outside", at="1:00"))
    lengths = [
        float(np.hypot(*np.diff(np.array(line), axis=0).T).sum()) for line in one.lines["boundary"]
    ]
    band_mm = 6 * np.hypot(1, np.tan(np.radians(25)))
    assert sum(lengths) == pytest.approx(5 * band_mm, rel=1e-6)


def test_letters_that_are_cast_in_are_not_filled() -> None:
    (one,) = faces(lettering(on="outside", raised=True, at="1:00", height_mm=2.0))
    assert one.shapes["fill"] == ()
    assert len(one.shapes["cast"]) == 4


def test_nothing_is_written_of_a_plain_ring() -> None:
    assert list(laser_files(rg.job(rg.design_from_text(BAND)))) == []
    assert re.fullmatch(r"[a-z]+", "".join(LAYERS))
