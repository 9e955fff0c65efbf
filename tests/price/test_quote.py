"""Quotes: a worked example by hand, the balance of every metal, what the dates say.

Expected numbers are *derived*; the arithmetic stands beside them.
"""

from __future__ import annotations

import datetime
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import ringgeom as rg
from ringgeom.errors import InputError
from ringgeom.making.casting import Flask
from ringgeom.metal import Alloy, alloy_from_recipe
from ringgeom.price import (
    AlloyCost,
    Quote,
    Work,
    alloy_cost,
    amounts,
    labour_lines,
    metal_words,
    quote_on,
    swings,
)
from ringgeom.shop import Labour, Prices

CENT = 1e-9
"""Short decimal sums: binary rounding only, far below a cent."""

YELLOW = alloy_from_recipe("yellow", {"Au": 75, "Ag": 12.5, "Cu": 12.5})

# 10 g in the ring, 2 g filed off, 8 g of sprue and button, 5 g lost: 25 g melted
FLASK = Flask(
    parts_g=12.0, finished_g=10.0, sprue_g=2.0, button_g=6.0, button_by="floor", loss_g=5.0
)

PRICES = Prices.model_validate(
    {
        "currency": "EUR",
        "unit": "g",
        "date": datetime.date(2026, 11, 20),
        "Au": 60.0,
        "Ag": 0.8,
        "Cu": 0.008,
        "premium_percent": 5.0,
        "scrap_percent": 90.0,
        "filings_percent": 50.0,
    }
)

# a rate of 60 an hour makes every minute cost 1
LABOUR = Labour(
    rate_per_hour=60.0, overhead_percent=25.0, markup_percent=50.0, tax_percent=20.0, quote_days=10
)

WORK = Work(
    flasks=2,
    castings=4,
    sprues=5,
    turned=3,
    inlay_m=0.07,
    segments=6,
    inserts=0,
    joints=3,
    finished=4,
    stamps=1,
)


def cost(
    alloy: Alloy = YELLOW,
    prices: Prices | None = PRICES,
    flask: Flask = FLASK,
    fume_percent: float = 0.0,
) -> AlloyCost:
    return alloy_cost(alloy, flask, prices, zinc_fume_percent=fume_percent)


def quote(prices: Prices | None = PRICES, labour: Labour = LABOUR) -> Quote:
    return Quote(
        prices=prices,
        labour=labour,
        alloys=(cost(prices=prices),),
        lines=labour_lines(WORK, labour),
    )


def test_a_quote_by_hand() -> None:
    gold, silver, copper = cost().metals
    # 75 % of 25 g = 18.75 g x 60 x 1.05; back clean 75 % of 8 g = 6 g x 60 x 90 %; filings 75 %
    # of 2 g = 1.5 g x 60 x 50 %
    assert gold.bought_g == pytest.approx(18.75, abs=CENT)
    assert gold.bought_cost == pytest.approx(1181.25, abs=CENT)
    assert gold.clean_credit == pytest.approx(324.0, abs=CENT)
    assert gold.filings_credit == pytest.approx(45.0, abs=CENT)
    assert gold.cost == pytest.approx(1181.25 - 324.0 - 45.0, abs=CENT)
    # 12.5 % of 25 g = 3.125 g x 0.8 x 1.05 - 1 g x 0.8 x 90 % - 0.25 g x 0.8 x 50 %
    assert silver.cost == pytest.approx(2.625 - 0.72 - 0.1, abs=CENT)
    # 3.125 g x 0.008 x 1.05 - 1 g x 0.008 x 90 % - 0.25 g x 0.008 x 50 %
    assert copper.cost == pytest.approx(0.02625 - 0.0072 - 0.001, abs=CENT)
    found = quote()
    metal = 812.25 + 1.805 + 0.01805
    assert found.metal_cost == pytest.approx(metal, abs=CENT)
    # 814.07305 for 10 g in the ring
    assert found.metal_cost_per_ring_g == pytest.approx(81.407305, abs=CENT)
    # setting up 30, casting 2 x 45, cleaning 4 x 10, sprues 5 x 5, turning 3 x 15, inlay
    # 0.07 x 120, segments 6 x 8, joints 3 x 20, finishing 4 x 20, mark 10
    minutes = 30 + 90 + 40 + 25 + 45 + 8.4 + 48 + 60 + 80 + 10
    assert found.minutes == pytest.approx(minutes, abs=CENT)
    assert found.labour_cost == pytest.approx(436.4, abs=CENT)
    sums = found.sums()
    assert sums is not None
    assert sums.overhead == pytest.approx(109.1, abs=CENT)  # 25 % of 436.40
    assert sums.subtotal == pytest.approx(1359.57305, abs=CENT)  # 814.07305 + 436.4 + 109.1
    assert sums.markup == pytest.approx(679.786525, abs=CENT)  # half of it
    assert sums.tax == pytest.approx(407.871915, abs=CENT)  # 20 % of 2039.359575
    assert found.total == pytest.approx(2447.23149, abs=CENT)
    # a tenth of the metal, with its markup and tax: 81.407305 x 1.5 x 1.2 = 146.533149
    low, high = swings(found)
    assert low.money == pytest.approx(2447.23149 - 146.533149, abs=CENT)
    assert high.money == pytest.approx(2447.23149 + 146.533149, abs=CENT)
    assert found.valid_until == datetime.date(2026, 11, 30)


