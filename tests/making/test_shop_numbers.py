"""The shop's own shrink and loss: running means, proposed and never applied by themselves."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ringgeom.errors import InputError
from ringgeom.making.ledger import Ledger, ledger
from ringgeom.making.pattern import pattern_scale
from ringgeom.making.shop_numbers import proposed, proposed_loss
from ringgeom.making.shrinkage import Expected, Measured, Shrinkage, shrinkage
from ringgeom.metal import alloy_by_name
from ringgeom.shop import AlloyShrink, ShrinkSettings

DAY = date(2026, 11, 20)


def casting(percent: float, *, name: str = "Heron", wax: float = 18.0) -> Shrinkage:
    """A ring whose file was not scaled, and what it cast at."""
    of = Expected(
        part="body",
        alloy_name=name,
        metal="gold",
        wax_bore_mm=wax,
        wax_outside_mm=wax + 4,
        wax_width_mm=6.0,
        cast_bore_mm=wax,
        cast_outside_mm=wax + 4,
        cast_width_mm=6.0,
        cast_mm3=700.0,
        density_g_cm3=15.4,
        density_uncertainty_g_cm3=0.1,
    )
    left = 1 - percent / 100
    read = Measured(part="body", bore_mm=wax * left, outside_mm=(wax + 4) * left, width_mm=6 * left)
    return shrinkage(of, read)


def test_an_unscaled_bore_casts_small() -> None:
    """Derived: 18.00 mm unscaled casts at 17.775, 0.28 of a US size of 0.8128 mm small."""
    found = proposed([casting(1.25)], 0.0, 0, on=DAY)
    assert found.percent == 1.25
    assert found.bore_now_mm == pytest.approx(17.775, abs=1e-9)  # rounding
    assert found.bore_off_mm == pytest.approx(-0.225, abs=1e-9)
    assert found.bore_off_us == pytest.approx(-0.28, abs=0.005)  # as printed, two decimals
    assert found.scale_now == 1.0
    assert found.scale == pytest.approx(1 / 0.9875, rel=1e-12)
    assert any("0.225 mm (0.28 US sizes) too small" in words for words in found.words)


def test_the_mean_runs_on() -> None:
    """Derived: 3 castings at 1.30 and two of 1.20 and 1.40 more are (3.90 + 2.60) / 5 = 1.30."""
    found = proposed([casting(1.20), casting(1.40)], 1.30, 3, on=DAY)
    assert (found.percent, found.count, found.new_count) == (1.30, 5, 2)
    assert found.trusted
    assert "the pattern scale stays" in found.words


def test_a_default_counts_nothing() -> None:
    found = proposed([casting(1.6), casting(1.8)], 1.25, 0, on=DAY)
    assert (found.percent, found.count) == (1.70, 2)
    assert not found.trusted
    assert any("too few to trust: 2 of 3" in words for words in found.words)
    assert proposed([casting(1.6)] * 3, 1.25, 0, on=DAY).trusted


@given(st.lists(st.floats(0.5, 3), min_size=1, max_size=8), st.integers(0, 50), st.floats(0.5, 3))
def test_the_mean_lies_between(new: list[float], before: int, now: float) -> None:
    found = proposed([casting(one) for one in new], now, before, on=DAY)
    ends = [*new, now] if before else new
    # written to 0.01, so off by half of that at most
    assert min(ends) - 0.005001 <= found.percent <= max(ends) + 0.005001
    assert found.count == before + len(new)


def test_the_scale_is_the_one_the_pattern_gets() -> None:
    """The proposal's scales are those of `pattern_scale` with either figure in the shop file."""
    alloy = alloy_by_name("gold-750-yellow-3n")
    one = casting(1.5, name=alloy.name)
    one = replace(one, expected=replace(one.expected, pattern_percent=0.5))
    found = proposed([one], 1.25, 0, on=DAY)
    now = pattern_scale(alloy, ShrinkSettings(pattern_percent=0.5))
    new = pattern_scale(
        alloy, ShrinkSettings(pattern_percent=0.5, alloy={alloy.name: AlloyShrink(percent=1.5)})
    )
    assert found.scale_now == pytest.approx(now.scale, rel=1e-12)
    assert found.scale == pytest.approx(new.scale, rel=1e-12)


