"""The papers in a real browser: read, chosen, saved, the shop changed, by mouse and keyboard."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from page.browsing import Bench, in_chromium
from page.test_for_everyone import wrong

pytestmark = in_chromium

ON = "2026-11-21"
TABS = ("melts", "castings", "making", "sheet", "price", "grid", "resize", "marks", "files", "shop")


def open_papers(bench: Bench, tab: str = "melts") -> None:
    if bench.page.get_attribute("#papers-open", "aria-expanded") == "false":
        bench.page.click("#papers-open")
    bench.page.click(f"#tab-{tab}")


def told(bench: Bench, tab: str) -> None:
    """Wait until a paper has been told of the ring as it stands."""
    open_papers(bench, tab)
    bench.until(f"document.querySelector('#paper-{tab} [data-state=told], #paper-{tab} #stock')")


def cells(bench: Bench, tab: str, table: int) -> list[list[str]]:
    rows = f"[...document.querySelectorAll('#paper-{tab} table')[{table}].tBodies[0].rows]"
    found: list[list[str]] = bench.page.evaluate(
        f"{rows}.map((row) => [...row.cells].map((cell) => cell.textContent))"
    )
    return found


def saved(bench: Bench, tmp_path: Path, act: str) -> bytes:
    with bench.page.expect_download() as waiting:
        bench.page.click(act)
    path = tmp_path / "saved"
    waiting.value.save_as(path)
    return path.read_bytes()


def test_the_numbers_are_those_of_the_commands(bench: Bench, run: Callable[..., Any]) -> None:
    told(bench, "melts")
    data = json.loads(run("melt", bench.file, "--json").out)
    for n, melt in enumerate(data["melts"]):
        shown = [(float(row[1]), row[2].removeprefix("buy ")) for row in cells(bench, "melts", n)]
        assert shown == [(take["grams"], take["from"]) for take in melt["take"]]
    told(bench, "castings")
    castings = json.loads(run("weigh", bench.file, "--json").out)["castings"]
    for row, casting in zip(cells(bench, "castings", 1), castings, strict=True):
        assert row[6] == f"{casting['melt_g']:.2f}"
    told(bench, "price")
    bench.page.fill("#price-day", ON)
    quote = json.loads(run("price", bench.file, "--on", ON, "--json").out)["quote"]
    bench.until("document.querySelector('#told-price').dataset.state === 'told'")
    assert cells(bench, "price", 1)[-1][2].startswith(f"{quote['minutes']:.1f} min")


def test_papers_follow_the_ring(bench: Bench) -> None:
    told(bench, "castings")
    before = cells(bench, "castings", 0)
    bench.page.click("#parts-open")
    assert bench.page.is_hidden("#papers")
    bench.page.fill('[data-field="ring.width_mm"]', "5")
    bench.settled(lambda: bench.page.keyboard.press("Enter"))
    told(bench, "castings")
    bench.until("document.querySelector('#told-castings').dataset.of.includes('width_mm = 5')")
    assert cells(bench, "castings", 0)[1][4] != before[1][4]


def test_the_sheet_is_shown_page_by_page(bench: Bench) -> None:
    told(bench, "sheet")
    pages = "[...document.querySelectorAll('.printed')]"
    assert bench.page.evaluate(f"{pages}.length") == 4  # two of the sheet, card, templates
    words = bench.page.evaluate(f"{pages}.map((one) => one.shadowRoot.textContent).join(' ')")
    assert "21.12  outside at mid-width" in words
    assert "Care and wear" in words
    wide, high = bench.page.evaluate(
        f"(({{ width, height }}) => [width, height])({pages}[0].getBoundingClientRect())"
    )
    # ISO 216, but for the hairline round it
    assert high / wide == pytest.approx(297 / 210, rel=0.01)
    bench.page.select_option("#paper-size", "Letter")
    bench.until("document.querySelector('[data-sheet$=\"sheet_Letter.pdf\"]')")


def test_one_file_by_itself(
    bench: Bench, designs: Path, made_of: Callable[[Path], Path], tmp_path: Path
) -> None:
    told(bench, "files")
    folder = made_of(designs / "heron.toml")
    for name in ("weights.csv", "heron_bench-sheet_A4.pdf"):
        assert saved(bench, tmp_path, f'[data-file="{name}"]') == (folder / name).read_bytes()
    (wax,) = [one for one in (folder / "wax").iterdir() if "reed" in one.name]
    assert saved(bench, tmp_path, f'[data-file="wax/{wax.name}"]') == wax.read_bytes()


def test_many_rings_and_all_of_them_in_a_table(
    bench: Bench, tmp_path: Path, run: Callable[..., Any]
) -> None:
    open_papers(bench, "grid")
    page = bench.page
    page.fill("#grid-sizes", "US 5..12 by 1/4")
    page.fill("#grid-widths", "5..6 by 0.1")
    bench.until("document.querySelector('[data-role=reed]')")
    page.fill("[data-role=reed]", "gold-750-green, Au 75 Ag 25")
    page.click("text=Weigh them all")
    bench.until("document.querySelector('#grid-more')")
    assert "first 300 of 638" in page.inner_text("#grid-more")
    assert len(cells(bench, "grid", 0)) == 300
    out = tmp_path / "rows.csv"
    words = ["grid", bench.file, "--sizes", "US 5..12 by 1/4", "--widths", "5..6 by 0.1"]
    run(*words, "--alloy", "reed=gold-750-green", "--alloy", "reed=Au 75 Ag 25", "--out", out)
    assert saved(bench, tmp_path, "#grid-save") == out.read_bytes()


def test_a_picture_is_made_when_it_is_asked_for(bench: Bench, tmp_path: Path) -> None:
    open_papers(bench, "pictures")
    bench.page.click("text=Make the pictures")
    bench.until("document.querySelector('.pictures img')?.naturalWidth > 400")
    assert saved(bench, tmp_path, '[data-picture="three-quarter"]').startswith(b"\x89PNG")
    assert b"<!doctype html>" in saved(bench, tmp_path, "text=Make the file to send")[:20]


def test_another_size_by_keyboard_alone(bench: Bench, run: Callable[..., Any]) -> None:
    page = bench.page
    page.focus("#papers-open")
    page.keyboard.press("Enter")
    page.focus("#tab-melts")
    for _ in range(7):
        page.keyboard.press("ArrowRight")
    assert page.evaluate("document.activeElement.id") == "tab-resize"
    page.focus("#to-size")
    page.keyboard.type("US 8")
    page.keyboard.press("Enter")
    bench.until("document.querySelectorAll('#paper-resize table').length === 3")
    data = json.loads(run("resize", bench.file, "--to", "US 8", "--json").out)
    assert f"verdict: {data['verdict']}" in page.inner_text("#told-resize")
    page.fill("#to-size", "size 900")
    page.keyboard.press("Enter")
    bench.until("document.querySelector('#told-resize .status.error')")
    page.keyboard.press("Escape")
    assert page.is_hidden("#papers")
    assert page.evaluate("document.activeElement.id") == "papers-open"


def test_inches_stand_beside_and_in_the_columns_of_lengths(bench: Bench) -> None:
    told(bench, "making")
    page = bench.page
    before = page.inner_text("#paper-making")
    assert " in)" not in before
    page.click("#units")
    bench.until("document.querySelector('#paper-making').textContent.includes(' in)')")
    # 19.62 mm / 25.4, to a thousandth
    assert "19.62 mm (0.772 in)" in page.inner_text("#paper-making")
    page.click("#units")
    bench.until("!document.querySelector('#paper-making').textContent.includes(' in)')")


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_every_paper_can_be_read_by_anyone(bench: Bench, scheme: str) -> None:
    bench.page.emulate_media(color_scheme=scheme)
    for tab in TABS:
        if tab in ("grid", "resize"):
            open_papers(bench, tab)
        else:
            told(bench, tab)
        assert wrong(bench.page) == [], tab


def test_no_paper_runs_out_of_the_page(bench: Bench) -> None:
    for tab in ("making", "shop"):
        told(bench, tab)
        for width in (1280, 1024, 760):
            bench.page.set_viewport_size({"width": width, "height": 720})
            wide = bench.page.evaluate("document.documentElement.scrollWidth")
            assert wide <= width, (tab, width)


def test_the_shop_is_changed_refused_and_saved(bench: Bench, run: Callable[..., Any]) -> None:
    page = bench.page
    told(bench, "shop")

    def entered(act: Callable[[], None]) -> None:
        turn = page.evaluate("Number(document.body.dataset.shopTurn)")
        act()
        bench.until(f"Number(document.body.dataset.shopTurn) > {turn}")

    def put_in(name: str, grams: str, recipe: str) -> None:
        page.fill("#lot-name", name)
        page.fill("#lot-grams", grams)
        page.fill("#lot-recipe", recipe)
        page.click("#lot-add")

    for name, grams, recipe in (
        ("gold grain", "30", "Au 100"),
        ("silver", "20", "Ag 100"),
        ("copper", "9,5", "Cu 100"),
    ):
        entered(lambda n=name, g=grams, r=recipe: put_in(n, g, r))  # type: ignore[misc]
    put_in("odd", "3", "Au 75 Ag 90")
    bench.until("document.querySelector('#stock > .error').textContent")
    assert "165" in page.inner_text("#stock > .error")
    assert page.locator("[data-lot]").count() == 3
    grams = page.inner_text("#grams")
    field = '[data-shop="casting.melt_loss_percent"]'
    page.fill(field, "4")
    entered(lambda: page.press(field, "Tab"))
    bench.until(f"document.querySelector('#grams').innerText !== {json.dumps(grams)}")
    page.fill(field, "400")
    page.press(field, "Tab")
    bench.until(f"document.querySelector('{field}').ariaInvalid === 'true'")
    assert "20 or less" in page.inner_text(f"label:has({field})")
    page.click("#shop-save")
    bench.until("document.body.dataset.shopSaved === 'shop.toml'")
    shop = bench.file.with_name("shop.toml")
    data = json.loads(run("melt", bench.file, "--shop", shop, "--json").out)
    told(bench, "melts")
    assert page.evaluate("document.querySelector('#told-melts').dataset.state") == "told"
    shown = [(float(row[1]), row[2]) for row in cells(bench, "melts", 0)]
    assert shown == [(take["grams"], take["from"]) for take in data["melts"][0]["take"]]
    assert "copper" in {take["from"] for take in data["melts"][1]["take"]}
    # the page opens on it next time by the option that it names
    open_papers(bench, "shop")
    assert "--shop" in page.inner_text(".shop-head")
