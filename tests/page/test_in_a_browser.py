"""The page in a real browser: dragged, typed, undone, saved, crashed, without a network."""

from __future__ import annotations

import json
import zipfile
from pathlib import Path

import pytest
from page.browsing import Bench, in_chromium

import ringgeom as rg

pytestmark = in_chromium


def weighed(text: str) -> float:
    return rg.job(rg.design_from_text(text)).finished_g


def test_a_dragged_wall_weighs_what_weigh_says(turning: Bench) -> None:
    before = turning.total()
    turning.settled(lambda: turning.drag("0 right", 60, 0))
    text = turning.text()
    width = rg.design_from_text(text).parts[0].width_mm  # type: ignore[union-attr]
    assert width > 2.4
    assert width / 0.05 == pytest.approx(round(width / 0.05), abs=1e-6)  # snapped
    assert turning.total() == pytest.approx(weighed(text), rel=1e-12)  # the same sums
    assert turning.total() != before
    turning.settled(lambda: turning.page.click("#undo"))
    assert turning.total() == before
    turning.settled(lambda: turning.page.click("#redo"))
    assert turning.text() == text
    assert turning.file.read_text(encoding="utf-8") != text  # nothing is saved unasked


def test_keyboard_alone_changes_types_and_saves(bench: Bench) -> None:
    page = bench.page
    page.focus('[data-grip="0 depth"]')
    bench.settled(lambda: page.keyboard.press("ArrowUp"))
    assert "depth_mm = 0.75" in bench.text()
    page.focus('[data-grip="0 depth"]')
    page.keyboard.press("Enter")
    page.keyboard.type("0,6")
    bench.settled(lambda: page.keyboard.press("Enter"))
    assert "depth_mm = 0.6" in bench.text()
    page.keyboard.press("Control+s")
    bench.until("document.body.dataset.saved")
    saved = bench.file.read_text(encoding="utf-8")
    assert saved == bench.text()
    assert saved.startswith("# One green inlay")
    assert [path.name for path in bench.file.parent.glob(".*")] == []


def test_a_bad_value_is_told_and_the_ring_stays(bench: Bench) -> None:
    page = bench.page
    before = bench.text()
    page.focus('.figure[aria-label^="width of the band"]')
    for bad in ("wide", "600"):
        page.keyboard.press("Enter")
        page.keyboard.type(bad)
        page.keyboard.press("Enter")
        bench.until(f"document.querySelector('#wrong').textContent.includes('{bad}')")
        assert page.evaluate("document.body.dataset.problems") != "0"
        assert bench.text() == before
        page.keyboard.press("Escape")
        page.focus('.figure[aria-label^="width of the band"]')


def test_a_way_out_is_followed(bench: Bench) -> None:
    page = bench.page
    page.focus('[data-grip="0 depth"]')
    page.keyboard.press("Enter")
    page.keyboard.type("1.8")
    bench.settled(lambda: page.keyboard.press("Enter"))
    assert page.evaluate("document.body.dataset.stops") != "0"
    assert page.locator(".thin.stop").count() == 1
    bench.settled(lambda: page.click('[data-fix="thin-floor"]'))
    assert page.evaluate("document.body.dataset.stops") == "0"
    assert rg.job(rg.design_from_text(bench.text())).ring is not None


def test_a_crash_loses_nothing(bench: Bench) -> None:
    page = bench.page
    bench.settled(lambda: bench.drag("0 depth", 0, 30))
    text = bench.text()
    page.goto(bench.address)
    bench.until("document.body.dataset.ready === 'yes'")
    assert bench.text() != text
    bench.settled(lambda: page.click('button:text-is("Go on with it")'))
    assert bench.text() == text
    assert page.is_enabled("#undo")


def test_two_pages_ask_before_they_overwrite(bench: Bench) -> None:
    first = bench.page
    second = first.context.new_page()
    other = Bench(page=second, file=bench.file, hosts=bench.hosts, address=bench.address)
    second.goto(bench.address)
    other.until("document.body.dataset.ready === 'yes'")
    bench.settled(lambda: bench.drag("0 depth", 0, 20))
    other.drag("0 right", 30, 0)
    other.until("!document.querySelector('#bar').hidden")
    assert "changed elsewhere" in second.inner_text("#bar")
    first.keyboard.press("Control+s")
    bench.until("document.body.dataset.saved")
    mine = bench.file.read_text(encoding="utf-8")
    other.settled(lambda: second.click('button:text-is("Keep mine")'))
    assert bench.file.read_text(encoding="utf-8") == mine


def test_another_kind_a_text_by_hand_and_the_files(bench: Bench, tmp_path: Path) -> None:
    page = bench.page
    page.click("#open")
    page.click('[data-kind="waves"]')
    bench.until("!document.querySelector('#box').open")
    page.click("#text-open")
    text = page.input_value("#text").replace('"My ring"', '"By hand"')
    page.fill("#text", text.replace("[ring]", "[rings]"))
    bench.until("Number(document.body.dataset.problems) > 0")
    page.fill("#text", text)
    bench.until("document.querySelector('#name').textContent === 'By hand'")
    page.click("#take")
    with page.expect_download() as waiting:
        page.click('[data-take="all"]')
    path = tmp_path / "all.zip"
    waiting.value.save_as(path)
    with zipfile.ZipFile(path) as pack:
        data = json.loads(pack.read("by-hand/job.json"))
        assert pack.read("by-hand/by-hand.toml").decode() == text
    assert data["ring"]["finished_g"] == pytest.approx(weighed(text), rel=1e-12)  # the same sums


def test_the_ring_turns_in_three_dimensions(turning: Bench) -> None:
    turning.until("document.body.dataset.ringIs === 'full'")
    frames = "Number(document.querySelector('#turn').dataset.frames ?? 0)"
    before = turning.page.evaluate(frames)
    turning.page.focus("#turn")
    turning.page.keyboard.press("ArrowRight")
    turning.until(f"{frames} > {before}")


def test_everything_has_a_name_and_nothing_runs_out_of_the_page(turning: Bench) -> None:
    page = turning.page
    page.click("#parts-open")
    nameless = page.evaluate(
        "[...document.querySelectorAll('button, input, select, textarea, "
        "[role=slider], [role=button]')]"
        ".filter((e) => !(e.getAttribute('aria-label') || e.textContent.trim()"
        " || e.labels?.length)).map((e) => e.outerHTML)"
    )
    assert nameless == []
    wide = page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    assert wide
