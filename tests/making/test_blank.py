"""Blanks, rolling and turning: lengths, stages, swarf, diameters."""

from __future__ import annotations

from math import asin, cos, pi, sin
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

import ringgeom as rg
from ringgeom.design import Design
from ringgeom.errors import InputError
from ringgeom.making.blank import turned
from ringgeom.making.rolling import rolling
from ringgeom.shop import Fabricating

DESIGNS = sorted((Path(__file__).parents[2] / "designs").glob("*.toml"))


def band(stock: float = 0.0, **ring: Any) -> rg.Job:
    """A plain band 18 across, 6 x 2, of one metal."""
    asked = {
        "job": {"name": "Trial"},
        "ring": {"size": "18 mm across", "width_mm": 6.0, "thickness_mm": 2.0, **ring},
        "body": {"alloy": "gold-750-yellow-3n"},
    }
    still = {"outside_mm": stock, "bore_mm": stock, "edge_mm": stock}
    return rg.job(Design.model_validate(asked), rg.Shop.model_validate({"stock": still}))


@pytest.mark.parametrize(
    ("first", "last", "stages", "anneals"), [(5, 2, 2, 1), (8, 1, 3, 2), (2, 2, 0, 0), (4, 2, 1, 0)]
)
def test_stages_at_the_mill(first: float, last: float, stages: int, anneals: int) -> None:
    """5 to 2 in 2 stages, 8 to 1 in 3 (computed in the facts; 50 % is common practice)."""
    found = rolling(first, last)
    assert (found.stages, found.anneals) == (stages, anneals)
    assert found.thickness_mm[0] == first
    assert found.thickness_mm[-1] == pytest.approx(last, rel=1e-12)


@given(st.floats(0.5, 30), st.floats(0.05, 1), st.floats(10, 80))
def test_no_stage_takes_more_than_it_may(first: float, share: float, reduction: float) -> None:
    found = rolling(first, first * share, reduction_percent=reduction)
    for before, after in zip(found.thickness_mm[:-1], found.thickness_mm[1:], strict=True):
        assert 1 - after / before <= reduction / 100 + 1e-9


@pytest.mark.parametrize(("first", "last"), [(2, 5), (0, 1), (5, -1), (5, float("nan"))])
def test_what_no_mill_does_is_refused(first: float, last: float) -> None:
    with pytest.raises(InputError):
        rolling(first, last)


def test_a_strip_for_a_flat_band() -> None:
    """Derived: pi (d + t) = 62.83 for 18 across and 2 thick; ends 0.5 and kerf 0.3 beside."""
    (one,) = band().bench().blanks
    assert one.bent_mm == pytest.approx(pi * 20, rel=1e-9)
    assert one.cut_mm == pytest.approx(pi * 20 + 0.8, rel=1e-9)
    assert (one.width_mm, one.thickness_mm) == (pytest.approx(6), pytest.approx(2))
    assert one.strain_percent == pytest.approx(10.0, abs=1e-9)
    # the ingot holds the strip and its crop
    strip = one.cut_mm * 6 * 2
    ingot = one.ingot_mm[0] * one.ingot_mm[1] * one.ingot_mm[2]
    assert ingot == pytest.approx(strip * 1.1, rel=1e-9)


def test_a_domed_section_is_cut_at_its_centroid() -> None:
    """Pappus: length times section is the volume, exactly; a flat strip is filed after bending."""
    job = band(outside={"form": "domed", "rise_mm": 0.6})
    (one,) = job.bench().blanks
    assert one.bent_mm == pytest.approx(pi * 20, rel=1e-9)
    # Derived: centroid of a rectangle 6 x 1.4 under a segment of chord 6 and rise 0.6
    bend = (9 + 0.36) / 1.2
    angle = asin(3.0 / bend)
    segment = bend**2 * (angle - sin(angle) * cos(angle))
    height = 4 * bend * sin(angle) ** 3 / (3 * (2 * angle - sin(2 * angle)))
    centroid = (6 * 1.4 * (9 + 0.7) + segment * (9 + 1.4 + height - (bend - 0.6))) / (
        6 * 1.4 + segment
    )
    assert one.profiled_mm == pytest.approx(2 * pi * centroid, rel=1e-9)


def test_a_half_round_profiled_before_bending() -> None:
    """6 x 2 at 18: 62.832; half-round of radius 2: 61.882, and 62.832 flat (computed, facts)."""
    text = (
        '[job]\nname = "Half"\n[ring]\nsize = "18 mm across"\nwidth_mm = 4.0\n'
        'thickness_mm = 2.0\noutside = { form = "domed", rise_mm = 1.9999 }\n'
        '[body]\nalloy = "gold-750-yellow-3n"\n'
    )
    still = {"outside_mm": 0.0, "bore_mm": 0.0, "edge_mm": 0.0}
    job = rg.job(rg.design_from_text(text), rg.Shop.model_validate({"stock": still}))
    (one,) = job.bench().blanks
    # a dome of all but 2 leaves 0.0001 of wall at its edges
    assert one.profiled_mm == pytest.approx(61.882, abs=1e-3)
    assert one.bent_mm == pytest.approx(62.832, abs=5e-4)