def test_castings_that_teach_nothing_are_left_out() -> None:
    good = casting(1.3)
    of = good.expected
    odd = shrinkage(of, Measured(part="body", bore_mm=17.8, width_mm=6.2))
    weighed = shrinkage(of, Measured(part="body", weight_g=10.8))
    # 700 mm3 of a metal of 10.4 g/cm3, for one of 15.4
    other = shrinkage(of, Measured(part="body", bore_mm=18, weight_g=7.28, water_g=6.58))
    found = proposed([odd, weighed, other, good], 1.25, 0, on=DAY)
    assert found.new_count == 1
    assert found.left_out == (
        "body: its measures disagree",
        "body: only weighed",
        "body: its weight in water points to another alloy",
    )
    with pytest.raises(InputError, match="no casting to learn from; here body: only weighed"):
        proposed([weighed], 1.25, 0, on=DAY)


def test_an_unusual_figure_is_remarked() -> None:
    assert any("outside the usual" in w for w in proposed([casting(2.5)], 1.25, 0, on=DAY).words)
    assert not any("usual" in w for w in proposed([casting(1.5)], 1.25, 0, on=DAY).words)


@pytest.mark.parametrize(
    ("new", "now", "before", "said"),
    [
        ([], 1.25, 0, "no casting to learn from"),
        ([1.25], -0.1, 0, "the shrink in use is out of range"),
        ([1.25], 10.0, 0, "the shrink in use is out of range"),
        ([1.25], 1.25, -1, "a count of castings"),
        ([-1.0], 1.25, 0, "a shrink that no metal has"),
    ],
)
def test_what_cannot_be_learnt(new: list[float], now: float, before: int, said: str) -> None:
    with pytest.raises(InputError, match=said):
        proposed([casting(one) for one in new], now, before, on=DAY)


def test_alloys_are_not_mixed() -> None:
    with pytest.raises(InputError, match="one figure is learnt for one alloy"):
        proposed([casting(1.2), casting(1.2, name="Reed")], 1.25, 0, on=DAY)


def book(issued: float, unexplained: float, *, alloy: str = "Heron") -> Ledger:
    return ledger(
        alloy=alloy,
        issued_g=issued,
        in_ring_g=issued / 2,
        clean_returns_g=issued / 2 - unexplained,
        filings_g=0.0,
        balance_g=0.01,
    )


def test_every_gram_issued_counts_alike() -> None:
    """Derived: 2 % of 100 g known, 1 g of 20 and 0.5 g of 30 lost: 3.5 g of 150 is 2.33 %."""
    found = proposed_loss([book(20, 1.0), book(30, 0.5)], 2.0, 4, 100.0, on=DAY)
    assert found is not None
    assert (found.percent, found.melts, found.new_melts) == (2.33, 6, 2)
    assert found.issued_g == pytest.approx(150, abs=1e-9)
    assert found.trusted
    # three weighings of each, half of 0.01 g each: 0.03 g of the 50 g that are new
    assert found.band_percent == pytest.approx(100 * 0.03 / 50, rel=1e-12)


def test_a_default_loss_counts_nothing() -> None:
    found = proposed_loss([book(20, 0.4)], 1.0, 0, 0.0, on=DAY)
    assert found is not None
    assert (found.percent, found.melts, found.trusted) == (2.0, 1, False)
    assert any("1 of 3 melts" in words for words in found.words)


def test_slips_teach_no_loss() -> None:
    slip, gone = book(20, -0.5), book(20, 5.0, alloy="Reed")
    assert proposed_loss([slip, gone], 1.0, 0, 0.0, on=DAY) is None
    found = proposed_loss([slip, gone, book(10, 0.1)], 1.0, 0, 0.0, on=DAY)
    assert found is not None
    assert (found.percent, found.new_melts) == (1.0, 1)
    assert found.left_out == ("Heron: weighing slip", "Reed: more lost than any melt loses")
