"""The page printed, in inches, and without WebGL: what a bench may have instead of a screen."""

from __future__ import annotations

from io import BytesIO
from math import hypot
from typing import Any

import pytest
from page.browsing import Bench, in_chromium

pypdf = pytest.importorskip("pypdf")
pytestmark = in_chromium


def sized(sheet: Any) -> list[tuple[str, float]]:
    """Every text of a page with the height of its letters in points."""
    found: list[tuple[str, float]] = []

    def see(text: str, cm: list[float], tm: list[float], font: Any, size: float) -> None:
        found.append((text, size * hypot(cm[2], cm[3]) * hypot(tm[2], tm[3])))

    sheet.extract_text(visitor_text=see)
    return found


def test_it_prints_on_one_sheet_and_needs_no_colour(waves: Bench) -> None:
    page = waves.page
    page.set_viewport_size({"width": 1900, "height": 1000})  # what is wide shall not print tiny
    for paper in ("A4", "Letter"):
        sheets = pypdf.PdfReader(BytesIO(page.pdf(format=paper))).pages
        assert len(sheets) == 1
        words = sheets[0].extract_text()
        for word in ("Saltmarsh", "outside unrolled", "grass", "to melt", "ΔE"):
            assert word in words
        assert "Undo" not in words
        figures = [abs(size) for text, size in sized(sheets[0]) if "6.60" in text]
        assert figures
        assert min(figures) > 7.5  # points; below 7 figures are hard to read
    page.emulate_media(media="print")
    for drawn in ("#section", "#outside", "#grams .swatch", "#colours svg"):
        fills = page.evaluate(
            f"[...document.querySelectorAll('{drawn} .hatched')]"
            ".map((e) => getComputedStyle(e).display !== 'none' && e.getAttribute('fill'))"
        )
        # three alloys, each with a hatching of its own
        assert len(set(fills)) == 3, drawn
        assert False not in fills


def test_ways_out_are_told_in_the_chosen_unit(bench: Bench) -> None:
    page = bench.page
    page.focus('[data-grip="0 depth"]')
    page.keyboard.press("Enter")
    page.keyboard.type("1.8")
    bench.settled(lambda: page.keyboard.press("Enter"))
    found = page.inner_text('[data-fix="thin-floor"]')
    page.click("#units")
    depth = float(found.split()[-1])
    assert page.inner_text('[data-fix="thin-floor"]') == f"depth {depth / 25.4:.4f} in"
    page.click("#units")
    assert page.inner_text('[data-fix="thin-floor"]') == found


def test_without_webgl_the_ring_is_drawn_in_its_metals(turning: Bench) -> None:
    """Derived: seen along the finger a stripe at the edge hides what lies behind it."""
    page = turning.page
    page.add_init_script("HTMLCanvasElement.prototype.getContext = () => null;")
    page.goto(f"{turning.address}?design=saltmarsh.toml")
    turning.until("document.body.dataset.ring === 'drawn'")
    fills = page.evaluate(
        "[...document.querySelectorAll('#ring svg path')].map((e) => e.getAttribute('fill'))"
    )
    water = page.evaluate(
        "[...document.querySelectorAll('#outside path.face')]"
        ".find((e) => e.textContent === 'water').getAttribute('fill')"
    )
    assert fills[-2:] == [water, "none"]  # painted last but for the outline: nearest to the eye
    assert "no WebGL" in page.inner_text("#ring-tools")
