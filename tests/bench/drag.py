"""How soon the page shows a new ring under the hand, measured in a real browser.

    python tests/bench/measure.py hand

The program is started as a person would, a grip of each ring is dragged to and fro, and for
every picture shown the time is taken since the hand was there: question, cutting anew,
answer, drawing. Where the hand moves on before the answer, the move in between is dropped
and not counted. First the ring turns beside it in three dimensions, as at the bench; a machine
without graphics draws that with its processors, which takes its share of both. Then the ring
is drawn flat, which leaves the question, the cutting, the answer and the section.
Nothing here can fail a test.
"""

from __future__ import annotations

import math
import re
import statistics
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from bench.timing import DESIGNS, Line
from page.browsing import CHROMIUM, FLAGS, START
from playwright.sync_api import sync_playwright

FOUR_PARTS = """
[job]
name = "Four parts"
[ring]
size = "ISO 57"
width_mm = 7.0
thickness_mm = 2.2
outside = { form = "domed", rise_mm = 0.3 }
edge_mm = 0.2
[body]
alloy = "gold-750-yellow-3n"
[[part]]
name = "lining"
place = "liner"
alloy = "silver-925"
thickness_mm = 0.6
[[part]]
name = "reed"
place = "channel"
alloy = "gold-750-green"
width_mm = 1.6
depth_mm = 0.7
wave = { amplitude_mm = 0.6, count = 6 }
gap_mm = 0.05
[[part]]
name = "rim"
place = "edges"
alloy = "gold-750-red-5n"
width_mm = 1.2
"""
RINGS = {
    "four parts, one waving": (FOUR_PARTS, "1 depth"),
    "three waving side by side": ((DESIGNS / "saltmarsh.toml").read_text("utf-8"), "outside"),
    "boundaries that cross": ((DESIGNS / "tideline.toml").read_text("utf-8"), "0 depth"),
}
WANTED_MS = 60
SETTINGS = {
    "the ring turning": FLAGS,
    "the ring drawn flat": ["--no-sandbox", "--disable-gpu", "--disable-3d-apis"],
}
MOVES, REACH_PX, PAUSE_S = 150, 22, 0.016

WATCH = """(name) => {
  window.times = [];
  window.full = null;
  const grip = document.querySelector(`[data-grip="${name}"]`);
  const since = new Map();
  addEventListener("pointermove", () => {
    if (!grip.classList.contains("held")) return;
    const value = Number(grip.dataset.value);
    if (!since.has(value)) since.set(value, performance.now());
  });
  document.addEventListener("shown", ({ detail }) => {
    if (!detail.trying) return;
    const held = detail.view.section.grips.find((one) => one.name === name);
    const begun = since.get(held?.moves[0].value);
    if (begun === undefined) return;
    window.times.push(performance.now() - begun);
    for (const [value, at] of since) if (at <= begun) since.delete(value);
  });
  window.answers = [];
  const asked = window.fetch;
  window.fetch = async (...all) => {
    const begun = performance.now();
    const answer = await asked(...all);
    if (String(all[0]) !== "look" || !all[1].body.includes('"trying":true')) return answer;
    const json = answer.json.bind(answer);
    answer.json = async () => {
      const data = await json();
      window.answers.push(performance.now() - begun);
      return data;
    };
    return answer;
  };
  addEventListener("pointerup", () => {
    const begun = performance.now();
    const fine = new MutationObserver(() => {
      if (document.body.dataset.ringIs === "full") {
        window.full ??= performance.now() - begun;
        fine.disconnect();
      }
    });
    fine.observe(document.body, { attributeFilter: ["data-ring-is"] });
  }, { once: true });
}"""


def times(page: Any, grip: str) -> tuple[list[float], list[float], float | None]:
    """Milliseconds from the hand to the new section and for each answer; then to the full mesh."""
    drag(page, grip)
    page.evaluate(WATCH, grip)
    drag(page, grip)
    return tuple(page.evaluate("[window.times, window.answers, window.full]"))


def drag(page: Any, grip: str) -> None:
    """Take hold, go to and fro, let go, and wait until everything rests."""
    box = page.locator(f'[data-grip="{grip}"] .dot').bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    for n in range(MOVES):
        page.mouse.move(x, y + REACH_PX * math.sin(n / 7))
        time.sleep(PAUSE_S)
    page.mouse.up()
    page.wait_for_selector("body[data-trying=no]:is([data-ring=drawn], [data-ring-is=full])")
    time.sleep(0.5)


def told(found: list[float]) -> str:
    """Median and 95th percentile in words."""
    late = sorted(found)[math.ceil(0.95 * len(found)) - 1]
    return f"median {statistics.median(found):.0f} ms, 95th percentile {late:.0f} ms"


def under_the_hand(folder: Path) -> Iterator[Line]:
    """Drag each ring and tell what was measured."""
    for number, (text, _) in enumerate(RINGS.values()):
        (folder / f"ring-{number}.toml").write_text(text, encoding="utf-8")
    words = [sys.executable, "-u", "-c", START, "bench", str(folder / "ring-0.toml")]
    with sync_playwright() as playwright:
        run = subprocess.Popen([*words, "--no-browser"], stdout=subprocess.PIPE, text=True)
        assert run.stdout is not None
        found = re.search(r"http://\S+", run.stdout.readline())
        assert found
        for setting, flags in SETTINGS.items():
            browser = playwright.chromium.launch(executable_path=str(CHROMIUM), args=flags)
            for number, (what, (_, grip)) in enumerate(RINGS.items()):
                page = browser.new_page(viewport={"width": 1280, "height": 720})
                page.goto(f"{found[0]}?design=ring-{number}.toml")
                page.wait_for_selector("body:is([data-ring=drawn], [data-ring-is=full])")
                seen, answers, full = times(page, grip)
                mesh = "" if full is None else f"; full mesh {full:.0f} ms after letting go"
                yield Line(
                    what=f"under the hand, {setting}: {what}",
                    measured=f"answer in {told(answers)}; new section in {told(seen)}{mesh}",
                    wanted=f"answer in {WANTED_MS} ms",
                )
                page.close()
            browser.close()
        run.terminate()
