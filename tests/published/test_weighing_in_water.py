"""Water's density as printed and as another program has it, and three textbook problems.

G.S. Kell, 1975, and IAPWS-95. Published numbers are typed from the works named; answers
"computed" were worked out by hand from the published data, not with the program.
"""

from __future__ import annotations

import pytest
from judging.checks import judged, published
from judging.programs import IAPWS

from ringgeom.metal.gold_share import gold_share
from ringgeom.metal.immersion import weighed_in_water, weighed_with_volume
from ringgeom.metal.water import water_density

iapws = pytest.importorskip("iapws", reason="the referee is a test dependency that may be missing")

KELL = "G.S. Kell, 1975, density of water"
ATMOSPHERE_MPA = 0.101325

REFEREE_G_CM3 = 5e-6
"""In a ring, 0.0005 % of its density."""


def misprinted(t: float) -> float:
    """Kell's formula as one stored copy prints it, two digits of one constant swapped [g/cm3]."""
    above = (
        999.83952
        + 16.945176 * t
        - 7.9870401e-3 * t**2
        - 46.170461e-6 * t**3
        + 105.56302e-9 * t**4
        - 280.54253e-12 * t**5
    )
    return above / (1 + 16.897850e-3 * t) / 1000


def referee(t: float) -> float:
    # At 0 C and one atmosphere water is just freezing; the referee begins at the triple point.
    water = iapws.IAPWS95(T=273.15 + max(t, 0.01), P=ATMOSPHERE_MPA)
    return float(water.rho) / 1000


@pytest.mark.parametrize(("t", "printed"), [(15, 999.10), (20, 998.20), (25, 997.05)])
def test_kell_as_printed(t: float, printed: float) -> None:
    published(
        KELL,
        f"water at {t} C [kg/m3]",
        1000 * water_density(t),
        printed,
        abs=0.005 + 0.003,
        why="half a unit of the last digit; and the printed table is as near to the CIPM form, "
        "which differs from Kell by 0.003",
    )


def test_kell_is_densest_near_4_c() -> None:
    densest = max(range(0, 4001), key=lambda step: water_density(step / 100))
    why = "from memory, two decimals"
    published(KELL, "water is densest at [C]", densest / 100, 3.98, abs=0.02, why=why)
    why = "from memory: half a unit of the last digit"
    found = 1000 * water_density(4)
    published(KELL, "water at 4 C [kg/m3]", found, 999.972, abs=0.0005, why=why)
    # the misprint's own
    assert 1000 * misprinted(4) == pytest.approx(999.905, abs=0.0005)


@pytest.mark.parametrize("t", [0, 2, 4, 8, 12, 16, 20, 24, 28, 32, 36, 40])
def test_water_against_iapws_95(t: float) -> None:
    judged(
        IAPWS,
        "density of water from 0 to 40 C [g/cm3]",
        water_density(t),
        referee(t),
        abs=REFEREE_G_CM3,
        why="Kell's densest water is 999.972 kg/m3 where IAPWS-95 has 999.975, and that 0.003 runs "
        "all along; his scale of temperature, IPTS-68, leaves 0.001 more",
    )


@pytest.mark.parametrize("t", [4, 20, 40])
def test_the_misprinted_constant_is_caught(t: float) -> None:
    assert abs(misprinted(t) - referee(t)) > 10 * REFEREE_G_CM3


def test_a_ring_of_9_85_g_and_0_675_cm3() -> None:
    weighed = weighed_with_volume(9.85, 0.675, volume_step_cm3=0.001)
    share = gold_share(
        weighed.density_g_cm3, weighed.band_g_cm3, heavy_g_cm3=19.3, light_g_cm3=10.5
    )
    work = "Brown et al., Chemistry: The Central Science, ch. 1, a ring of 9.85 g and 0.675 cm3"
    why = "with 19.3 and 10.5 g/cm3, answer computed: half a unit of the last digit"
    published(work, "gold [permille]", share.permille, 615, abs=0.5, why=why)
    published(work, "gold [kt]", share.karat, 14.76, abs=0.005, why=why)


def crown(temperature_c: float = 4.0) -> float:
    """Gold of the crown of 10.00 N and 9.37 N, in percent; newtons in proportion to grams."""
    weighed = weighed_in_water(1000, 937, temperature_c=temperature_c)
    share = gold_share(
        weighed.density_g_cm3, weighed.band_g_cm3, heavy_g_cm3=19.3, light_g_cm3=10.5
    )
    return share.permille / 10


def test_a_crown_of_10_n_and_9_37_n() -> None:
    exact = gold_share(1000 / 63, (1000 / 63, 1000 / 63), heavy_g_cm3=19.3, light_g_cm3=10.5)
    work = "A published exercise on a crown of 10.00 N and 9.37 N in water"
    why = "with water of 1 g/cm3 and no air, answer computed: half a unit of the last digit"
    published(work, "gold [permille]", exact.permille, 742, abs=0.5, why=why)
    # Real water at 4 C less the air is 0.12 % under 1, the air's lift adds 0.0012 g/cm3 again,
    # 0.01 %: 0.11 % of the density, each of which counts 1.45 % of gold: 0.16.
    assert crown() == pytest.approx(74.24 - 0.16, abs=0.02)
    # At 20 C water is 0.18 % lighter.
    assert crown(20) == pytest.approx(crown() - 0.18 * 1.45, abs=0.02)


def test_a_crown_of_1000_g_and_930_g() -> None:
    weighed = weighed_in_water(1000, 930, temperature_c=4.0)
    work = "A published exercise on a crown of 1000 g and 930 g in water"
    found = weighed.density_g_cm3 / (1 - 0.0011)
    why = "two decimals; real water less the air's lift is 0.11 % under the 1 g/cm3 of the work"
    published(work, "density [g/cm3]", found, 14.29, abs=0.006, why=why)
    share = gold_share(1000 / 70, (1000 / 70, 1000 / 70), light="Cu")
    # computed from the work's weights
    assert share.permille / 10 == pytest.approx(69.6, abs=0.05)
    why = "the work rounds on the way: 69.6 from its own weights"
    published(work, "gold [%]", share.permille / 10, 69.8, abs=0.25, why=why)
