"""Metal to melt: printed examples, the balance, and the button taken once."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ringgeom.making.casting import flask
from ringgeom.shop import Casting

TROY_OUNCE_G = 31.1034768


@pytest.mark.parametrize(("ratio", "printed"), [(13.07, 71.89), (10.5, 57.75), (15.2, 83.60)])
def test_wax_of_five_grams(ratio: float, printed: float) -> None:
    """Published arithmetic (common practice): wax 5 g + 10 %, times the density."""
    settings_ = Casting(button_percent=10, button_min_g=0, melt_loss_percent=0)
    found = flask(
        cast_mm3=[5000.0],  # 5 g of wax of density 1 is 5 cm3
        finished_mm3=[5000.0],
        sprue_mm3=[],
        density_g_cm3=ratio,
        settings=settings_,
    )
    assert round(found.melt_g + 1e-9, 2) == pytest.approx(printed, abs=0.0051)


def test_a_wrong_printed_example() -> None:
    """Negative check: a wiki prints 93.6 g + 10 % as 99.9; it is 102.96."""
    found = flask(
        cast_mm3=[93.6 * 1000 / 15.6],
        finished_mm3=[0.0],
        sprue_mm3=[],
        density_g_cm3=15.6,
        settings=Casting(button_percent=10, button_min_g=0, melt_loss_percent=0),
    )
    assert found.melt_g == pytest.approx(102.96, abs=1e-9)
    assert abs(found.melt_g - 99.9) > 3


def test_button_once_a_flask() -> None:
    """Published arithmetic: three 5 g waxes at 10.36 and half a troy ounce once is 170.95 g.

    202.1 g would be the button taken three times.
    """
    button = round(TROY_OUNCE_G / 2, 2)
    found = flask(
        cast_mm3=[5000.0] * 3,
        finished_mm3=[5000.0] * 3,
        sprue_mm3=[],
        density_g_cm3=10.36,
        settings=Casting(button_percent=0, button_min_g=button, melt_loss_percent=0),
    )
    assert found.melt_g == pytest.approx(170.95, abs=0.005)
    assert found.button_g == button
    assert found.melt_g != pytest.approx(202.1, abs=10)


def test_loss_by_division() -> None:
    """Published arithmetic: 100 g at 0.5 % is 100.503 g, not 100.500."""
    found = flask(
        cast_mm3=[10_000.0],
        finished_mm3=[10_000.0],
        sprue_mm3=[],
        density_g_cm3=10.0,
        settings=Casting(button_percent=0, button_min_g=0, melt_loss_percent=0.5),
    )
    assert found.melt_g == pytest.approx(100.503, abs=0.0005)
    assert found.loss_g / found.melt_g == pytest.approx(0.005, rel=1e-12)


def test_printed_patterns_are_not_wax() -> None:
    """1.00 cm3 at 1.15 g/cm3 read as wax overstates 15.5-density metal by 15 % (from memory).

    The program weighs volumes, so the pattern's own density never enters.
    """
    right = flask(
        cast_mm3=[1000.0],
        finished_mm3=[1000.0],
        sprue_mm3=[],
        density_g_cm3=15.5,
        settings=Casting(button_percent=0, button_min_g=0, melt_loss_percent=0),
    )
    assert right.melt_g == pytest.approx(15.50, abs=1e-9)
    # 17.83 g is what the shortcut would say
    assert right.melt_g * 1.15 == pytest.approx(17.83, abs=0.006)


@settings(max_examples=200, deadline=None)
@given(
    cast=st.lists(st.floats(1, 2000), min_size=1, max_size=12),
    finished=st.floats(0.5, 1),
    sprues=st.lists(st.floats(0, 300), max_size=12),
    density=st.floats(2, 22),
    percent=st.floats(0, 100),
    floor=st.floats(0, 50),
    loss=st.floats(0, 20),
)
def test_the_balance_closes(
    cast: list[float],
    finished: float,
    sprues: list[float],
    density: float,
    percent: float,
    floor: float,
    loss: float,
) -> None:
    """Charge = finished + filings + returns + loss, to 1e-9 of it."""
    found = flask(
        cast_mm3=cast,
        finished_mm3=[finished * v for v in cast],
        sprue_mm3=sprues,
        density_g_cm3=density,
        settings=Casting(button_percent=percent, button_min_g=floor, melt_loss_percent=loss),
    )
    whole = found.finished_g + found.filings_g + found.returns_g + found.loss_g
    assert whole == pytest.approx(found.melt_g, rel=1e-9)
    assert found.button_g == max(found.parts_g * percent / 100, floor)
    assert found.melt_g * (1 - loss / 100) == pytest.approx(
        found.parts_g + found.sprue_g + found.button_g, rel=1e-9
    )
    # a sum of shares may pass the whole by one rounding
    assert 0 < found.yield_percent <= 100 * (1 + 1e-12)
