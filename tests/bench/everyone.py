"""The accessibility report: what axe-core says of every view of the page, in light and dark.

    python tests/bench/everyone.py

The same judging fails a test where a rule is broken (tests/page); this prints what was judged.
"""

from __future__ import annotations

import re
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import sync_playwright

HERE = Path(__file__).resolve()
sys.path.insert(0, str(HERE.parents[1]))
from page.browsing import CHROMIUM, FLAGS, START  # noqa: E402

ADDED = ("Add lettering", "Add a pattern", "Add room for a mark")
HERON = HERE.parents[2] / "designs" / "heron.toml"


def views(page: Any) -> Iterator[str]:
    """Every view of the page in turn, by its name."""
    yield "the bench"
    for drawer in ("parts", "text"):
        page.click(f"#{drawer}-open")
        yield drawer
        for button in ADDED if drawer == "parts" else ():
            page.click(f"text={button}")
            page.wait_for_selector(f"#drawer fieldset[data-engraving='{ADDED.index(button)}']")
        if drawer == "parts":
            yield "engraving"
    page.click("#text-open")
    for box, name in (("#open", "open or begin"), ("#take", "waxes and sheet")):
        page.click(box)
        page.wait_for_selector("#box[open]")
        yield name
        page.keyboard.press("Escape")
    page.click("#papers-open")
    tabs = page.locator("[role=tab]")
    for number in range(tabs.count()):
        tabs.nth(number).click()
        page.wait_for_timeout(1500)
        yield f"papers: {tabs.nth(number).inner_text().lower()}"


def main() -> None:
    """Judge and print."""
    with tempfile.TemporaryDirectory() as name, sync_playwright() as playwright:
        file = Path(name) / "heron.toml"
        file.write_bytes(HERON.read_bytes())
        words = [sys.executable, "-u", "-c", START, "bench", str(file), "--no-browser"]
        run = subprocess.Popen(words, stdout=subprocess.PIPE, text=True)
        assert run.stdout is not None
        found = re.search(r"http://\S+", run.stdout.readline())
        assert found
        browser = playwright.chromium.launch(executable_path=str(CHROMIUM), args=FLAGS)
        for scheme in ("light", "dark"):
            page = browser.new_page(color_scheme=scheme)
            page.goto(found[0])
            page.wait_for_selector("body[data-ready=yes]")
            for view in views(page):
                told = Axe().run(page).response
                broken = [f"{one['impact']}: {one['id']}" for one in told["violations"]]
                print(
                    f"{scheme:5} {view:24} {len(told['passes']):3} rules hold, "
                    f"{len(told['incomplete'])} for a person to judge, broken: "
                    f"{', '.join(broken) or 'none'}"
                )
            page.close()
        print(f"axe-core {told['testEngine']['version']}")
        browser.close()
        run.terminate()


if __name__ == "__main__":
    main()
