"""Forms of outside and bore chosen, typed and dragged on the page."""

from __future__ import annotations

from page.browsing import Bench, in_chromium

import ringgeom as rg

pytestmark = in_chromium


def test_every_form_is_chosen_typed_and_dragged(bench: Bench) -> None:
    """Each begins with measures that fit, whatever was there before; weights are `weigh`'s."""
    page = bench.page
    page.click("#parts-open")
    for side in ("outside", "inside"):
        options = page.locator(f'[data-field="ring.{side}"] option').evaluate_all(
            "all => all.map((one) => one.value)"
        )
        assert len(options) == (11 if side == "outside" else 3)
        for form in [*options[1:], options[0]]:
            choice = f'[data-field="ring.{side}"]'
            bench.settled(lambda at=choice, to=form: page.select_option(at, to))
            design = rg.design_from_text(bench.text())
            assert getattr(design.ring, side).form == form
            job = rg.job(design)
            assert not job.stopped, (form, job.findings)
            assert bench.total() == job.finished_g
            assert page.evaluate("document.body.dataset.problems") == "0"
            if page.locator(f'[data-grip="{side}"]').count() and form != "flat":
                before = bench.text()
                bench.settled(lambda at=side: bench.drag(at, 0, 12 if at == "outside" else -12))
                assert bench.text() != before
                assert rg.design_from_text(bench.text()).ring.model_dump()[side]["form"] == form


def test_measures_of_a_form_are_typed(bench: Bench) -> None:
    page = bench.page
    page.click("#parts-open")
    bench.settled(lambda: page.select_option('[data-field="ring.outside"]', "twin-dome"))
    field = '[data-field="ring.outside.rise_mm"]'
    page.fill(field, "0.45")
    bench.settled(lambda: page.press(field, "Enter"))
    assert 'form = "twin-dome", rise_mm = 0.45' in bench.text()
    bench.settled(lambda: page.select_option('[data-field="ring.outside"]', "free"))
    field = '[data-field="ring.outside.points.1.bow_mm"]'
    page.fill(field, "0.1")
    bench.settled(lambda: page.press(field, "Enter"))
    (_, second, *_) = rg.design_from_text(bench.text()).ring.outside.points  # type: ignore[union-attr]
    assert second.bow_mm == 0.1
    bench.settled(lambda: page.click("#undo"))
    assert "bow_mm" not in bench.text()
