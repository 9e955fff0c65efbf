"""Templates: lines of the ring's own length, read back by other programs."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from io import StringIO
from itertools import pairwise
from math import hypot, pi, radians, tan
from pathlib import Path
from typing import Any

import ezdxf
import numpy as np
import pytest
from judging.checks import judged
from judging.programs import EZDXF
from sheet.measured import MM_PER_PIXEL, dark, longest_run_mm, poppler

import ringgeom as rg
from ringgeom.drawing.template import LAYERS, Template, templates
from ringgeom.output.template_files import template_dxf, template_pdf, template_svg
from ringgeom.sheet.paper import paper_named


def read(one: Template) -> Any:
    return ezdxf.read(StringIO(template_dxf(one).decode()))


def test_dxf_is_sound_and_in_mm(design_file: Path, job_of: Any) -> None:
    """ezdxf finds no error; the outline is as long as the ring is round."""
    job = job_of(design_file)
    bore = job.form.inside_diameter_mm / 2
    radii = (bore + job.form.thickness_mm * job.form.mean_share, bore)
    for one, radius in zip(templates(job), radii, strict=True):
        document = read(one)
        errors = len(document.audit().errors)
        judged(EZDXF, "errors in every template", errors, 0, abs=0, why="none")
        assert document.header["$INSUNITS"] == 4
        space = document.modelspace()
        assert {e.dxf.layer for e in space} <= set(LAYERS)
        (outline,) = (e for e in space if e.dxf.layer == "outline")
        points = np.array(outline.get_points("xy"))
        assert np.ptp(points[:, 0]) == pytest.approx(2 * pi * radius, abs=1e-6)
        assert np.ptp(points[:, 1]) == pytest.approx(job.form.width_mm, abs=1e-6)
        assert template_dxf(one) == template_dxf(one)


def test_svg_has_the_same_lines(design_file: Path, job_of: Any) -> None:
    for one in templates(job_of(design_file)):
        root = ET.fromstring(template_svg(one, "Trial & <error>"))
        space = "{http://www.w3.org/2000/svg}"
        assert root.attrib["width"].endswith("mm")
        assert float(root.attrib["viewBox"].split()[2]) == pytest.approx(
            float(root.attrib["width"][:-2])
        )
        groups = {g.attrib["id"]: g for g in root.iter(f"{space}g")}
        for layer in LAYERS:
            lines = list(groups[layer].iter(f"{space}polyline"))
            assert len(lines) == len(one.layers[layer])
            for line, path in zip(lines, one.layers[layer], strict=True):
                points = [tuple(map(float, p.split(","))) for p in line.attrib["points"].split()]
                assert len(points) == len(path)
                # four decimals, y downwards
                assert points[0] == pytest.approx(
                    (path[0][0], one.across_mm - path[0][1]), abs=1e-4
                )


def test_joints_that_cross_the_end_come_in_again() -> None:
    """Derived: twelve slanted joints 6 wide are each 6 / cos long, cut or not."""
    text = (
        '[job]\nname = "Trial"\n[ring]\nsize = "18 mm across"\nwidth_mm = 6.0\nthickness_mm = 2.0\n'
        '[[part]]\nname = "plank"\nplace = "segments"\ncount = 12\nslant_deg = 35\ngap_mm = 0.05\n'
        'alloys = ["gold-750-green", "silver-925"]\n'
    )
    outside, bore = templates(rg.job(rg.design_from_text(text)))
    for one, lean in ((outside, tan(radians(35))), (bore, tan(radians(35)) * 9 / 11)):
        lengths = [hypot(b[0] - a[0], b[1] - a[1]) for a, b in one.layers["joint"]]
        assert sum(lengths) == pytest.approx(12 * 6 * hypot(1, lean), rel=1e-9)
        for path in one.layers["joint"]:
            assert all(-1e-9 <= x <= one.around_mm + 1e-9 for x, _ in path)


def test_a_wrapped_strip_shows_its_seam(designs: Path) -> None:
    text = (designs / "heron.toml").read_text("utf-8")
    wrapped = text.replace("depth_mm = 0.8", 'depth_mm = 0.8\nroute = "wrap and seam"')
    outside, bore = templates(rg.job(rg.design_from_text(wrapped)))
    assert len(outside.layers["seam"]) == 1
    assert outside.layers["joint"] == ()
    assert len(bore.layers["mark"]) == 1


@poppler
def test_the_printed_template_measures_right(job_of: Any, designs: Path, tmp_path: Path) -> None:
    """Rendered by poppler: the outside of Saltmarsh is 68.3 mm round, within 0.1 mm."""
    job = job_of(designs / "saltmarsh.toml")
    found = templates(job)
    ink = dark(template_pdf(found, "Saltmarsh", paper_named("A4")), tmp_path)
    top = ink[: round(40 / MM_PER_PIXEL)]
    runs = np.array([longest_run_mm(column) for column in top.T])
    # upright through the whole width stand the two ends of the outline, and nothing else
    tall = np.flatnonzero(runs > job.form.width_mm)
    ends = [part.mean() for part in np.split(tall, np.flatnonzero(np.diff(tall) > 5) + 1)]
    outside_mm = max(b - a for a, b in pairwise(sorted(ends))) * MM_PER_PIXEL
    assert outside_mm == pytest.approx(pi * job.outside_diameter_mm, abs=0.1)
    # and the line's own 0.42 mm up and down
    assert runs.max() == pytest.approx(job.form.width_mm + 0.42, abs=0.1)
