"""`price`: the quote of a job as it is counted, told and refused."""

from __future__ import annotations

import json
from collections.abc import Callable
from math import pi
from pathlib import Path
from typing import Any

import pytest

import ringgeom as rg
from ringgeom.output.json_price import quote_json
from ringgeom.quoting import quote, work

Run = Callable[..., Any]

SHOP = Path(__file__).parents[2] / "designs" / "shop" / "priced.toml"
ON = ("--on", "2026-11-21")


@pytest.fixture(scope="module")
def shop() -> rg.Shop:
    return rg.read_shop(SHOP)


def test_every_design_is_quoted(design_file: Path, shop: rg.Shop) -> None:
    """Grams of the quote are the job's: in the ring, melted, back, filed off, lost."""
    job = rg.job(rg.read_design(design_file), shop)
    found = quote(job)
    assert found is not None
    assert found.total is not None
    assert found.ring_g == pytest.approx(job.finished_g, rel=1e-12)  # sums in another order
    for one, casting in zip(found.alloys, job.castings, strict=True):
        flask = casting.flask
        assert one.melt_g == flask.melt_g
        fume = sum(m.bought_g for m in one.metals) - flask.melt_g
        # 5 % of the zinc that is charged goes off
        zinc = casting.alloy.recipe.normalised().percent("Zn") / 100 * flask.melt_g
        assert fume == pytest.approx(zinc * (1 / 0.95 - 1), abs=1e-9)
        assert one.clean_g == pytest.approx(flask.returns_g, rel=1e-9)
        assert one.filings_g == pytest.approx(flask.filings_g, rel=1e-9)
    # nothing of today in it, and the same every time
    again = quote(rg.job(rg.read_design(design_file), shop))
    assert quote_json(found) == quote_json(again)


def test_work_is_counted(designs: Path) -> None:
    """Derived by counting on the design files."""
    heron = work(rg.job(rg.read_design(designs / "heron.toml")))
    # outside across 17.35 + 2 x 1.9 mm, US 7 from its published formula
    around_mm = pi * (25.4 * (0.458 + 0.032 * 7) + 2 * 1.9)
    assert heron.inlay_m == pytest.approx(around_mm / 1000, rel=1e-9)
    assert (heron.flasks, heron.castings, heron.sprues, heron.turned) == (2, 2, 2, 2)
    assert (heron.joints, heron.segments, heron.finished, heron.stamps) == (1, 0, 2, 1)
    # sleeve, two rails and twelve planks of two alloys; platinum and gold each with a stamp
    harbour = work(rg.job(rg.read_design(designs / "harbour.toml")))
    assert (harbour.flasks, harbour.castings, harbour.segments) == (3, 15, 12)
    assert (harbour.turned, harbour.finished, harbour.stamps, harbour.inlay_m) == (3, 4, 2, 0)
    # every rail on the sleeve and beside the planks, the planks on the sleeve
    assert harbour.joints == 5


def test_a_wrapped_inlay_is_no_turned_ring_and_has_a_seam(designs: Path) -> None:
    text = (designs / "heron.toml").read_text("utf-8")
    wrapped = text.replace('place = "channel"', 'place = "channel"\nroute = "wrap and seam"')
    found = work(rg.job(rg.design_from_text(wrapped)))
    assert (found.turned, found.joints) == (1, 2)


def test_nothing_to_quote_with(designs: Path) -> None:
    asked = rg.read_design(designs / "heron.toml")
    assert quote(rg.job(asked)) is None
    assert quote_json(None) is None
    assert quote(rg.job(asked, rg.shop_from_text('[prices]\ncurrency = "EUR"\n'))) is None
    some = rg.shop_from_text('[prices]\ncurrency = "EUR"\n[labour]\nrate_per_hour = 50\n')
    assert quote(rg.job(asked, some)) is not None
    stopped = asked.model_copy(update={"parts": asked.parts * 2})
    assert quote(rg.job(stopped, some)) is None


