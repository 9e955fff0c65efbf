"""Waxes in one flask: on the button, or on a stem that is metal too; the button is taken once."""

from __future__ import annotations

from dataclasses import replace
from math import hypot, pi
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import ringgeom as rg
from ringgeom.afterwards import shared_castings, shared_melts
from ringgeom.form.curve import Flat
from ringgeom.form.measure import Build
from ringgeom.form.stand import Stand
from ringgeom.making.post import fillets_mm3
from ringgeom.making.sprue import sprue
from ringgeom.making.tree import CONE_MM, Hanging, tree
from ringgeom.shop import Casting, Shop

ROOT = Path(__file__).parents[2]
STAND = Stand(z_mm=0, width_mm=6, radius_mm=10, depth_mm=2, curve=Flat(10.0), angle=0.0)
BUILD = Build(area_mm2=12, perimeter_mm=16, length_mm=63, ends=0, stand=STAND)
WAX = Hanging(
    sprue=sprue(BUILD, Casting(), width_mm=6), reach_mm=22.0, along_mm=22.0, across_mm=6.0
)


def fillet(across: float, along: float, radius: float, *, run_mm: float) -> float:
    """Volume of one fillet [mm3]."""
    one = (np.array([mm]) for mm in (across, along, radius))
    return float(fillets_mm3(*one, run_mm=run_mm)[0])


def test_few_waxes_stand_on_the_button() -> None:
    """Derived: one wax 22 x 6 needs hypot(22, 6) across and a wall on both sides."""
    one = tree([WAX], Casting())
    assert (one.tiers, one.stem_mm3) == (0, 0.0)
    assert one.flask_across_mm == pytest.approx(hypot(22, 6) + 2 * 12.7, rel=1e-12)
    assert one.flask_height_mm == pytest.approx(CONE_MM + 12 + 22 + 12.7, rel=1e-12)
    # four side by side are 4 x 6 and three times 3 apart: 33 x 22, less than two rows
    four = tree([WAX] * 4, Casting())
    assert four.flask_across_mm == pytest.approx(hypot(33, 22) + 2 * 12.7, rel=1e-12)


def test_many_waxes_hang_on_a_stem() -> None:
    """Derived: round a stem of 6 with sprues of 12, 2 pi 15 / 9 = 10 rings 6 wide, 3 apart."""
    found = tree([WAX] * 21, Casting())
    assert (found.per_tier, found.tiers) == (10, 3)
    assert found.stem_length_mm == pytest.approx(3 * 25, rel=1e-12)
    assert found.stem_mm3 == pytest.approx(pi * 9 * 75, rel=1e-12)
    assert found.flask_across_mm == pytest.approx(2 * (3 + 12 + 22 + 12.7), rel=1e-12)
    # a thicker sprue thickens its stem
    thick = tree([WAX] * 21, Casting(stem_mm=1.0))
    assert thick.stem_mm == pytest.approx(WAX.sprue.diameter_mm, rel=1e-12)


def test_the_stem_is_poured_and_comes_back() -> None:
    """Derived: seven of an alloy are one too many for the button; the stem is in sprue and melt."""
    text = (
        '[job]\nname = "Trial"\n[ring]\nsize = "US 8"\nwidth_mm = 6.0\nthickness_mm = 2.0\n'
        '[[part]]\nname = "brick"\nplace = "segments"\ncount = 7\ngap_mm = 0.05\n'
        'alloys = ["gold-750-green"]\n'
    )
    design = rg.design_from_text(text)
    (found,) = rg.job(design).castings
    (roomy,) = rg.job(design, Shop.model_validate({"casting": {"base_waxes": 7}})).castings
    stem = found.tree.stem_mm3 * found.alloy.density_g_cm3 / 1000
    assert stem > 1
    assert found.flask.sprue_g - roomy.flask.sprue_g == pytest.approx(stem, rel=1e-9)
    assert found.flask.melt_g - roomy.flask.melt_g == pytest.approx(stem / 0.99, rel=1e-9)
    assert found.flask.recovery_percent == pytest.approx(99.0, rel=1e-12)


def test_two_rings_in_one_flask_have_one_button() -> None:
    """Derived: every gram of the parts and sprues twice, the button's six grams once."""
    job = rg.job(rg.read_design(ROOT / "designs/heron.toml"))
    both = shared_castings([job, job])
    assert [one.alloy.name for one in both] == [one.alloy.name for one in job.castings]
    for one, two in zip(job.castings, both, strict=True):
        assert two.flask.parts_g == pytest.approx(2 * one.flask.parts_g, rel=1e-12)
        assert two.flask.sprue_g == pytest.approx(2 * one.flask.sprue_g, rel=1e-12)
        assert two.flask.button_g == max(6.0, two.flask.parts_g / 2)
        assert two.tree.waxes == 2
        assert two.names == (f"Heron {one.names[0]}",) * 2
    melts = shared_melts([job, job], both).melts
    assert [one.wanted.grams for one in melts] == [one.flask.melt_g for one in both]
    assert {one.wanted.job for one in melts} == {"Heron"}
    apart = shared_melts([job, job]).melts
    assert len(apart) == 4


