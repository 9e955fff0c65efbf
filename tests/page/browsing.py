"""What the tests in a real browser share: the program started, a page open on it."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

CHROMIUM = Path("/usr/bin/chromium")
in_chromium = pytest.mark.skipif(not CHROMIUM.exists(), reason="chromium is not installed")

PATIENCE_S = 40
"""Nothing takes a second on a quiet machine; what hangs shall fail, not wait for ever."""

START = "from ringgeom.cli import main; main()"
FLAGS = ["--no-sandbox", "--use-gl=angle", "--use-angle=swiftshader"]


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    sync_api = pytest.importorskip("playwright.sync_api")
    with sync_api.sync_playwright() as playwright:
        found = playwright.chromium.launch(executable_path=str(CHROMIUM), args=FLAGS)
        yield found
        found.close()


@dataclass(frozen=True, kw_only=True)
class Bench:
    """A page open on a copy of a design, and every host that it asked."""

    page: Any
    file: Path
    hosts: set[str]
    address: str

    def until(self, condition: str) -> Any:
        """Poll the page: its policy lets no code be made from text."""
        end = time.monotonic() + PATIENCE_S
        while not (found := self.page.evaluate(condition)):
            assert time.monotonic() < end, condition
            time.sleep(0.02)
        return found

    def settled(self, act: Callable[[], None]) -> None:
        """Do something, and wait until it is kept."""
        before = self.page.evaluate("Number(document.body.dataset.kept ?? 0)")
        act()
        self.until(f"Number(document.body.dataset.kept ?? 0) > {before}")

    def total(self) -> float:
        return float(self.page.evaluate("document.querySelector('#total').dataset.g"))

    def text(self) -> str:
        return str(self.page.evaluate("import('./static/bench.js').then((m) => m.bench.text)"))

    def drag(self, grip: str, dx: float, dy: float) -> None:
        box = self.page.locator(f'[data-grip="{grip}"] .dot').bounding_box()
        x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
        mouse = self.page.mouse
        mouse.move(x, y)
        mouse.down()
        for n in range(1, 9):
            mouse.move(x + dx * n / 8, y + dy * n / 8)
        mouse.up()


@pytest.fixture(scope="module")
def served(designs: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[str, Path]]:
    """The program itself, started as a person would and ended with Ctrl-C."""
    folder = tmp_path_factory.mktemp("bench")
    for name in ("heron", "saltmarsh"):
        (folder / f"{name}.toml").write_bytes((designs / f"{name}.toml").read_bytes())
    words = [sys.executable, "-c", START, "bench", str(folder / "heron.toml"), "--no-browser"]
    run = subprocess.Popen(
        words,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        env=os.environ | {"PYTHONUNBUFFERED": "1"},
        # a shell that starts the tests in the background has them ignore the interrupt
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.default_int_handler),
    )
    assert run.stdout is not None
    address = re.search(r"http://127\.0\.0\.1:\d+/\S+/", run.stdout.readline())
    assert address
    yield address[0], folder
    run.send_signal(signal.SIGINT)
    _, said = run.communicate(timeout=PATIENCE_S)
    assert run.returncode == 0
    assert said == ""


@pytest.fixture
def bench(browser: Any, served: tuple[str, Path], designs: Path) -> Iterator[Bench]:
    """A channel inlay; there is no ring to render, which takes longest."""
    with opened(browser, served, designs, "heron", ring=False) as found:
        yield found


@pytest.fixture
def turning(browser: Any, served: tuple[str, Path], designs: Path) -> Iterator[Bench]:
    """The same with its ring in three dimensions."""
    with opened(browser, served, designs, "heron") as found:
        yield found


@pytest.fixture
def waves(browser: Any, served: tuple[str, Path], designs: Path) -> Iterator[Bench]:
    """Three stripes that swing as one, without the ring too."""
    with opened(browser, served, designs, "saltmarsh", ring=False) as found:
        yield found


@contextmanager
def opened(
    browser: Any, served: tuple[str, Path], designs: Path, design: str, *, ring: bool = True
) -> Iterator[Bench]:
    """A page open on a copy of a design of the served folder."""
    address, folder = served
    for left in folder.iterdir():
        left.unlink()
    for name in ("heron", "saltmarsh"):
        (folder / f"{name}.toml").write_bytes((designs / f"{name}.toml").read_bytes())
    context = browser.new_context(viewport={"width": 1280, "height": 720}, accept_downloads=True)
    page = context.new_page()
    hosts: set[str] = set()
    errors: list[str] = []
    context.on("request", lambda request: hosts.add(request.url.split("/")[2]))
    page.on("pageerror", lambda error: errors.append(str(error)))
    found = Bench(page=page, file=folder / f"{design}.toml", hosts=hosts, address=address)
    if not ring:
        page.route("**/static/ring.js", lambda route: route.abort())
    page.goto(address if design == "heron" else f"{address}?design={design}.toml")
    found.until("document.body.dataset.ready === 'yes'")
    yield found
    context.close()
    assert errors == []
    assert hosts == {address.split("/")[2]}
