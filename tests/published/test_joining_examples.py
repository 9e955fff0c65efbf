"""Joining: published and computed numbers on heat, solder and press fits.

Expansion of the metals: CRC Handbook of Chemistry and Physics (read); the mixed values and the
opening of a sleeve are computed from it. Press fit: ISO 286-2, H7 read, p6 from memory.
"""

from __future__ import annotations

from math import pi

import pytest
from judging.checks import published

from ringgeom.facts import table
from ringgeom.making.solder_plan import JointAsked, filler_by_metal, solder_plan
from ringgeom.metal import Recipe, alloy_by_name
from ringgeom.metal.expansion import expansion_per_k, opening_mm
from ringgeom.shop import Shop

CRC = "CRC Handbook of Chemistry and Physics, linear expansion"
CRC_PER_K_1E6 = {
    # typed from the table and not from the program's copy of it
    "Au": 14.2,
    "Ag": 18.9,
    "Cu": 16.5,
    "Pd": 11.8,
    "Pt": 8.8,
    "Ni": 13.4,
    "Zn": 30.2,
}


@pytest.mark.parametrize(("symbol", "printed"), CRC_PER_K_1E6.items())
def test_expansion_of_the_metals(symbol: str, printed: float) -> None:
    """CRC Handbook: the single metal comes back as printed."""
    found = expansion_per_k(Recipe.of(symbol, {symbol: 100}))
    assert found is not None
    why = "the single metal comes back as printed"
    published(CRC, f"{symbol} [1e-6 per K]", 1e6 * found.per_k, printed, abs=1e-9, why=why)


@pytest.mark.parametrize(
    ("shares", "computed"),
    [({"Au": 75, "Ag": 12.5, "Cu": 12.5}, 15.56), ({"Ag": 92.5, "Cu": 7.5}, 18.69)],
)
def test_expansion_mixed_by_volume(shares: dict[str, float], computed: float) -> None:
    found = expansion_per_k(Recipe.of("mix", shares))
    assert found is not None
    said = " ".join(f"{symbol} {share:g}" for symbol, share in shares.items())
    why = "computed by hand from the printed values, given to 0.01: half of that"
    published(CRC, f"{said} [1e-6 per K]", 1e6 * found.per_k, computed, abs=0.005, why=why)


def test_a_silver_sleeve_on_platinum() -> None:
    """20 mm, 700 K: 20 x (18.9 - 8.8) x 1e-6 x 700 = 0.1414 mm; computed from the CRC values."""
    sleeve = opening_mm(20, Recipe.of("Ag", {"Ag": 100}), Recipe.of("Pt", {"Pt": 100}), 700)
    published(
        CRC,
        "a silver sleeve of 20 mm on platinum opens by 700 K [mm]",
        sleeve,
        0.1414,
        abs=0.00005,
        why="computed by hand from the printed values, given to four decimals",
    )
    # nearly three times a usual solder gap of 0.05 mm on the diameter (common practice)
    assert sleeve > 2 * 0.05


def test_filler_of_a_channel() -> None:
    """Floor dia 20, rails dia 22, channel 3 wide, gap 0.05: 320.44 mm2, 24.03 mm3 (computed).

    The factor 1.5 is common practice, no source.
    """
    gold = alloy_by_name("gold-750-yellow-3n")
    wall = pi / 4 * (22**2 - 20**2)
    areas = {"floor": pi * 20 * 3, "low wall": wall, "high wall": wall}
    assert sum(areas.values()) == pytest.approx(320.44, abs=0.005)
    plan = solder_plan(
        [
            JointAsked(
                name=name,
                between=("reed", "body"),
                alloys=(gold, gold),
                area_mm2=area,
                gap_mm=0.05,
                kind=name.split()[-1],
            )
            for name, area in areas.items()
        ],
        margin_c=30,
    )
    assert sum(step.filler_mm3 for step in plan.steps) == pytest.approx(24.03, abs=0.005)
    # Not negligible: 24.03 mm3 of an 18 ct solder is over a third of a gram. Golds of 750 fine
    # weigh 14.5 to 16.0 g/cm3 whatever the rest (handbooks), zinc-rich solders a little less.
    (filler,) = filler_by_metal(plan)
    assert 24.03 * 14.0 / 1000 < filler.grams < 24.03 * 16.1 / 1000
    assert filler.fineness_permille == 750


def test_a_press_fit_of_turned_parts() -> None:
    """ISO 286-2, over 18 to 30 mm, micrometre: H7 0 to +21 (read), p6 +22 to +35 (from memory)."""
    hole, shaft = (0, 21), (22, 35)
    assert (shaft[0] - hole[1], shaft[1] - hole[0]) == (1, 35)
    # the shop's most interference by default is the tightest of that fit
    assert Shop().limits.press_stop_mm == pytest.approx(0.035, abs=1e-12)


def test_silver_solders_are_the_standard_classes() -> None:
    """AWS A5.8, BAg-7 as Machinery's Handbook, 31st ed., prints it: 56 Ag 22 Cu 17 Zn 5 Sn."""
    row = next(row for row in table("solder_grades") if row["name"] == "silver-extra-easy")
    assert sorted(row["recipe"].split()) == sorted(["Ag", "56", "Cu", "22", "Zn", "17", "Sn", "5"])
    for what, fahrenheit in (("solidus", 1145), ("liquidus", 1205)):
        published(
            "AWS A5.8 as printed in Machinery's Handbook, 31st ed.",
            f"BAg-7, {what} [C]",
            float(row[f"{what}_c"]),
            round((fahrenheit - 32) / 1.8, 2),
            abs=0.5,
            why="printed in whole F, the table is in whole C",
        )
