"""What follows the hand is the first half of the whole job, not a second way to the same."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

import ringgeom as rg
from ringgeom.design import design_from_text
from ringgeom.making.part import Finished
from ringgeom.output.json import job_json, sketch_json
from ringgeom.sketch import sketch

DESIGNS = Path(__file__).resolve().parents[1] / "designs"
NAMES = sorted(path.stem for path in DESIGNS.glob("*.toml"))


@pytest.mark.parametrize("name", NAMES)
def test_a_sketch_is_the_job_as_far_as_the_form_goes(name: str) -> None:
    design = rg.read_design(DESIGNS / f"{name}.toml")
    quick, whole = sketch(design), rg.job(design)
    assert quick.volumes == whole.volumes
    assert quick.findings == whole.on_form
    assert set(whole.on_form) <= set(whole.findings)
    assert (quick.finished_g, quick.uncertainty_g) == (whole.finished_g, whole.uncertainty_g)
    told, full = sketch_json(quick), job_json(whole)
    assert told["ring"] == full["ring"]
    for mine, theirs in zip(told["parts"], full["parts"], strict=True):
        assert mine.items() <= theirs.items()


def test_a_sketch_has_no_stock_to_tell() -> None:
    quick = sketch(rg.read_design(DESIGNS / "heron.toml"))
    assert all(type(part) is Finished for part in quick.parts)
    assert not any("cast" in key or "melt" in key for key in sketch_json(quick)["parts"][0])


def test_what_stops_the_form_stops_the_sketch() -> None:
    text = (DESIGNS / "heron.toml").read_text(encoding="utf-8")
    stopped = sketch(design_from_text(text.replace("depth_mm = 0.8", "depth_mm = 1.75")))
    assert stopped.stopped
    assert (stopped.ring, stopped.parts) == (None, ())
    assert stopped.findings[0].level == "stop"


def test_a_plain_ring_is_weighed_without_what_engraves() -> None:
    """Fonts, drawings and reliefs are not even loaded for it."""
    code = (
        "import sys, ringgeom as rg\n"
        f"rg.job(rg.read_design({str(DESIGNS / 'heron.toml')!r}))\n"
        "print(*sorted(m for m in sys.modules if m.startswith('ringgeom.engraving.')))\n"
    )
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    loaded = {name.split(".")[2] for name in ran.stdout.split()}
    assert "asked" in loaded
    assert not loaded & {"engraved", "figures", "row", "relief", "svg", "combined", "features"}
