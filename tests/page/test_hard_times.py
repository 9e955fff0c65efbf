"""A hundred edits at once, a program that ends under an open page: nothing is lost, all is told."""

from __future__ import annotations

import os
import re
import signal
import socket
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from page.browsing import PATIENCE_S, START, Bench, in_chromium

import ringgeom as rg

pytestmark = in_chromium

HUNDRED = """import("./static/bench.js").then(async (m) => {
  let looks = 0;
  const asked = window.fetch;
  window.fetch = (...all) => { looks += String(all[0]) === "look"; return asked(...all); };
  for (let n = 1; n <= 100; n += 1) {
    m.attempt([{ key: ["part", 0, "depth_mm"], value: 0.5 + n / 500 }]);
    await new Promise((done) => setTimeout(done, 4));
  }
  await m.settle([{ key: ["part", 0, "depth_mm"], value: 0.85 }]);
  window.fetch = asked;
  return looks;
})"""


def test_of_a_hundred_fast_edits_the_last_one_stays(bench: Bench) -> None:
    """What was overtaken is dropped, so the hand never waits for a queue."""
    looks: list[int] = []
    bench.settled(lambda: looks.append(bench.page.evaluate(HUNDRED)))
    assert 2 <= looks[0] < 100
    text = bench.text()
    assert rg.design_from_text(text).parts[0].depth_mm == 0.85  # type: ignore[union-attr]
    assert bench.total() == pytest.approx(rg.job(rg.design_from_text(text)).finished_g, rel=1e-12)
    bench.settled(lambda: bench.page.keyboard.press("Control+z"))
    assert bench.text() == bench.file.read_text(encoding="utf-8")


@contextmanager
def started(file: Path, port: int) -> Iterator[tuple[subprocess.Popen[str], str]]:
    """The program on a port, and the address it names."""
    words = [sys.executable, "-c", START, "bench", str(file), "--no-browser", "--port", str(port)]
    with subprocess.Popen(
        words,
        stdout=subprocess.PIPE,
        text=True,
        env=os.environ | {"PYTHONUNBUFFERED": "1"},
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.default_int_handler),
    ) as run:
        assert run.stdout is not None
        found = re.search(r"http://\S+", run.stdout.readline())
        assert found
        try:
            yield run, found[0]
        finally:
            run.kill()


@pytest.fixture
def lone(browser: Any, designs: Path, tmp_path: Path) -> Iterator[tuple[Any, Path, int]]:
    """A page, a design of its own and a free port."""
    file = tmp_path / "heron.toml"
    file.write_bytes((designs / "heron.toml").read_bytes())
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    context = browser.new_context(viewport={"width": 1280, "height": 720})
    yield context.new_page(), file, port
    context.close()


def test_a_program_that_ends_under_the_page_is_told_and_loses_nothing(
    lone: tuple[Any, Path, int],
) -> None:
    page, file, port = lone
    thicker = """import("./static/bench.js").then(
      (m) => m.settle([{ key: ["ring", "thickness_mm"], value: VALUE }]).then(() => 1))"""
    with started(file, port) as (_, address):
        page.goto(address)
        bench = Bench(page=page, file=file, hosts=set(), address=address)
        bench.until("document.body.dataset.ready === 'yes'")
        bench.settled(lambda: page.evaluate(thicker.replace("VALUE", "2.1")))
        weight = bench.total()
    page.evaluate(thicker.replace("VALUE", "2.4"))
    bench.until("!document.querySelector('#bar').hidden")
    assert "does not answer" in page.locator("#bar").inner_text()
    # the last good ring stays, in text and in grams
    assert "thickness_mm = 2.1" in bench.text()
    assert bench.total() == weight
    # started anew, the old page is told where to go on, and its work is offered there
    with started(file, port) as (run, address):
        page.get_by_role("button", name="Try again").click()
        bench.until("document.querySelector('#bar').innerText.includes('started again')")
        page.goto(address)
        bench.until("!document.querySelector('#bar').hidden")
        page.get_by_role("button", name="Go on with it").click()
        bench.until("document.body.dataset.kept")
        assert bench.total() == weight
        assert file.read_text(encoding="utf-8") != bench.text()
        run.send_signal(signal.SIGINT)
        assert run.wait(timeout=PATIENCE_S) == 0
