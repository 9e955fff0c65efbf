"""A taper as it is written in a design file, and what every command makes of it."""

from __future__ import annotations

import json
from collections.abc import Callable
from itertools import pairwise
from math import pi, tau
from pathlib import Path
from typing import Any

import ezdxf
import pytest

import ringgeom as rg
from ringgeom.design import design_from_text
from ringgeom.errors import InputError
from ringgeom.form.volume import volumes

ROOT = Path(__file__).parents[1]
CURLEW = ROOT / "designs" / "curlew.toml"
PLAIN = """[job]
name = "Godwit"

[ring]
size = "18.0 mm across"
width_mm = 6.0
thickness_mm = 2.0
{taper}

[body]
alloy = "gold-750-yellow-3n"

[[part]]
name = "reed"
place = "channel"
alloy = "Au 75 Ag 25"
width_mm = 2.0
depth_mm = 0.8
gap_mm = 0.05
route = "wrap and seam"
"""
TAPER = 'taper = [{ at = "6:00", width_mm = 4.0, thickness_mm = 1.6 }]'


def asked(taper: str) -> rg.Design:
    return design_from_text(PLAIN.format(taper=taper))


@pytest.mark.parametrize(
    ("taper", "said"),
    [
        ('taper = [{ at = "12:00", width_mm = 4.0 }]', "measures already"),
        ('taper = [{ at = "6:00", width_mm = 4 }, { at = 180, width_mm = 5 }]', "another place"),
        ('taper = [{ at = "6:00", width_mm = 4 }, { at = -180, width_mm = 5 }]', "another place"),
        ("taper = [{ at = 360, width_mm = 4.0 }]", "measures already"),
        ('taper = [{ at = "6:00", width_mm = 6.5 }]', "wider than the band at 12"),
        ('taper = [{ at = "6:00", thickness_mm = 2.1 }]', "thicker than the band at 12"),
        ('taper = [{ at = "6:00" }]', "nothing tapers here"),
        ('taper = [{ at = "25:00", width_mm = 4 }]', "not a place round the ring"),
        ('taper = [{ at = "6:00", widht_mm = 4 }]', "width_mm"),
        ('taper = [{ at = "6:00", width_mm = -1 }]', "more than 0"),
    ],
)
def test_what_is_wrong_with_a_taper_is_said(taper: str, said: str) -> None:
    with pytest.raises(InputError) as caught:
        asked(taper)
    assert said in str(caught.value)


def test_even_stations_are_no_taper() -> None:
    even = asked('taper = [{ at = "6:00", width_mm = 6.0, thickness_mm = 2.0 }]')
    assert even.ring.tapered is None
    assert rg.job(even).finished_g == rg.job(asked("")).finished_g


def test_a_measure_left_out_eases_on_between_those_that_give_it() -> None:
    taper = asked(
        'taper = [{ at = "3:00", width_mm = 5.0 }, { at = "6:00", thickness_mm = 1.6 }]'
    ).ring.tapered
    assert taper is not None
    assert taper.at(pi / 2) == (5.0, 1.8)
    assert taper.at(pi) == (5.25, 1.6)
    # from 3:00 back to 12:00, two thirds of the way at 9:00: half a cosine is at three quarters
    assert taper.at(3 * pi / 2)[0] == pytest.approx(5.0 + 0.75, abs=1e-9)
    assert taper.at(-pi / 2) == taper.at(3 * pi / 2)


def test_a_stop_at_a_station_names_it() -> None:
    found = rg.job(asked('taper = [{ at = "6:00", thickness_mm = 0.4 }]')).findings
    stops = [f for f in found if f.level == "stop"]
    assert stops
    assert all(f.text.startswith("at 6:00: ") for f in stops)


def test_slanted_joints_stop_it() -> None:
    slanted = PLAIN.format(taper=TAPER).replace('Au 75 Ag 25"\nwidth', 'Ag 100"\nwidth') + (
        '[[part]]\nname = "planks"\nplace = "segments"\nalloys = ["Ag 100"]\ncount = 4\n'
        "slant_deg = 20\n"
    )
    job = rg.job(design_from_text(slanted))
    assert [f.code for f in job.findings if f.level == "stop"] == ["cannot-be-laid-out"]


