"""`[prices]` and `[labour]` as they are read: units, currencies, what filings are worth."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ringgeom import shop_from_text
from ringgeom.errors import InputError, Problem
from ringgeom.shop import Prices
from ringgeom.shop.prices import G_PER_UNIT, LIKELY_PER_G, Unit


def refused(text: str) -> list[Problem]:
    with pytest.raises(InputError) as caught:
        shop_from_text(text)
    return list(caught.value.problems)


def priced(lines: str) -> Prices:
    prices = shop_from_text(f'[prices]\ncurrency = "EUR"\n{lines}\n').prices
    assert prices is not None
    return prices


@pytest.mark.parametrize(
    ("unit", "line", "meant"),
    [
        ("troy ounce", "Au = 75.0", "g"),
        ("troy ounce", "Au = 75000.0", "kg"),
        ("g", "Au = 2300.0", "troy ounce"),
        ("kg", "Au = 75.0", "g"),
        ("kg", "Au = 2300.0", "troy ounce"),
        ("troy ounce", "Ag = 0.9", "g"),
        ("troy ounce", "Ag = 900.0", "kg"),
        ("g", "Ag = 28.0", "troy ounce"),
        ("kg", "Ag = 28.0", "troy ounce"),
        ("troy ounce", "Pt = 30.0", "g"),
        ("troy ounce", "Pt = 30000.0", "kg"),
        ("g", "Pt = 950.0", "troy ounce"),
        ("troy ounce", "Pd = 32.0", "g"),
        ("g", "Pd = 1000.0", "troy ounce"),
    ],
)
def test_a_price_of_another_unit_is_questioned(unit: str, line: str, meant: str) -> None:
    """Prices of the 2020s in euro: common practice, no source."""
    text = f'[prices]\ncurrency = "EUR"\nunit = "{unit}"\n{line}\n'
    (problem,) = refused(text)
    assert problem.nearest == f'unit = "{meant}"'
    assert problem.line == 4
    assert "sure = true" in problem.allowed
    assert priced(f'unit = "{unit}"\nsure = true\n{line}').metals
    assert priced(f'unit = "{meant}"\n{line}').metals


@given(
    symbol=st.sampled_from(sorted(LIKELY_PER_G)),
    unit=st.sampled_from(sorted(G_PER_UNIT)),
    share=st.floats(0.01, 0.99),
)
def test_a_likely_price_is_never_questioned(symbol: str, unit: Unit, share: float) -> None:
    least, most = LIKELY_PER_G[symbol]
    per_g = least * (most / least) ** share
    found = Prices.model_validate(
        {"currency": "EUR", "unit": unit, symbol: per_g * G_PER_UNIT[unit]}
    )
    assert found.per_g(symbol) == pytest.approx(per_g, rel=1e-12)  # binary rounding only


def test_every_odd_price_is_told_at_once() -> None:
    problems = refused('[prices]\ncurrency = "EUR"\nAu = 70.0\nAg = 0.9\nPt = 5e8\nCu = 0.01\n')
    assert [problem.where for problem in problems] == ["prices.Au", "prices.Ag", "prices.Pt"]
    assert problems[2].nearest == ""


@pytest.mark.parametrize("line", ["", 'currency = ""', 'currency = "  "', 'currency = "a\\u0007"'])
def test_no_currency(line: str) -> None:
    (problem,) = refused(f"[prices]\nAu = 2300\n{line}\n")
    assert problem.where == "prices.currency"
    assert "EUR" in problem.allowed


def test_what_filings_are_worth() -> None:
    """80 %, or as clean metal where that is less; never more than clean metal."""
    assert priced("").filings_percent == 80
    assert priced("scrap_percent = 60").filings_percent == 60
    assert priced("scrap_percent = 60\nfilings_percent = 20").filings_percent == 20
    (problem,) = refused('[prices]\ncurrency = "EUR"\nscrap_percent = 60\nfilings_percent = 70\n')
    assert problem.where == "prices.filings_percent"
    assert "60" in problem.allowed


@pytest.mark.parametrize("scrap", ["true", '"90"', "-1", "nan", "1" + "0" * 400, "[]"])
def test_scrap_that_is_no_percentage(scrap: str) -> None:
    problems = refused(f'[prices]\ncurrency = "EUR"\nscrap_percent = {scrap}\n')
    assert {problem.where for problem in problems} == {"prices.scrap_percent"}


@pytest.mark.parametrize(
    "line",
    [
        "rate_per_hour = 0",
        "rate_per_hour = -50",
        'rate_per_hour = "50 EUR"',
        "rate_per_hour = inf",
        "joint_minutes = -1",
        "quote_days = 2.5",
        "quote_days = -1",
        "price_age_days = 99999",
        "tax_percent = 120",
        "rate = 50",
    ],
)
def test_labour_is_refused_outside_its_range(line: str) -> None:
    (problem,) = refused(f"[labour]\n{line}\n")
    assert problem.where.startswith("labour")
    assert problem.line == 2
