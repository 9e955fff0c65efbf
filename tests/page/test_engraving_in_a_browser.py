"""Lettering, patterns and room for marks added, typed, chosen and removed on the page."""

from __future__ import annotations

import pytest
from page.browsing import Bench, in_chromium

import ringgeom as rg
from ringgeom.design import Design
from ringgeom.engraving.asked import AnyEngraving, Lettering, MarkBox
from ringgeom.engraving.patterns import PATTERNS
from ringgeom.fonts import LETTERING_WORDS

pytestmark = in_chromium


def design(bench: Bench) -> Design:
    return rg.design_from_text(bench.text())


def typed(bench: Bench, key: str, text: str) -> None:
    field = f'[data-field="engraving.{key}"]'
    bench.page.fill(field, text)
    bench.settled(lambda: bench.page.press(field, "Enter"))


def chosen(bench: Bench, key: str, word: str) -> None:
    field = f'[data-field="engraving.{key}"]'
    bench.settled(lambda: bench.page.select_option(field, word))


def one(bench: Bench, number: int = 0) -> AnyEngraving:
    return design(bench).engravings[number]


def test_lettering_is_added_typed_and_removed(bench: Bench) -> None:
    """Every key of a lettering has its field; weights are those of `weigh`."""
    page = bench.page
    before = bench.text()
    page.click("#parts-open")
    bench.settled(lambda: page.click("text=Add lettering"))
    assert page.evaluate("document.activeElement.dataset.field") == "engraving.0.text"
    assert not rg.job(design(bench)).stopped
    for key, text in {
        "text": "ever ♥",
        "at": "90",
        "height_mm": "1,2",
        "depth_mm": "0.2",
        "centre_mm": "0.1",
        "fit_mm": "9",
        "repeat": "2",
    }.items():
        typed(bench, f"0.{key}", text)
    fonts = page.locator('[data-field="engraving.0.font"] option').evaluate_all(
        "all => all.map((one) => one.value)"
    )
    assert tuple(fonts) == LETTERING_WORDS
    chosen(bench, "0.font", "line")
    typed(bench, "0.line_mm", "0.2")
    chosen(bench, "0.floor", "flat")
    chosen(bench, "0.mirrored", "yes")
    found = one(bench)
    assert isinstance(found, Lettering)
    assert found == Lettering(
        kind="lettering",
        text="ever ♥",
        at=90,
        height_mm=1.2,
        depth_mm=0.2,
        centre_mm=0.1,
        fit_mm=9,
        repeat=2,
        font="line",
        line_mm=0.2,
        floor="flat",
        mirrored=True,
    )
    typed(bench, "0.text", "EVER")
    typed(bench, "0.fit_mm", "")
    chosen(bench, "0.font", "serif")
    chosen(bench, "0.on", "outside")
    chosen(bench, "0.made", "raised")
    found = one(bench)
    assert isinstance(found, Lettering)
    assert (found.fit_mm, found.line_mm, found.raised, found.on) == (None, None, True, "outside")
    chosen(bench, "0.made", "engraved")
    assert bench.total() == rg.job(design(bench)).finished_g
    bench.settled(lambda: page.click("text=Remove"))
    assert bench.text().rstrip() == before.rstrip()
    assert page.evaluate("document.activeElement.textContent") == "Add lettering"


def test_every_pattern_is_chosen_and_can_be_read(bench: Bench) -> None:
    """Each begins with its own measures; none of the last one's is left."""
    page = bench.page
    page.click("#parts-open")
    bench.settled(lambda: page.click("text=Add a pattern"))
    names = [kind.model_fields["pattern"].default for kind in PATTERNS]
    words = page.locator('[data-field="engraving.0.pattern"] option').evaluate_all(
        "all => all.map((one) => one.value)"
    )
    assert words == names
    for kind, name in [*list(zip(PATTERNS, names, strict=True))[1:], (PATTERNS[0], names[0])]:
        chosen(bench, "0.pattern", name)
        assert isinstance(one(bench), kind)
        fields = page.locator('[data-engraving="0"] [data-field]').evaluate_all(
            "all => all.map((one) => one.dataset.field.split('.').at(-1))"
        )
        keys = set(kind.model_fields) - {"kind"}
        if name == "brushed":
            keys -= {"floor", "made"}
        assert set(fields) == keys, name
    typed(bench, "0.bead_mm", "0.8")
    chosen(bench, "0.edges", "low")
    typed(bench, "0.width_mm", "4")
    assert (
        one(bench).model_dump()
        == PATTERNS[0](bead_mm=0.8, edges="low", width_mm=4, depth_mm=0.15).model_dump()
    )


def test_a_finding_of_letters_is_cured_by_its_button(bench: Bench) -> None:
    page = bench.page
    page.click("#parts-open")
    bench.settled(lambda: page.click("text=Add lettering"))
    chosen(bench, "0.font", "line")
    typed(bench, "0.line_mm", "0.05")
    button = page.locator('#wrong [data-fix="letters-fine"]')
    assert button.count() == 1
    bench.settled(button.click)
    found = one(bench)
    assert isinstance(found, Lettering)
    assert found.line_mm == 0.1
    assert page.locator('#wrong [data-code="letters-fine"]').count() == 0


def test_by_the_keyboard_alone(bench: Bench) -> None:
    """Room for a mark is added, moved and removed without the mouse."""
    page = bench.page
    page.locator("#parts-open").focus()
    page.keyboard.press("Enter")
    page.locator("text=Add room for a mark").focus()
    bench.settled(lambda: page.keyboard.press("Enter"))
    assert page.evaluate("document.activeElement.dataset.field") == "engraving.0.which"
    bench.settled(lambda: page.keyboard.press("ArrowDown"))
    for _ in range(3):
        page.keyboard.press("Tab")
    page.keyboard.press("ControlOrMeta+A")
    page.keyboard.type("0.8")
    bench.settled(lambda: page.keyboard.press("Enter"))
    found = one(bench)
    assert isinstance(found, MarkBox)
    assert (found.which, found.height_mm) == ("maker", 0.8)
    for _ in range(3):
        page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.ariaLabel") == "Remove room for the maker’s mark"
    bench.settled(lambda: page.keyboard.press("Enter"))
    assert design(bench).engravings == ()


@pytest.mark.parametrize(
    ("key", "text", "words"),
    [
        ("at", "13:00", "not a place round the ring"),
        ("height_mm", "tall", "“tall” is not a number; 1.50 stays"),
        ("text", "", "this must not be empty"),
        ("repeat", "1.5", "whole number"),
    ],
)
def test_what_cannot_be_is_told_at_its_field(bench: Bench, key: str, text: str, words: str) -> None:
    page = bench.page
    page.click("#parts-open")
    bench.settled(lambda: page.click("text=Add lettering"))
    before = bench.text()
    field = f'[data-field="engraving.0.{key}"]'
    page.fill(field, text)
    page.press(field, "Enter")
    bench.until("document.querySelector('#drawer .error') !== null")
    assert words in page.locator("#drawer .error").inner_text()
    assert bench.text() == before
