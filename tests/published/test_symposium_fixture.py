"""A ring measured as model, as cast and finished: a symposium paper, quoted second-hand (read).

The weights were probably computed from the sizes, so they judge the volumes and nothing else.
Volumes and percentages are computed by hand from the printed sizes, as of a flat band.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from judging.checks import published

from ringgeom.form.pieces import Piece
from ringgeom.form.profiles import FlatFace
from ringgeom.form.ring import ring
from ringgeom.form.ring_form import RingForm
from ringgeom.form.section import BODY
from ringgeom.form.volume import volumes
from ringgeom.making.ledger import ledger
from ringgeom.making.shrinkage import Expected, Measured, shrinkage
from ringgeom.units import mass_g

# bore, width, thickness [mm]; weight [g]
MODEL = (19.95, 4.05, 1.93, 5.930)
CASTING = (19.63, 4.12, 1.91, 5.877)
FINISHED = (19.82, 3.82, 1.72, 4.907)

PAPER = "A symposium paper's ring as model, as cast and finished, quoted second-hand"
DENSITY_G_CM3 = 11.037
"""5.930 g in 537.29 mm3; the paper's alloy is not named."""


def outside(bore: float, _width: float, thickness: float, _g: float) -> float:
    return bore + 2 * thickness


def expected() -> Expected:
    """The model as the pattern, as if its file had been made without any scale."""
    return Expected(
        part="ring",
        alloy_name="unnamed",
        metal="gold",
        wax_bore_mm=MODEL[0],
        wax_outside_mm=outside(*MODEL),
        wax_width_mm=MODEL[1],
        cast_bore_mm=MODEL[0],
        cast_outside_mm=outside(*MODEL),
        cast_width_mm=MODEL[1],
        cast_mm3=537.29,
        density_g_cm3=DENSITY_G_CM3,
        density_uncertainty_g_cm3=0.05,
    )


def measured() -> Measured:
    return Measured(
        part="ring",
        bore_mm=CASTING[0],
        outside_mm=outside(*CASTING),
        width_mm=CASTING[1],
        weight_g=CASTING[3],
        balance_g=0.001,
    )


@pytest.mark.parametrize(("piece", "mm3"), [(MODEL, 537.29), (CASTING, 532.51), (FINISHED, 444.62)])
def test_weights_follow_the_flat_band(piece: tuple[float, float, float, float], mm3: float) -> None:
    bore, width, thickness, grams = piece
    form = RingForm(
        inside_diameter_mm=bore,
        width_mm=width,
        thickness_mm=thickness,
        outside=FlatFace(),
        inside=FlatFace(),
    )
    band = volumes(ring(form, []))[Piece(BODY)].volume_mm3
    assert band == pytest.approx(mm3, abs=0.005)  # computed to two decimals
    published(
        PAPER,
        f"flat band, bore {bore:g}, width {width:g}, thickness {thickness:g} [g]",
        mass_g(band, DENSITY_G_CM3),
        grams,
        rel=2e-4,
        why="weights of three decimals and volumes of two leave 1e-4; one density fits all three",
    )


def test_finishing_took_a_sixth() -> None:
    """A ledger of the casting alone: what was filed off and not gathered is unexplained."""
    made = ledger(
        alloy="unnamed",
        issued_g=CASTING[3],
        in_ring_g=FINISHED[3],
        clean_returns_g=0,
        filings_g=0,
        balance_g=0.001,
    )
    why = "one decimal"
    lost = made.unexplained_percent
    published(PAPER, "taken off in finishing [%]", lost, 16.5, abs=0.05, why=why)
    assert made.verdict == "more than predicted"


def test_the_bore_shrank_and_the_width_grew() -> None:
    found = shrinkage(expected(), measured())
    by = {one.which: one.percent for one in found.measures}
    why = "two decimals, computed by hand from the printed sizes"
    for what, percent in (("bore", 1.60), ("outside", 1.51), ("width", -1.73)):
        published(PAPER, f"shrink of the {what} [%]", by[what], percent, abs=0.005, why=why)
    assert found.agree is False
    told = found.words[1]
    assert "the measures disagree" in told
    assert "width -1.73 +/- 0.25 % (it grew)" in told
    assert "the width came out large" in told


def test_its_weight_fits_its_size_all_the_same() -> None:
    """One shrink fits no volume here; the flat band of what was measured does."""
    weight = shrinkage(expected(), measured()).weight
    assert weight is not None
    why = "532.51 mm3 of metal of 11.037 g/cm3, both as printed"
    found = weight.expected_g
    published(PAPER, "the casting's weight by its size [g]", found, 5.877, abs=0.001, why=why)
    assert weight.points_to == ()
    # 0.01 mm on the width and on both sides of the wall; the alloy; half a step of the balance
    shares = 0.01 / 4.12 + 2 * 0.01 / (23.45 - 19.63) + 0.05 / 11.037
    assert weight.band_g == pytest.approx(5.877 * shares + 0.0005, rel=1e-3)  # digits typed


def test_without_the_outside_either_measure_may_be_right() -> None:
    """Derived: the band reaches the weight that each of the two shrinks alone would leave."""
    weight = shrinkage(expected(), replace(measured(), outside_mm=None)).weight
    assert weight is not None
    for size in (CASTING[0] / MODEL[0], CASTING[1] / MODEL[1]):
        assert abs(MODEL[3] * size**3 - weight.expected_g) <= weight.band_g