def test_it_is_told(run: Run, designs: Path) -> None:
    heron = designs / "heron.toml"
    ran = run("price", heron, "--shop", SHOP, *ON)
    assert ran.code == 0
    data = json.loads(run("price", heron, "--shop", SHOP, *ON, "--json").out)
    found = data["quote"]
    assert data["schema"] == "ringgeom/1"
    assert (data["age_days"], data["flags"]) == (1, [])
    assert (found["currency"], found["valid_until"]) == ("EUR", "2026-11-27")
    assert f"{found['total']:.2f}" in ran.out
    for alloy in found["alloys"]:
        assert f"{alloy['cost_per_ring_g']:.2f} EUR for a gram in the ring" in ran.out
        assert alloy["cost"] == pytest.approx(
            sum(metal["cost"] for metal in alloy["metals"]), rel=1e-12
        )
        for metal in alloy["metals"]:
            assert metal["arithmetic"] in ran.out
    for line in found["labour"]:
        assert line["arithmetic"] in ran.out
    for one in (*found["sums"], *found["sensitivity"]):
        assert f"{one['amount']:.2f}" in ran.out
        assert one["arithmetic"] in ran.out


def test_old_prices_are_flagged(run: Run, designs: Path) -> None:
    ran = run("price", designs / "heron.toml", "--shop", SHOP, "--on", "2026-12-24")
    assert ran.code == 0
    assert "34 days old" in ran.out
    assert "until 2026-11-27" in ran.out


def test_without_prices_grams_and_minutes(run: Run, designs: Path) -> None:
    ran = run("price", designs / "heron.toml")
    assert ran.code == 0
    assert "no price of Au, Ag, Cu" in ran.out
    assert "rate_per_hour" in ran.out
    assert "4 h 18 min" in ran.out  # 258 minutes of the defaults, counted above
    found = json.loads(run("price", designs / "heron.toml", "--json").out)["quote"]
    assert found["missing_prices"] == ["Au", "Ag", "Cu"]
    assert (found["metal_cost"], found["total"]) == (None, None)


@pytest.mark.parametrize(
    ("text", "more", "said"),
    [
        ('[prices]\ncurrency = "EUR"\nAu = 2100\n', (), "day of its prices"),
        ('[prices]\ncurrency = "EUR"\ndate = 2027-01-01\nAu = 2100\n', ON, "dated in the future"),
        ("[prices]\ndate = 2026-11-20\nAu = 2100\n", (), "currency"),
        ("[labour]\nrate_per_hour = 50\n", (), "currency"),
        ('[prices]\ncurrency = "EUR"\nAu = 67\n', (), 'unit = "g"'),
        ('[prices]\ncurrency = "EUR"\nAu = 67000\n', (), 'unit = "kg"'),
        ("", ("--on", "tomorrow"), "not a date"),
        ("", ("--on", "2026-02-30"), "not a date"),
        ("", ("--on", " "), "not a date"),
    ],
)
def test_what_is_refused(
    run: Run, designs: Path, tmp_path: Path, text: str, more: tuple[str, ...], said: str
) -> None:
    shop = tmp_path / "shop.toml"
    shop.write_text(text, "utf-8")
    ran = run("price", designs / "heron.toml", "--shop", shop, *more)
    assert ran.code == 2
    assert said in ran.err
    assert "Traceback" not in ran.err
    assert (str(shop) in ran.err) == bool(text)


def test_a_stopped_ring_has_no_price(run: Run, designs: Path, tmp_path: Path) -> None:
    path = tmp_path / "deep.toml"
    text = (designs / "heron.toml").read_text("utf-8")
    path.write_text(text.replace("depth_mm = 0.8", "depth_mm = 3.0"), "utf-8")
    for command in ("price", "swap"):
        assert run(command, path, "--shop", SHOP).code == 1