def test_the_command_tells_the_shared_flask(run: Any) -> None:
    heron = ROOT / "designs/heron.toml"
    done = run("melt", heron, heron, heron, heron, "--one-flask")
    assert done.code == 0
    assert "4 x Heron body" in done.out
    assert "once per flask" in done.out
    assert run("melt", "--alloy", "Au 75 Ag 25", "--grams", "3", "--one-flask").code == 2


def test_a_fillet_round_a_foot() -> None:
    """Derived by Pappus: a spandrel (1 - pi / 4) r^2, its centroid r (10 - 3 pi) / (12 - 3 pi) out.

    On a run just as wide as the foot only what lies along it is left.
    """
    r, foot = 0.5, 1.3
    area, out = (1 - pi / 4) * r**2, r * (10 - 3 * pi) / (12 - 3 * pi)
    whole = fillet(2 * foot, 2 * foot, r, run_mm=99)
    assert whole == pytest.approx(2 * pi * (foot + out) * area, rel=1e-9)
    # pressed together across by half, it is half as much
    assert fillet(foot, 2 * foot, r, run_mm=99) == pytest.approx(whole / 2, rel=1e-9)
    assert fillet(2 * foot, 2 * foot, 0.0, run_mm=99) == 0.0

    def cut(run: float) -> float:
        """By a plain sum over a fine grid."""
        z, y = (np.linspace(-foot - r, foot + r, 2001) for _ in range(2))
        rho = np.hypot(z[:, None], y[None, :]) - foot
        inside = (rho > 0) & (rho < r) & (np.abs(z[:, None]) < run / 2)
        height = np.where(inside, r - np.sqrt(np.maximum(r**2 - (r - rho) ** 2, 0)), 0)
        return float(height.sum()) * (z[1] - z[0]) ** 2

    for run in (2 * foot, 2 * foot + 0.4, foot):
        # the grid's steps of 0.0018 mm at a rim of some millimetres
        assert fillet(2 * foot, 2 * foot, r, run_mm=run) == pytest.approx(cut(run), rel=5e-3)


def test_a_sprue_freezes_after_its_part() -> None:
    """Derived: modulus d / 4 of a round sprue; 1.2 times the part's makes 1.44 of its time."""
    found = sprue(BUILD, Casting(sprue_section_percent=0), width_mm=6)
    assert found.modulus_mm == pytest.approx(found.diameter_mm / 4, rel=1e-12)
    assert found.casting_modulus_mm == pytest.approx(12 / 16, rel=1e-12)
    assert found.freezes_later == pytest.approx(1.44, rel=1e-9)


def test_published_times_of_freezing() -> None:
    """Published arithmetic: a casting 500 / 400 freezes in 187.5 s, its feeder 250 / 130 in 443.8.

    No constant is known for gypsum moulds, so the ratio alone is told: 2.37.
    """
    box = Build(area_mm2=50, perimeter_mm=30, length_mm=10, ends=2, stand=STAND)
    across = 4 * 250 / 130
    found = replace(sprue(box, Casting(), width_mm=5), across_mm=across, along_mm=across)
    assert found.freezes_later == pytest.approx(443.8 / 187.5, abs=0.005)
    assert found.freezes_later == pytest.approx(2.37, abs=0.005)


def test_a_wide_segment_reaches_down_at_its_ends() -> None:
    """Derived: a third of a ring 24 across over a bore of 21 is 12 - 10.5 cos 60 = 6.75 deep."""
    text = (
        '[job]\nname = "Trial"\n[ring]\nsize = "18 mm across"\nwidth_mm = 6.0\n'
        'thickness_mm = 3.0\n[[part]]\nname = "lining"\nplace = "liner"\nthickness_mm = 1.5\n'
        'alloy = "silver-925"\n[[part]]\nname = "third"\nplace = "segments"\ncount = 3\n'
        'alloys = ["gold-750-green"]\n'
    )
    still = {"outside_mm": 0.0, "bore_mm": 0.0, "edge_mm": 0.0}
    shop = Shop.model_validate({"stock": still, "shrink": {"gold": 0.0, "silver": 0.0}})
    third = rg.job(rg.design_from_text(text), shop).castings[1]
    assert third.tree.flask_height_mm == pytest.approx(CONE_MM + 12 + 6.75 + 12.7, rel=1e-9)
    leaning = text.replace("count = 3", "count = 3\nslant_deg = 60")
    more = rg.job(rg.design_from_text(leaning), shop).castings[1]
    assert more.tree.flask_height_mm > third.tree.flask_height_mm
    # and its foot is no wider than the piece is square to its joints
    for one in more.sprues:
        assert max(one.across_mm, one.along_mm) <= 2 * pi * 12 / 3 * 0.5 + 1e-9