def test_the_arithmetic_is_told() -> None:
    said = metal_words(cost().metals[0], cost(), PRICES)
    for figure in ("75 % of 25.00 g", "18.750 g x 60 EUR/g + 5 %", "1181.25", "324.00", "45.00"):
        assert figure in said
    names = [one.name for one in amounts(quote())]
    assert names == ["metal", "labour", "overhead", "subtotal", "markup", "tax", "total"]


shares = st.floats(0.5, 60)
masses = st.floats(0.1, 200)


@settings(max_examples=60, deadline=None)
@given(
    recipe=st.tuples(shares, shares, shares),
    grams=st.tuples(masses, masses, masses, masses, masses),
    fume_percent=st.floats(0, 40),
)
def test_every_metal_balances(
    recipe: tuple[float, float, float],
    grams: tuple[float, float, float, float, float],
    fume_percent: float,
) -> None:
    """Bought = in the ring + back clean + filings + lost; together the melt and zinc's fume."""
    finished, filed, sprue, button, loss = grams
    flask = Flask(
        parts_g=finished + filed,
        finished_g=finished,
        sprue_g=sprue,
        button_g=button,
        button_by="percent",
        loss_g=loss,
    )
    total = sum(recipe)
    written = {s: 100 * share / total for s, share in zip(("Au", "Cu", "Zn"), recipe, strict=True)}
    alloy = alloy_from_recipe("any", written)
    found = cost(alloy, None, flask, fume_percent)
    for metal in found.metals:
        held = metal.percent / 100 * flask.melt_g
        # of what is charged, the fume's share goes off and the rest is melted
        charged = held / (1 - fume_percent / 100) if metal.symbol == "Zn" else held
        assert metal.bought_g == pytest.approx(charged, rel=1e-12)  # binary rounding only
    for whole, part in (
        (finished, "ring_g"),
        (sprue + button, "clean_g"),
        (filed, "filings_g"),
    ):
        held = sum(getattr(metal, part) for metal in found.metals)
        assert held == pytest.approx(whole, rel=1e-9)  # masses are differences of sums


@given(
    price=st.floats(20, 900),
    button=st.floats(0, 100),
    premium=st.floats(0, 50),
    loss=st.floats(0, 9),
)
def test_what_comes_back_at_its_price_costs_nothing(
    price: float, button: float, premium: float, loss: float
) -> None:
    """At 100 % for what comes back, what stays and is lost costs its price, and all the premium."""
    flask = replace(FLASK, button_g=button, loss_g=loss)
    prices = Prices.model_validate(
        {"currency": "EUR", "unit": "g", "Au": price, "scrap_percent": 100.0}
        | {"filings_percent": 100.0, "premium_percent": premium}
    )
    fine = alloy_from_recipe("fine", {"Au": 100})
    # in the ring and lost; on all that was bought the premium
    expected = price * (10.0 + loss) + price * premium / 100 * flask.melt_g
    assert cost(fine, prices, flask).cost == pytest.approx(expected, rel=1e-9)  # differences


def test_a_missing_price_leaves_grams() -> None:
    some = Prices.model_validate({"currency": "EUR", "unit": "g", "Au": 60.0})
    found = quote(some)
    gold, silver, copper = found.alloys[0].metals
    assert gold.cost is not None
    assert (silver.cost, copper.cost) == (None, None)
    assert found.missing == ("Ag", "Cu")
    assert (found.metal_cost, found.metal_cost_per_ring_g, found.total) == (None, None, None)
    assert found.labour_cost == pytest.approx(436.4, abs=CENT)
    assert silver.bought_g == pytest.approx(3.125, abs=CENT)
    assert "Ag, Cu" in found.lacking[0]
    assert swings(found) == ()