def test_the_hours_are_in_report_json_and_sheet(run: Callable[..., Any], tmp_path: Path) -> None:
    ran = run("make", "--no-pictures", CURLEW, "--out", tmp_path)
    assert ran.code == 0
    assert "it tapers to 6.8 x " in ran.out
    assert "4.2 x 1.8 mm at 6:00" in ran.out
    ring = json.loads((tmp_path / "curlew" / "job.json").read_text("utf-8"))["ring"]
    at = {one["at"]: (one["width_mm"], one["thickness_mm"]) for one in ring["taper"]}
    assert len(at) == 14
    assert at["12:00"] == (7.0, 2.3)
    assert at["6:00"] == (4.2, 1.8)
    assert at["1:30"][0] == 6.8
    assert at["3:00"][1] == pytest.approx(2.05, abs=1e-9)
    assert "taper at" in ran.out


def test_the_template_is_as_long_as_the_outside(run: Callable[..., Any], tmp_path: Path) -> None:
    """Judged by ezdxf: the outline encloses the outside's own area, edge to edge."""
    job = rg.job(asked(TAPER))
    bench = job.bench()
    assert bench is not None
    outside, bore = bench.templates
    # half a cosine has its mean half-way: 1.8 mm over a bore of 9 mm radius
    assert outside.around_mm == pytest.approx(tau * (9.0 + 1.8), abs=1e-9)
    assert bore.around_mm == pytest.approx(tau * 9.0, abs=1e-12)
    assert run("make", "--no-pictures", CURLEW, "--out", tmp_path).code == 0
    (path,) = (tmp_path / "curlew" / "templates").glob("*outside*.dxf")
    drawn = ezdxf.readfile(path)
    assert not drawn.audit().has_errors
    outline = next(iter(drawn.modelspace().query('LWPOLYLINE[layer=="outline"]')))
    points = [(p[0], p[1]) for p in outline.get_points()]
    shoelace = 0.5 * abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in pairwise(points)))
    taper = rg.read_design(CURLEW).ring.tapered
    assert taper is not None
    steps = 20_000
    radius = rg.job(rg.read_design(CURLEW)).form.inside_diameter_mm / 2
    area = sum(
        wide * (radius + thick) * tau / steps
        for wide, thick in (taper.at(tau * (k + 0.5) / steps) for k in range(steps))
    )
    # chords keep within 0.01 mm of both edges
    assert shoelace == pytest.approx(area, abs=2 * 0.01 * outside.around_mm)


@pytest.mark.parametrize("taper", [TAPER, 'taper = [{ at = "4:00", thickness_mm = 1.5 }]'])
def test_another_size_is_the_same_taper(taper: str) -> None:
    """Pappus: every volume is linear in the bore, tapered or not."""
    found = []
    for size in (16.0, 18.0, 20.0):
        text = PLAIN.format(taper=taper).replace("18.0 mm across", f"{size} mm across")
        ring = rg.job(design_from_text(text)).ring
        assert ring is not None
        found.append(sum(v.volume_mm3 for v in volumes(ring).values()))
    assert found[1] == pytest.approx((found[0] + found[2]) / 2, rel=1e-12)


def test_rows_of_a_grid_are_the_rings(run: Callable[..., Any], tmp_path: Path) -> None:
    """A wider band tapers to the same share of itself."""
    (tmp_path / "godwit.toml").write_text(PLAIN.format(taper=TAPER), encoding="utf-8")
    ran = run("grid", tmp_path / "godwit.toml", "--sizes", "US 5, 7, 9", "--json")
    rows = json.loads(ran.out)["rows"]
    for row in rows:
        text = PLAIN.format(taper=TAPER).replace("18.0 mm across", row["size"])
        assert row["finished_g"] == pytest.approx(rg.job(design_from_text(text)).finished_g)
