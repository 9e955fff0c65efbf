"""Grips of a band that tapers lie on its walls, and a wall follows the hand all round."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

import ringgeom as rg
from ringgeom.design import design_from_text
from ringgeom.page.along_taper import grips_along, measures_along
from ringgeom.page.grips_round import grips_round
from ringgeom.page.measures_round import measures_round

ROOT = Path(__file__).parents[2]
TEXT = (ROOT / "designs" / "curlew.toml").read_text(encoding="utf-8")
WAVING = TEXT.replace("gap_mm = 0.05", "gap_mm = 0.05\nwave = { amplitude_mm = 0.3, count = 5 }")


def walls_mm(job: rg.Job, s_mm: float) -> list[float]:
    """Where the takes of the first part end at a place round the outside, by the section."""
    assert job.ring is not None
    angle = s_mm / job.form.band.crest_mm
    ((_, section),) = job.ring.sections(np.array([angle]))
    mine = [c for c in section.cells if any(o.claim == 0 for o in c.owners)]
    columns = [c.column for c in mine]
    return [float(section.cuts[min(columns), 0]), float(section.cuts[max(columns) + 1, 0])]


@pytest.mark.parametrize("text", [TEXT, WAVING], ids=["straight", "waving"])
def test_grips_lie_on_their_walls_and_move_with_the_hand(text: str) -> None:
    job = rg.job(design_from_text(text))
    held = {g.name: g for g in grips_along(grips_round(job.design, job.form.band), job.form)}
    across = [g for g in held.values() if g.axis == "y" and g.moves[0].key[-1] == "width_mm"]
    assert len(across) == 2
    for grip in across:
        s, z = grip.at_mm
        nearest = min(walls_mm(job, s), key=lambda at: abs(at - z))
        assert z == pytest.approx(nearest, abs=1e-9)
        # pulled by a tenth: the wall comes along by as much, there where the hand is
        (width,) = (m for m in grip.moves if m.key[-1] == "width_mm")
        (centre,) = (m for m in grip.alone if m.key[-1] == "centre_mm")
        assert centre is not None
        pulled = 0.1
        wider = width.value + width.per * pulled
        moved = rg.job(design_from_text(text.replace("\nwidth_mm = 2.0", f"\nwidth_mm = {wider}")))
        after = min(walls_mm(moved, s), key=lambda at: abs(at - z))
        assert after - z == pytest.approx(pulled, abs=1e-9)


def test_lines_keep_to_the_band() -> None:
    job = rg.job(design_from_text(WAVING))
    lines = measures_along(measures_round(job.design, job.form.band), job.form)
    assert lines
    for line in lines:
        if line.side == "right":
            assert "12 o'clock" in line.says
            assert 0 < line.to_mm - line.from_mm <= line.value
    even = rg.job(design_from_text((ROOT / "designs" / "heron.toml").read_text(encoding="utf-8")))
    plain = grips_round(even.design, even.form.band)
    assert grips_along(plain, even.form) == plain
