"""A wave on a cylinder: how long, how steep, how wide square to itself.

    z |   .-.       .-.
      |  /   \\     /   \\      z = amplitude sin(count theta + phase), s = radius theta
      |-+-----+---+-----+--> s
      |/       \\ /       \
"""

from __future__ import annotations

from dataclasses import dataclass
from math import atan, cos, degrees, hypot, pi, sin, sqrt

from ringgeom.errors import Problem
from ringgeom.making.allowed import need
from ringgeom.metal.amount import amount_problems

MOST_WAVES = 1000


@dataclass(frozen=True, slots=True, kw_only=True)
class WavePath:
    """A wavy band on a cylinder.

    Attributes
    ----------
    length_mm : float
        Along the wave, once round.
    around_mm : float
        Straight round the cylinder.
    longer_percent : float
        By how much the wave is longer.
    steepest_deg : float
        Largest slope, against the straight line round [degree].
    tightest_mm : float or None
        Radius of the bend at a crest, unrolled; None where there is no wave.
    narrowest_mm, widest_mm : float
        Of the band, across to the nearest point of its other edge: where the wave crosses its
        middle, and in the hollow of a crest.
    """

    length_mm: float
    around_mm: float
    longer_percent: float
    steepest_deg: float
    tightest_mm: float | None
    narrowest_mm: float
    widest_mm: float


def wave_path(
    *, amplitude_mm: float, count: int, radius_mm: float, band_width_mm: float
) -> WavePath:
    """Length, slope and true width of a band whose edges both follow one wave.

    Parameters
    ----------
    amplitude_mm : float
        From the middle to a crest; 0 for a straight band.
    count : int
        Whole waves round.
    radius_mm : float
        Of the cylinder.
    band_width_mm : float
        Along the axis.

    Raises
    ------
    InputError
        A measure that is none, or a count that is not whole.

    Source
    ------
    Length 4 R sqrt(1 + k^2) E(m), k = A n / R, m = k^2 / (1 + k^2), E the complete elliptic
    integral of the second kind. Width: shortest common normal of the two edges, which lies
    symmetric about a crossing; derived in tests/making/test_wave_path.py.
    """
    _refuse(amplitude_mm, count, radius_mm, *amount_problems("the band", band_width_mm, "mm"))
    slope = amplitude_mm * count / radius_mm
    around = 2 * pi * radius_mm
    rise = hypot(1.0, slope)
    longer = 2 / pi * rise * _elliptic_e(slope / rise, 1 / rise)
    bend = amplitude_mm * (count / radius_mm) ** 2
    return WavePath(
        length_mm=around * longer,
        around_mm=around,
        longer_percent=100 * (longer - 1),
        steepest_deg=degrees(atan(slope)),
        tightest_mm=1 / bend if bend > 0 else None,
        narrowest_mm=_narrowest(amplitude_mm, count / radius_mm, band_width_mm),
        widest_mm=band_width_mm,
    )


def _narrowest(amplitude: float, wave_number: float, width: float) -> float:
    """Shortest distance of two edges `width` apart along the axis.

    The chord from (a, z) on one edge to its mirror image (-a, width - z) on the other, both about
    a crossing: its length has one minimum up to the crest, found by halving.
    """
    if amplitude == 0.0:
        return width
    low, high = 0.0, pi / (2 * wave_number)
    for _ in range(200):
        a = 0.5 * (low + high)
        if a in (low, high):
            break
        lift = width - 2 * amplitude * sin(wave_number * a)
        if 2 * a < amplitude * wave_number * cos(wave_number * a) * lift:
            low = a
        else:
            high = a
    a = 0.5 * (low + high)
    return hypot(2 * a, width - 2 * amplitude * sin(wave_number * a))


def _elliptic_e(modulus: float, complement: float) -> float:
    """Complete elliptic integral of the second kind, by the arithmetic-geometric mean.

    The complement sqrt(1 - modulus^2) is given too: for steep waves it would be lost.
    """
    a, b, c, power, total = 1.0, complement, modulus, 0.5, 0.0
    while c > 1e-17:
        total += power * c * c
        a, b, c, power = (a + b) / 2, sqrt(a * b), (a - b) / 2, 2 * power
        if c * c * power < 1e-18:
            break
    return pi / (2 * a) * (1 - total)


def _refuse(amplitude: float, count: int, radius: float, *more: Problem) -> None:
    problems = list(more)
    if isinstance(count, bool) or not isinstance(count, int) or not 1 <= count <= MOST_WAVES:
        fits = isinstance(count, float) and 0.5 <= count < MOST_WAVES
        problems.append(
            Problem(
                text="the waves do not meet: their count is not whole",
                value=repr(count),
                allowed=f"a whole number from 1 to {MOST_WAVES}",
                nearest=f"{count:.0f}" if fits else "",
            )
        )
    need({"the radius": radius}, {"the amplitude": amplitude}, *problems)
