"""Units of mass in which metal is priced and weighed.

NIST Handbook 44, Appendix C, General tables of units of measurement: exact values (memory); the
grain is 64.79891 mg exactly since the agreement of 1959, and every other unit is grains of it.
"""

from __future__ import annotations

from decimal import Decimal

import pytest
from judging.checks import published

from ringgeom import shop_from_text
from ringgeom.metal.portion_text import mixed_from_texts
from ringgeom.units import G_PER_AVOIRDUPOIS_OUNCE, G_PER_KG, G_PER_PENNYWEIGHT, G_PER_TROY_OUNCE

GRAIN_G = Decimal("0.06479891")

BINARY = 1e-15
"""Relative: a decimal constant read into a float is off by half a digit, 1.1e-16."""


@pytest.mark.parametrize(
    ("ours", "grains", "printed"),
    [
        (G_PER_TROY_OUNCE, "480", "31.1034768"),
        (G_PER_PENNYWEIGHT, "24", "1.55517384"),
        (G_PER_AVOIRDUPOIS_OUNCE, "437.5", "28.349523125"),
    ],
)
def test_appendix_c_units_of_mass(ours: float, grains: str, printed: str) -> None:
    """Published: the printed gram values; derived: the same from grains, in decimals."""
    assert GRAIN_G * Decimal(grains) == Decimal(printed)
    published(
        "NIST Handbook 44, Appendix C (memory)",
        f"{grains} grains [g]",
        ours,
        float(printed),
        rel=BINARY,
        why="exact values: rounding of binary numbers only",
    )


def test_twenty_pennyweights_are_a_troy_ounce() -> None:
    one, other = (mixed_from_texts([text]) for text in ("20 dwt Au", "1 ozt Au"))
    assert one.grams == pytest.approx(other.grams, rel=BINARY)
    # 175 troy ounces are 192 avoirdupois ounces: 175 x 480 = 192 x 437.5 grains
    troy = 175 * G_PER_TROY_OUNCE
    assert troy == pytest.approx(192 * G_PER_AVOIRDUPOIS_OUNCE, rel=BINARY)


def test_one_price_in_all_units() -> None:
    """Derived from the ounce as printed, in decimals: 2100 / 31.1034768 a gram."""
    per_g = float(Decimal(2100) / Decimal("31.1034768"))
    for unit, price in (("troy ounce", 2100.0), ("g", per_g), ("kg", per_g * G_PER_KG)):
        prices = shop_from_text(
            f'[prices]\ncurrency = "EUR"\nunit = "{unit}"\nAu = {price!r}\n'
        ).prices
        assert prices is not None
        assert prices.per_g("Au") == pytest.approx(per_g, rel=BINARY)
