"""The page for those who read with another eye: no violation of the WCAG rules that axe knows."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import pytest
from page.browsing import Bench, in_chromium

sync_playwright = pytest.importorskip("axe_playwright_python.sync_playwright")
pytestmark = in_chromium

LEAST_PASSED = 20
"""So many rules found something to judge on the emptiest of these views."""


def wrong(page: Any) -> Sequence[str]:
    """The rules of axe-core (the test engine of that name, 2 A and AA among them) that break."""
    found = sync_playwright.Axe().run(page).response
    assert len(found["passes"]) >= LEAST_PASSED
    assert "color-contrast" in {one["id"] for one in found["passes"] + found["violations"]}
    return [f"{one['id']}: {one['nodes'][0]['html']}" for one in found["violations"]]


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_every_view_can_be_read_by_anyone(turning: Bench, scheme: str) -> None:
    page = turning.page
    page.emulate_media(color_scheme=scheme)
    assert wrong(page) == []
    for drawer in ("#parts-open", "#text-open"):
        page.click(drawer)
        assert wrong(page) == []
    page.click("#parts-open")
    for button in ("Add lettering", "Add a pattern", "Add room for a mark"):
        turning.settled(lambda words=button: page.click(f"text={words}"))
    assert wrong(page) == []
    for dialog in ("#open", "#take"):
        page.click(dialog)
        turning.until("document.querySelector('#box').open")
        assert wrong(page) == []
        page.keyboard.press("Escape")
        turning.until("!document.querySelector('#box').open")


def test_what_cannot_be_read_is_found(turning: Bench) -> None:
    turning.page.evaluate("document.querySelector('#made').style.color = '#ccc8bd'")
    turning.page.evaluate("document.querySelector('#undo').replaceChildren()")
    turning.page.evaluate("document.querySelector('#undo').removeAttribute('title')")
    found = " ".join(wrong(turning.page))
    assert 'color-contrast: <p id="made"' in found
    assert "button-name" in found
