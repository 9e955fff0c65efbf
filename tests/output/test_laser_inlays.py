"""Files for the laser of motif inlays: pockets on the outside, inserts on their sheet."""

from __future__ import annotations

import io
from math import pi
from pathlib import Path

import ezdxf
import pytest
from engraving.drawn import inlay, job_in
from shapely import Polygon

from ringgeom.drawing.laser import unwound
from ringgeom.drawing.pierced import pierced
from ringgeom.output.laser_files import laser_files

SQUARES = inlay(file="square.svg", count=6, height_mm=1.5, mirrored="no")


def areas(content: bytes, layer: str) -> list[float]:
    """Of every closed polyline of a layer, as ezdxf reads them."""
    read = ezdxf.read(io.StringIO(content.decode()))
    assert read.units == ezdxf.units.MM
    assert not read.audit().has_errors
    found = [one for one in read.modelspace().query("LWPOLYLINE") if one.dxf.layer == layer]
    assert all(one.closed for one in found)
    return [Polygon([point[:2] for point in one.get_points()]).area for one in found]


def test_pockets_and_inserts_by_layer(tmp_path: Path) -> None:
    """Derived: 3 x 1.5 mm pockets at the outside; inserts less the gap, flat at half thickness."""
    job = job_in(tmp_path, SQUARES)
    files = dict(laser_files(job))
    across = 2 * job.form.band.crest_mm
    assert set(files) == {
        f"outside_d{across:.2f}mm.svg",
        f"outside_d{across:.2f}mm.dxf",
        "sheet-1_leaves_0.77mm.svg",
        "sheet-1_leaves_0.77mm.dxf",
    }
    pockets = areas(files[f"outside_d{across:.2f}mm.dxf"], "pocket")
    # the first lies across 12 o'clock and the face is cut open beside it: all are whole
    assert pockets == pytest.approx([4.5] * 6, abs=1e-4)
    inserts = areas(files["sheet-1_leaves_0.77mm.dxf"], "cut")
    middle = 1 - (0.7 - 0.03) / across
    assert inserts == pytest.approx([2.92 * middle * 1.42] * 6, abs=1e-4)
    (face,) = unwound(job)
    assert face.around_mm == pytest.approx(pi * across, rel=1e-12)


def test_pieces_lie_apart_on_their_sheet(tmp_path: Path) -> None:
    (sheet,) = pierced(job_in(tmp_path, SQUARES))
    placed = [
        Polygon([stroke.points[0] for stroke in shape.loops[0]]) for shape in sheet.shapes["cut"]
    ]
    assert sheet.count == len(placed) == 6
    edge = Polygon(sheet.lines["outline"][0])
    for number, one in enumerate(placed):
        assert edge.contains(one)
        # a millimetre of sheet is left between them
        assert all(one.distance(other) > 1 - 1e-9 for other in placed[:number])


def test_cast_pockets_are_not_cut_again(tmp_path: Path) -> None:
    (face,) = unwound(job_in(tmp_path, inlay(count=5, made="cast")))
    assert len(face.shapes["cast"]) == 5
    assert not face.shapes["pocket"]
