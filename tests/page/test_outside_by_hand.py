"""Waves, walls and pieces on the unrolled outside, moved by hand, keys and finger in a browser."""

from __future__ import annotations

import json
from collections.abc import Callable
from math import pi, tan
from typing import Any

import pytest
from page.browsing import Bench, in_chromium

import ringgeom as rg

pytestmark = in_chromium


def begun(bench: Bench, kind: str) -> Bench:
    bench.page.click("#open")
    bench.page.click(f'[data-kind="{kind}"]')
    bench.until("!document.querySelector('#box').open")
    return bench


def parts(bench: Bench) -> tuple[Any, ...]:
    return rg.design_from_text(bench.text()).parts


def label(bench: Bench, grip: str) -> str:
    return str(bench.page.get_attribute(f'[data-grip="{grip}"]', "aria-label"))


def reads(bench: Bench, grip: str, figure: str) -> None:
    """Wait until a grip's own words end with a figure."""
    node = f"document.querySelector('[data-grip=\"{grip}\"]')"
    bench.until(f"{node}.getAttribute('aria-label').endsWith(', {figure}')")
    bench.until("document.body.dataset.trying === 'no'")


def middle(bench: Bench, grip: str) -> tuple[float, float]:
    box = bench.page.locator(f'[data-grip="{grip}"] .dot').bounding_box()
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def px_per_mm(bench: Bench) -> float:
    """The band's edges are 6.6 mm apart."""
    return float(bench.page.evaluate(
        "document.querySelector('#outside rect.face').getBoundingClientRect().height"
    )) / 6.6  # fmt: skip


def test_a_dragged_wave_weighs_what_weigh_says(waves: Bench, run: Callable[..., Any]) -> None:
    before, k = waves.total(), px_per_mm(waves)
    waves.settled(lambda: waves.drag("round 0 height", 0, -0.32 * k))
    heights = {one.wave.amplitude_mm for one in parts(waves)}
    assert heights == {0.8}  # 0.5 and 0.32, to the next 0.05; all three swing as one
    assert label(waves, "round 0 height") == "wave height of sand, 0.80"
    waves.page.keyboard.press("Control+s")
    waves.until("document.body.dataset.saved")
    told = json.loads(run("weigh", waves.file, "--json").out)
    assert waves.total() == told["ring"]["finished_g"] != before


def test_a_crest_is_pulled_for_the_count(waves: Bench) -> None:
    """Derived: crests lie at a turn times 1/n, so 5/4 as far from 12 makes four waves of five."""
    left = waves.page.locator("#outside rect.face").bounding_box()["x"]
    at = middle(waves, "round 0 count")[0] - left
    waves.settled(lambda: waves.drag("round 0 count", at * (5 / 4 - 1), 0))
    assert [one.wave.count for one in parts(waves)] == [4, 4, 4]
    assert str(waves.page.text_content("#outside")).count("sand: 4 waves of 0.50") == 1


def test_the_wave_is_shifted_in_whole_degrees(waves: Bench) -> None:
    k = px_per_mm(waves)
    radius = 57 / 2 / pi + 1.8
    waves.settled(lambda: waves.drag("round 0 phase", 2.0 * k, 0))
    (shift,) = {one.wave.phase_deg for one in parts(waves)}
    assert shift == int(shift)
    # 2 mm along the ring are five times as many degrees of the wave; half a pixel is a degree
    assert shift == pytest.approx(-5 * 2.0 / radius * 180 / pi, abs=3)


def test_joints_slant_and_pieces_are_counted(waves: Bench) -> None:
    begun(waves, "segments")
    k = waves.page.locator("#outside rect.face").bounding_box()["height"] / 6.0
    waves.settled(lambda: waves.drag("round 1 slant", 1.0 * k, 0))
    (_, segment) = parts(waves)
    assert segment.slant_deg == int(segment.slant_deg)
    # 15 degrees on half the width of 6 mm, and 1 mm more at the edge; a pixel is 2 degrees
    assert 3 * tan(segment.slant_deg * pi / 180) == pytest.approx(3 * tan(pi / 12) + 1.0, abs=0.1)
    waves.settled(lambda: waves.drag("round 1 count", -30, 0))
    assert parts(waves)[1].count > 8
    assert waves.total() == rg.job(rg.design_from_text(waves.text())).finished_g


