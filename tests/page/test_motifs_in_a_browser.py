"""A motif inlay on the page: drawn on the outside, its fields typed, the ring turned."""

from __future__ import annotations

from pathlib import Path

import pytest
from page.browsing import Bench, in_chromium

import ringgeom as rg

pytestmark = in_chromium


def test_a_motif_inlay_is_shown_and_changed(bench: Bench, designs: Path) -> None:
    """Grams are those of `weigh`, before and after a key is typed."""
    folder, page = bench.file.parent, bench.page
    for name in ("rowan.toml", "rowan-leaf.svg", "rowan-berry.svg"):
        (folder / name).write_bytes((designs / name).read_bytes())
    page.goto(f"{bench.address}?design=rowan.toml")
    bench.until("document.body.dataset.ready === 'yes'")
    assert bench.total() == pytest.approx(rg.job(rg.read_design(folder / "rowan.toml")).finished_g)
    page.click("#parts-open")
    field = '[data-field="part.1.depth_mm"]'
    page.fill(field, "0.7")
    bench.settled(lambda: page.press(field, "Enter"))
    (folder / "typed.toml").write_text(bench.text(), "utf-8")
    typed = rg.read_design(folder / "typed.toml")
    assert typed.parts[1].depth_mm == 0.7  # type: ignore[union-attr]
    assert bench.total() == pytest.approx(rg.job(typed).finished_g)
    assert page.locator('[data-field="part.2.cutter_mm"]').count() == 1
