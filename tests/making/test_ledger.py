"""The ledger of an alloy closes, and says where missing grams may be.

Expected numbers are derived by hand from the weighings typed.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ringgeom.errors import InputError
from ringgeom.making.casting import flask
from ringgeom.making.ledger import Ledger, ledger
from ringgeom.shop import Casting

CLOSES_G = 1e-9
"""The ledger's own promise; binary sums of a few hundred grams are off by 1e-13."""


def booked(**more: float) -> Ledger:
    """20 g out, 10 in the ring, 9 clean, 0.8 of filings: 0.2 g missing, as counted on."""
    weighings = {
        "issued_g": 20.0,
        "in_ring_g": 10.0,
        "clean_returns_g": 9.0,
        "filings_g": 0.8,
        "balance_g": 0.01,
    }
    return ledger(alloy="Heron", **{**weighings, **more})


grams = st.one_of(st.just(0.0), st.floats(0.001, 300))


@given(st.floats(0.1, 500), grams, grams, grams)
def test_it_closes(issued: float, ring: float, clean: float, filings: float) -> None:
    made = booked(issued_g=issued, in_ring_g=ring, clean_returns_g=clean, filings_g=filings)
    back = made.in_ring_g + made.clean_returns_g + made.filings_g + made.unexplained_g
    assert back == pytest.approx(made.issued_g, abs=CLOSES_G)


def test_as_predicted() -> None:
    """Derived: 20 - 10 - 9 - 0.8 = 0.2 g, 1 %; four weighings of 0.005 g are 0.02 g."""
    made = booked()
    assert made.unexplained_g == pytest.approx(0.2, abs=CLOSES_G)
    assert made.unexplained_percent == pytest.approx(1.0, abs=CLOSES_G)
    assert made.predicted_g == pytest.approx(0.2, abs=CLOSES_G)
    assert made.band_g == pytest.approx(0.02, abs=CLOSES_G)
    assert made.verdict == "as predicted"


@pytest.mark.parametrize(
    ("filings", "verdict"),
    [
        # 0.02 g of band round 0.2 g, and round 0
        (0.78, "as predicted"),
        (0.82, "as predicted"),
        (0.77, "more than predicted"),
        (0.83, "less than predicted"),
        (1.00, "less than predicted"),
        (1.02, "less than predicted"),
        (1.03, "weighing slip"),
    ],
)
def test_verdicts_keep_to_the_band(filings: float, verdict: str) -> None:
    assert booked(filings_g=filings).verdict == verdict


def test_more_back_than_out_is_a_slip() -> None:
    made = booked(clean_returns_g=10.0)
    assert made.unexplained_g == pytest.approx(-0.8, abs=CLOSES_G)
    assert any("0.800 g more came back than went out: a weighing slip" in w for w in made.words)


def test_what_was_not_weighed_has_no_band() -> None:
    """Derived: only what went out and the ring were weighed: 2 x 0.005 g."""
    assert booked(clean_returns_g=0.0, filings_g=0.0).band_g == pytest.approx(0.01, abs=CLOSES_G)


def test_trays_are_kept_apart() -> None:
    told = booked().words[-1]
    assert "9 g clean to the tray of Heron" in told
    assert "0.8 g of filings to the mixed tray" in told


def test_a_flask_as_planned_is_a_ledger_as_predicted() -> None:
    """The flask's own balance: melt = finished + filings + returns + loss."""
    settings = Casting(melt_loss_percent=1.5)
    planned = flask(
        cast_mm3=[400.0],
        finished_mm3=[330.0],
        sprue_mm3=[60.0],
        density_g_cm3=15.4,
        settings=settings,
    )
    made = booked(
        issued_g=planned.melt_g,
        in_ring_g=planned.finished_g,
        clean_returns_g=planned.returns_g,
        filings_g=planned.filings_g,
        melt_loss_percent=settings.melt_loss_percent,
    )
    assert made.unexplained_g == pytest.approx(planned.loss_g, abs=CLOSES_G)
    assert made.predicted_g == pytest.approx(planned.loss_g, abs=CLOSES_G)
    assert made.verdict == "as predicted"


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({"issued_g": 0.0}, "the metal issued is not an amount"),
        ({"issued_g": -20.0}, "the metal issued is not an amount"),
        ({"issued_g": float("nan")}, "the metal issued is not an amount"),
        ({"in_ring_g": -1.0}, "the weight of the ring is not an amount"),
        ({"clean_returns_g": float("inf")}, "the weight of clean returns is not an amount"),
        ({"filings_g": float("nan")}, "the weight of filings is not an amount"),
        ({"balance_g": 0.0}, "the step of the balance is not an amount"),
        ({"balance_g": 20.0}, "the balance's step is as large as what is measured"),
        ({"melt_loss_percent": 21.0}, "no such melt loss"),
        ({"melt_loss_percent": float("nan")}, "no such melt loss"),
    ],
)
def test_what_is_no_weighing(more: dict[str, float], said: str) -> None:
    with pytest.raises(InputError, match=said):
        booked(**more)


def test_every_slip_is_told_at_once() -> None:
    with pytest.raises(InputError) as refused:
        ledger(
            alloy=" ",
            issued_g=-1,
            in_ring_g=-1,
            clean_returns_g=-1,
            filings_g=-1,
            balance_g=-1,
        )
    assert len(refused.value.problems) == 6
