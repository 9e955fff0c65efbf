"""A finished ring at another size."""

from __future__ import annotations

import json
from collections.abc import Callable
from math import pi
from pathlib import Path
from typing import Any

import pytest

import ringgeom as rg
from ringgeom.errors import InputError
from ringgeom.resizing import Resize, resize

DESIGNS = Path(__file__).parents[1] / "designs"
Run = Callable[..., Any]


def resized(name: str, to: str, shop: rg.Shop | None = None) -> Resize:
    return resize(rg.read_design(DESIGNS / f"{name}.toml"), shop, to)


def works(found: Resize) -> set[str]:
    return {way.kind for way in found.ways if way.works}


def test_half_a_us_size_is_1_277_mm_of_every_part() -> None:
    """pi x 0.4064 mm, whatever the layer (computed in the facts)."""
    found = resized("heron", "US 7 1/2")
    assert [one.part.name for one in found.parts] == ["reed", "body"]
    for one in found.parts:
        assert one.length_mm == pytest.approx(pi * 0.4064, abs=1e-6)
        assert one.length_mm == pytest.approx(1.277, abs=5e-4)


def test_what_is_let_in_is_what_the_new_ring_weighs_more() -> None:
    """Derived: both grow by the section times the length; the shape is the same at both sizes."""
    found = resized("heron", "US 8")
    now = {part.name: part.finished_g for part in found.before.parts}
    for one, after in zip(found.parts, found.after.parts, strict=True):
        more = after.finished_g - now[one.part.name]
        assert one.grams == pytest.approx(more, rel=0.02)


def test_smaller_is_cut_or_sleeved_never_stretched() -> None:
    found = resized("heron", "US 5 1/2")
    assert works(found) == {"cut and close", "sleeve", "remake"}
    assert found.verdict.kind == "cut and close"
    (sleeve,) = (way for way in found.ways if way.kind == "sleeve")
    assert sleeve.value == pytest.approx(1.5 * 0.8128 / 2, abs=1e-6)
    assert "sleeve" not in works(resized("heron", "US 6 1/2"))


def test_larger_is_stretched_up_to_the_limit() -> None:
    assert resized("heron", "US 7 1/2").verdict.kind == "stretch"
    assert resized("heron", "US 9").verdict.kind == "cut and add"
    shy = rg.Shop.model_validate({"joining": {"stretch_percent": 1.0}})
    assert resized("heron", "US 7 1/2", shy).verdict.kind == "cut and add"


def test_far_away_it_is_made_anew() -> None:
    """Six sizes: what is let in no longer fits the curve; the shop says from how many sizes on."""
    far = resized("heron", "US 13")
    assert far.verdict.kind == "remake"
    (cut,) = (way for way in far.ways if way.kind == "cut and add")
    assert (cut.works, cut.limit, cut.unit) == (False, 2.0, "US sizes")
    # 17.3228 + 6 x 0.8128
    assert cut.value == pytest.approx(6.0, abs=1e-6)
    bold = rg.Shop.model_validate({"joining": {"resize_cut_us": 7.0}})
    assert resized("heron", "US 13", bold).verdict.kind == "cut and add"


def test_what_is_joined_stretches_less_than_what_is_whole() -> None:
    whole = rg.design_from_text(
        '[job]\nname = "Plain"\n[ring]\nsize = "US 7"\nwidth_mm = 5.0\nthickness_mm = 1.8\n'
        '[body]\nalloy = "gold-750-yellow-3n"\n'
    )
    # a whole size is 4.7 %, within the usual 5
    assert resize(whole, None, "US 8").verdict.kind == "stretch"
    assert resized("heron", "US 8").verdict.kind == "cut and add"
    (way,) = (one for one in resized("heron", "US 8").ways if one.kind == "stretch")
    assert "joined" in way.words


def test_waves_and_segments_are_not_cut() -> None:
    waving = resized("tideline", "US 10")
    assert works(waving) == {"remake"}
    assert waving.parts == ()
    assert "stretch" not in works(resized("quarry", "US 11 1/2"))
    assert "cut and add" not in works(resized("quarry", "US 11 1/2"))


def test_a_ring_made_anew_keeps_its_pattern_and_rails() -> None:
    found = resized("tideline", "US 10")
    assert found.after.ring is not None
    assert found.before.ring is not None
    assert [w.count for w in found.after.ring.waves] == [w.count for w in found.before.ring.waves]
    # axial measures are those of the design: rails are as wide at every size
    rails = [
        [finding.value for finding in one.findings if finding.code == "thin-rail"]
        for one in (found.before, found.after)
    ]
    assert rails[0] == rails[1]


@pytest.mark.parametrize(
    ("to", "said"),
    [("US 7", "already has this size"), ("17.32 mm across", "already"), ("30", ""), ("US 99", "")],
)
def test_what_is_no_change_of_size_is_refused(to: str, said: str) -> None:
    with pytest.raises(InputError) as refused:
        resized("heron", to)
    assert said in str(refused.value)


def test_the_command(run: Run) -> None:
    done = run("resize", DESIGNS / "heron.toml", "--to", "US 7 1/2", "--json")
    assert done.code == 0, done.err
    found = json.loads(done.out)
    assert found["verdict"] == "stretch"
    assert {part["name"] for part in found["parts"]} == {"reed", "body"}
    assert "verdict: stretch" in run("resize", DESIGNS / "heron.toml", "--to", "US 7 1/2").out
    assert run("resize", DESIGNS / "heron.toml", "--to", "US 7").code == 2


def test_a_ring_that_cannot_be_made_is_a_stop(run: Run, tmp_path: Path) -> None:
    text = (DESIGNS / "heron.toml").read_text("utf-8").replace("depth_mm = 0.8", "depth_mm = 1.85")
    bad = tmp_path / "bad.toml"
    bad.write_text(text)
    done = run("resize", bad, "--to", "US 8")
    assert done.code == 1
    assert "STOP" in done.out
    broken = tmp_path / "shop.toml"
    broken.write_text("[casting]\nbutton_min_g = -1\n")
    done = run("resize", DESIGNS / "heron.toml", "--to", "US 8", "--shop", broken)
    assert done.code == 2
    assert str(broken) in done.err
