"""A wave on a cylinder: how long, how steep, how wide square to itself; a template to wrap.

    z |   .-.       .-.
      |  /   \\     /   \\      z = amplitude sin(count theta + phase), s = radius theta
      |-+-----+---+-----+--> s
      |/       \\ /       \
"""

from __future__ import annotations

from dataclasses import dataclass
from math import atan, ceil, cos, degrees, hypot, pi, radians, sin, sqrt

from ringgeom.errors import Problem, ShapeError
from ringgeom.making.allowed import need
from ringgeom.metal.amount import amount_problems

MOST_WAVES = 1000
MOST_POINTS = 100_000
"""More points than a plotter or a printer needs: the chord error is a slip."""


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


@dataclass(frozen=True, slots=True, kw_only=True)
class Template:
    """A wave unrolled, to wrap round the ring.

    Attributes
    ----------
    points : tuple of (float, float)
        Along s from the seam, and z from the wave's middle [mm]; first and last at z = 0.
    seam_deg : float
        Angle of the seam, where the wave crosses its middle [degree].
    chord_mm : float
        How far the polyline may be from the wave.
    """

    points: tuple[tuple[float, float], ...]
    seam_deg: float
    chord_mm: float


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


def wrap_template(
    *,
    amplitude_mm: float,
    count: int,
    radius_mm: float,
    phase_deg: float = 0.0,
    chord_mm: float = 0.01,
) -> Template:
    """The wave unrolled from the crossing nearest to angle 0, all crests among its points.

    Parameters
    ----------
    radius_mm : float
        Where the template lies: on paper, half the paper's thickness above the ring.
    chord_mm : float
        Largest distance of the polyline from the wave.

    Raises
    ------
    InputError
        A measure that is none, or a count that is not whole.
    ShapeError
        So fine a chord that there would be too many points.
    """
    turn = isinstance(phase_deg, (int, float)) and not isinstance(phase_deg, bool)
    more = [*amount_problems("the chord error", chord_mm, "mm")]
    if not turn or not abs(phase_deg) <= 36000:
        allowed = "-36000 to 36000 degree, usually 0 to 360"
        more.append(Problem(text="the phase is no angle", value=repr(phase_deg), allowed=allowed))
    _refuse(amplitude_mm, count, radius_mm, *more)
    phase = radians(phase_deg)
    crossing = round(phase / pi)
    seam = (crossing * pi - phase) / count
    # a chord over a step h is off by at most h^2 / 8 times the largest bend
    bend = amplitude_mm * (count / radius_mm) ** 2
    wave_mm = 2 * pi * radius_mm / count
    quarter_mm = wave_mm / 4
    steps = max(1, ceil(quarter_mm * sqrt(bend / (8 * chord_mm))))
    total = 4 * count * steps
    if total > MOST_POINTS:
        least = bend / 8 * (4 * count * quarter_mm / MOST_POINTS) ** 2
        raise ShapeError(
            str(
                Problem(
                    text="the template would have too many points",
                    value=f"{chord_mm:g} mm",
                    allowed=f"a chord error that needs {MOST_POINTS} points or less",
                    nearest=f"{1.1 * least:.2g} mm",
                )
            )
        )
    sign = -1.0 if crossing % 2 else 1.0
    around = 2 * pi * radius_mm
    # quarter by quarter, so that crossings and crests come out exact
    z = [amplitude_mm * _sine(i, steps) for i in range(4 * steps)]
    points = [(around * i / total, sign * z[i % (4 * steps)]) for i in range(total + 1)]
    return Template(points=tuple(points), seam_deg=degrees(seam), chord_mm=chord_mm)


def _sine(i: int, steps: int) -> float:
    """sin of i / steps quarter turns, exact at every quarter."""
    quarter, part = divmod(i, steps)
    angle = pi / 2 * part / steps
    return (sin(angle), cos(angle), -sin(angle), -cos(angle))[quarter % 4]


def _narrowest(amplitude: float, wave_number: float, width: float) -> float:
    """Shortest distance of two edges `width` apart along the axis.

    The chord from (a, z) on one edge to its mirror image (-a, width - z) on the other, both about
    a crossing: its length has one minimum up to the crest, found by halving.
    """
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