def test_without_a_rate_only_minutes_are_told() -> None:
    found = quote(labour=Labour())
    assert found.minutes == pytest.approx(436.4, abs=CENT)
    assert (found.labour_cost, found.total) == (None, None)
    assert "rate_per_hour" in found.lacking[0]
    # the metal still moves with its price
    assert [round(one.money, 6) for one in swings(found)] == [732.665745, 895.480355]


# On a day

DAY = datetime.date(2026, 11, 20)


@pytest.mark.parametrize(
    ("days", "flags"),
    [(0, 0), (3, 0), (4, 1), (10, 1), (11, 2)],
)
def test_old_prices_are_flagged(days: int, flags: int) -> None:
    """Flagged from the fourth day on, and again when the ten days of the quote are over."""
    found = quote_on(quote(), DAY + datetime.timedelta(days))
    assert found.age_days == days
    assert len(found.flags) == flags
    assert all("price_age_days" in flag for flag in found.flags[:1])
    assert all("2026-11-30" in flag for flag in found.flags[1:])


def test_a_date_to_come_is_refused() -> None:
    with pytest.raises(InputError) as caught:
        quote_on(quote(), DAY - datetime.timedelta(1))
    (problem,) = caught.value.problems
    assert problem.where == "prices.date"
    assert problem.value == "2026-11-20"
    assert "2026-11-19" in problem.allowed


def test_a_quote_needs_a_date_and_a_rate_needs_a_currency() -> None:
    undated = PRICES.model_copy(update={"date": None})
    with pytest.raises(InputError, match=r"prices\.date"):
        quote_on(quote(undated), DAY)
    with pytest.raises(InputError, match="currency"):
        quote_on(quote(None), DAY)
    # a currency alone has no day
    alone = Prices.model_validate({"currency": "EUR"})
    assert quote_on(quote(alone), DAY).flags == ()
    assert quote_on(quote(None, Labour()), DAY).age_days is None


def test_the_end_of_the_calendar() -> None:
    late = PRICES.model_copy(update={"date": datetime.date(9999, 12, 30)})
    assert quote(late).valid_until == datetime.date.max


MANY = {
    "heron": ("US 5, 7, 9 1/2", "5, 6", ["reed=silver-925"]),
    "saltmarsh": ("US 6, 8, 10", "", []),
    "harbour": ("UK P, R, T", "", []),
    "alder": ("US 6, 9", "", []),
    "tideline": ("CH 14, 18", "", []),
    "quarry": ("US 6, 9", "", []),
}


@pytest.mark.parametrize("name", MANY)
def test_the_quotes_of_many_rings_are_that_of_each(name: str) -> None:
    """A grid's columns are the quote's own metal, minutes and total, ring by ring."""
    from ringgeom.grid import Grid, grid_asked
    from ringgeom.quoting import quote
    from ringgeom.quoting.many import quote_columns

    root = Path(__file__).parents[2]
    shop = rg.read_shop(root / "designs/shop/priced.toml")
    design = rg.read_design(root / f"designs/{name}.toml")
    sizes, widths, alloys = MANY[name]
    asked = grid_asked(design, sizes=sizes, widths=widths or None, alloys=alloys)
    many = Grid(design=design, shop=shop, asked=asked, further=quote_columns(shop))
    rows = list(many.rows())
    assert len(rows) == asked.rows
    told = 0
    for row in rows:
        found = quote(rg.job(many.design_of(row.number), shop))
        if row.stopped:
            assert found is None
            continue
        assert found is not None
        told += 1
        # the volumes of a grid lie on a line through two sizes: rounding only
        assert row.further["metal_eur"] == pytest.approx(found.metal_cost, rel=1e-9)
        assert row.further["work_min"] == pytest.approx(found.minutes, rel=1e-12)
        assert row.further["total_eur"] == pytest.approx(found.total, rel=1e-9)
    assert told


def test_only_what_the_shop_can_tell_is_a_column() -> None:
    from ringgeom.quoting.many import quote_columns
    from ringgeom.shop import Shop

    assert quote_columns(rg.Shop()) == {}
    assert list(quote_columns(Shop(prices=PRICES))) == ["metal_eur"]
    assert list(quote_columns(Shop(labour=LABOUR))) == ["work_min"]


def test_inserts_are_let_in_one_by_one(designs: Path) -> None:
    """Derived: ten leaves and ten berries at 12 minutes each; 22 castings, each with a sprue."""
    from ringgeom.quoting.ring import work

    done = work(rg.job(rg.read_design(designs / "rowan.toml")))
    assert (done.inserts, done.castings, done.sprues, done.turned) == (20, 22, 22, 2)
    (line,) = [one for one in labour_lines(done, Labour()) if one.work == "letting in, an insert"]
    assert line.minutes == 20 * 12