def test_a_grooved_body_is_bent_before_it_is_grooved() -> None:
    """Derived: 18 across, 2 thick, stock 0.1: the strip is pi (17.8 + 2.2), channel or none."""
    plain = rg.design_from_text(
        '[job]\nname = "Trial"\n[ring]\nsize = "18 mm across"\nwidth_mm = 6.0\n'
        'thickness_mm = 2.0\n[body]\nalloy = "gold-750-yellow-3n"\n[[part]]\nname = "inlay"\n'
        'place = "channel"\nalloy = "gold-750-green"\nwidth_mm = 3.0\ndepth_mm = 1.0\n'
        "gap_mm = 0.05\n"
    )
    body = rg.job(plain).bench().blanks[1]
    assert body.bent_mm == pytest.approx(pi * 20, rel=1e-9)
    assert body.profiled_mm < body.bent_mm
    # the ingot is the strip and its crop
    strip = body.cut_mm * body.width_mm * body.thickness_mm
    grams = 1.1 * strip * body.part.alloy.density_g_cm3 / 1000
    assert body.ingot_g == pytest.approx(grams, rel=1e-9)


def test_rod_and_tube() -> None:
    """22.7 % of a rod 23 x 8, 50 % of a tube 23 / 17 x 8 (computed in the facts)."""
    settings = Fabricating(turning_mm=0.5, parting_mm=1.0)
    volume = pi / 4 * (22**2 - 18**2) * 6
    rod = turned("rod", 22, 0, 6, volume, 15.0, settings)
    tube = turned("tube", 22, 18, 6, volume, 15.0, settings)
    assert (rod.across_mm, rod.length_mm) == (23, 8)
    assert (tube.across_mm, tube.bore_mm) == (23, 17)
    assert rod.used_percent == pytest.approx(22.7, abs=0.05)
    assert tube.used_percent == pytest.approx(50.0, abs=1e-9)
    assert rod.swarf_g == pytest.approx((pi / 4 * 23**2 * 8 - volume) * 0.015, rel=1e-12)


def test_the_turning_table_is_in_diameters() -> None:
    job = rg.job(rg.read_design(DESIGNS[0].parent / "heron.toml"))
    faces = {cut.face: cut for cut in job.bench().turning}
    bore = faces["bore"]
    # US 7 is 17.32 across; 0.10 is left on every polished face
    assert (bore.finished_mm, bore.turned_mm) == (17.32, 17.12)
    outside = faces["outside at mid-width"]
    assert (outside.finished_mm, outside.turned_mm) == (21.12, 21.32)
    floor = faces["floor for reed"]
    # 21.1228 less twice 0.8, no stock where parts meet
    assert (floor.finished_mm, floor.stock_mm) == (19.52, 0.0)
    diameters = [cut.finished_mm for cut in job.bench().turning]
    assert diameters == sorted(diameters)


def test_the_turning_table_says_what_is_recessed_and_what_waves() -> None:
    """Plover's body lies 0.2 below its inlays: 23.40 less 0.40; a wave's floor is not turned."""
    plover = rg.job(rg.read_design(DESIGNS[0].parent / "plover.toml")).bench().turning
    faces = {cut.face: cut.finished_mm for cut in plover}
    outside = faces["outside at mid-width"]
    assert faces["outside of the body"] == pytest.approx(outside - 0.40, abs=1e-9)
    tideline = rg.job(rg.read_design(DESIGNS[0].parent / "tideline.toml")).bench().turning
    (floor,) = (cut for cut in tideline if cut.face.startswith("floor for foam"))
    assert floor.face.endswith("waves: not turned")
    # 1.2 wide, swinging by 1.4
    assert floor.at_mm == (pytest.approx(-2.0), pytest.approx(2.0))


@pytest.mark.parametrize("path", DESIGNS, ids=lambda path: path.stem)
def test_every_part_has_a_blank_that_holds_it(path: Path) -> None:
    job = rg.job(rg.read_design(path))
    blanks = job.bench().blanks
    assert [one.part for one in blanks] == list(job.parts)
    for one in blanks:
        assert one.bent_mm * one.width_mm * one.thickness_mm >= one.part.cast_mm3 * 0.98
        assert all(0 < bar.used_percent < 100 for bar in one.turned)
