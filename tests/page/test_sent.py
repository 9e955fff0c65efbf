"""The picture that is sent: one file, read by a real browser, with the network cut."""

from __future__ import annotations

import re
import time
from pathlib import Path
from typing import Any

import pytest
from page.browsing import PATIENCE_S, in_chromium

import ringgeom as rg
from ringgeom.errors import StopError
from ringgeom.page.sent import sent_html, sent_name

DESIGNS = Path(__file__).parents[2] / "designs"

STOPPED = """
[job]
name = "Stopped"
[ring]
size = "18 mm across"
width_mm = 6.0
thickness_mm = 2.0
[body]
alloy = "gold-750-yellow-3n"
[[part]]
name = "line"
place = "channel"
alloy = "gold-750-green"
width_mm = 2.0
depth_mm = 1.95
"""


@pytest.fixture(scope="module")
def harbour() -> rg.Job:
    return rg.job(rg.read_design(DESIGNS / "harbour.toml"))


def test_the_same_job_gives_the_same_bytes_and_asks_nobody(harbour: rg.Job) -> None:
    html = sent_html(harbour)
    assert html == sent_html(harbour)
    assert sent_name(harbour) == "harbour_to-send.html"
    outside = re.findall(rb"""(?:src|href|url\()\s*=?\s*["']?(https?:[^"' )]+)""", html)
    assert not outside
    assert b"default-src 'none'" in html


def test_nothing_of_the_shop_is_in_it(harbour: rg.Job) -> None:
    seen = re.sub(r"(?s)<(script|style).*?</\1>", "", sent_html(harbour).decode())
    for word in ("melt", "loss", "sprue", "gap", "price", "solder"):
        assert word not in seen.lower(), word


def test_there_is_none_of_a_stopped_design() -> None:
    job = rg.job(rg.design_from_text(STOPPED))
    assert job.stopped
    with pytest.raises(StopError):
        sent_html(job)


@in_chromium
def test_it_turns_in_a_browser_from_the_disk(harbour: rg.Job, browser: Any, tmp_path: Path) -> None:
    file = tmp_path / sent_name(harbour)
    file.write_bytes(sent_html(harbour))
    page, wrong, asked = _opened(browser, file, scripts=True)
    end = time.monotonic() + PATIENCE_S
    while page.evaluate("document.body.dataset.ring") != "turns":
        assert time.monotonic() < end, wrong
        time.sleep(0.05)
    assert not page.is_visible("#drawn")
    frames = "Number(document.querySelector('#turn').dataset.frames ?? 0)"
    before = page.evaluate(frames)
    page.focus("#turn")
    page.keyboard.press("ArrowLeft")
    page.check("#open")
    while page.evaluate(frames) <= before:
        assert time.monotonic() < end
        time.sleep(0.05)
    assert wrong == []
    assert asked == {file.as_uri()}
    weights = [float(words.split()[0]) for words in page.locator("td:last-child").all_inner_texts()]
    assert sum(weights) == pytest.approx(harbour.finished_g, abs=0.005 * len(weights) + 1e-9)
    # no script: the drawn ring stays
    still, _, _ = _opened(browser, file, scripts=False)
    assert still.is_visible("#drawn svg")
    assert not still.is_visible("#turn")


def _opened(browser: Any, file: Path, *, scripts: bool) -> tuple[Any, list[str], set[str]]:
    context = browser.new_context(java_script_enabled=scripts, offline=True)
    page = context.new_page()
    wrong: list[str] = []
    asked: set[str] = set()
    page.on("pageerror", lambda error: wrong.append(str(error)))
    page.on("console", lambda m: wrong.append(m.text) if m.type == "error" else None)
    page.on("request", lambda r: asked.add(r.url) if not r.url.startswith("data:") else None)
    page.goto(file.as_uri())
    return page, wrong, asked