def test_keys_nudge_type_and_put_back(waves: Bench) -> None:
    page = waves.page
    text = waves.text()
    page.focus('[data-grip="round 0 count"]')
    page.keyboard.press("ArrowUp")
    reads(waves, "round 0 count", "6")
    assert [one.wave.count for one in parts(waves)] == [6, 6, 6]
    page.keyboard.press("ArrowRight")  # to the right: longer, fewer
    page.keyboard.press("ArrowRight")
    reads(waves, "round 0 count", "4")
    page.keyboard.press("Escape")
    reads(waves, "round 0 count", "5")
    assert waves.text() == text
    page.focus('[data-grip="round 0 phase"]')
    page.keyboard.press("Shift+ArrowUp")
    reads(waves, "round 0 phase", "10°")
    page.keyboard.press("Enter")
    page.keyboard.type("-12.5°")
    page.keyboard.press("Enter")
    reads(waves, "round 0 phase", "-12.5°")
    assert {one.wave.phase_deg for one in parts(waves)} == {-12.5}
    assert page.evaluate("document.activeElement.dataset.grip") == "round 0 phase"
    page.focus('[data-grip="round 0 count"]')
    page.keyboard.press("Enter")
    page.keyboard.type("2.5")
    page.keyboard.press("Enter")
    waves.until("document.body.dataset.problems !== '0'")
    assert "wave.count" in page.inner_text("#wrong")


def test_escape_lets_go_and_puts_back(waves: Bench) -> None:
    page, text = waves.page, waves.text()
    x, y = middle(waves, "round 0 height")
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x, y - 20, steps=4)
    waves.until("document.body.dataset.trying === 'yes'")
    assert page.is_visible('[data-grip="round 0 height"] .tag')
    page.keyboard.press("Escape")
    reads(waves, "round 0 height", "0.50")
    page.mouse.move(x, y - 30)
    page.mouse.up()
    assert waves.text() == text
    assert label(waves, "round 0 height").endswith("0.50")
    assert page.is_disabled("#undo")


def test_a_finger_takes_the_nearest_and_the_page_stays(waves: Bench) -> None:
    page = waves.page
    session = page.context.new_cdp_session(page)
    x, y = middle(waves, "round 0 height")
    near = x - 14, y + 3

    def touch(kind: str, *points: tuple[float, float]) -> None:
        sent = [{"x": px, "y": py} for px, py in points]
        session.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": sent})

    def pull() -> None:
        touch("touchStart", near)
        for n in range(1, 7):
            touch("touchMove", (near[0], near[1] - 4 * n))
        touch("touchEnd")

    waves.settled(pull)
    assert parts(waves)[0].wave.amplitude_mm > 1.5
    assert page.evaluate("scrollY") == 0


def test_tab_goes_from_left_to_right_past_every_grip(waves: Bench) -> None:
    for drawing in ("#section", "#outside"):
        places = waves.page.evaluate(
            f"[...document.querySelectorAll('{drawing} .grip .dot')]"
            ".map((e) => e.getBoundingClientRect().x)"
        )
        assert places == sorted(places)
    grips = waves.page.evaluate(
        "[...document.querySelectorAll('#outside .grip')].map((e) => e.dataset.grip)"
    )
    waves.page.focus(f'[data-grip="{grips[0]}"]')
    reached = [grips[0]]
    for _ in grips[1:]:
        waves.page.keyboard.press("Tab")
        reached.append(waves.page.evaluate("document.activeElement.dataset.grip"))
    assert reached == grips
    # and moving one past another keeps the order, and the focus on what is moved
    waves.page.focus('[data-grip="round 0 count"]')
    for _ in range(3):
        waves.page.keyboard.press("ArrowRight")
    reads(waves, "round 0 count", "2")
    assert waves.page.evaluate("document.activeElement.dataset.grip") == "round 0 count"
    places = waves.page.evaluate(
        "[...document.querySelectorAll('#outside .grip .dot')]"
        ".map((e) => e.getBoundingClientRect().x)"
    )
    assert places == sorted(places)


def test_inches_and_the_cut_are_shown(waves: Bench) -> None:
    page = waves.page
    page.click("#units")
    assert label(waves, "round 0 height") == f"wave height of sand, {0.5 / 25.4:.4f}"
    page.focus('#outside .figure[aria-label^="wave height"]')
    page.keyboard.press("Enter")
    page.keyboard.type("0.03")
    waves.settled(lambda: page.keyboard.press("Enter"))
    assert parts(waves)[0].wave.amplitude_mm == pytest.approx(0.03 * 25.4)
    page.click("#units")
    cut = page.locator("#outside .cut").bounding_box()
    edge = page.locator("#outside rect.face").bounding_box()
    assert cut["x"] == pytest.approx(edge["x"], abs=2)  # cut at 12 o'clock, the left end
    assert "cut" in page.text_content("#outside")
