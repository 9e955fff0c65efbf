"""A casting measured and weighed against what it should be: its shrink, and what is left over.

Bands are worst cases: all readings off the same way. What a disagreement points to is common
practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from statistics import median
from typing import Literal

from ringgeom.errors import InputError, Problem
from ringgeom.making.ledger import WeightResidual, weight_residual
from ringgeom.metal.amount import MOST_AMOUNT, amount_problems
from ringgeom.metal.immersion_refusals import reading_problems
from ringgeom.units import MM_PER_INCH

SAME_PART = 0.10
SLIPS = (("inches", MM_PER_INCH, 0.30), ("a radius", 2, SAME_PART))
"""How far a reading may be off, as a share; what else it may be, times what, within which share."""

Which = Literal["bore", "outside", "width"]

POINTS_TO: dict[Which, tuple[str, str]] = {
    "bore": (
        "the sprue pulled it out of round, or fins in it",
        "the mould wall in it held the metal back, or a worn ring mandrel reads large",
    ),
    "outside": ("out of round, or filed already", "a sprue stub under the jaws"),
    "width": ("edges filed already", "fins on the edges, or a pattern wider than its file"),
}
"""What a measure points to that is smaller than the others say, and larger."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Expected:
    """One part: measures of its file, scaled already, and of its casting with stock [mm].

    `cast_mm3` is the casting's volume [mm3]; `pattern_percent` the shrink of the printed pattern
    itself [percent], 0 when `wax_` was measured on the wax and not taken from the file.
    """

    part: str
    alloy_name: str
    metal: str
    wax_bore_mm: float
    wax_outside_mm: float
    wax_width_mm: float
    cast_bore_mm: float
    cast_outside_mm: float
    cast_width_mm: float
    cast_mm3: float
    density_g_cm3: float
    density_uncertainty_g_cm3: float
    pattern_percent: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """What was read on a casting, sprue cut off, nothing filed; None where not measured.

    A calliper reading may be off by `calliper_mm` either way (jaws and hand: common practice), a
    weight by half of `balance_g`. `water_g` is the weight hanging in water of `temperature_c`.
    """

    part: str
    bore_mm: float | None = None
    outside_mm: float | None = None
    width_mm: float | None = None
    weight_g: float | None = None
    water_g: float | None = None
    calliper_mm: float = 0.01
    balance_g: float = 0.01
    temperature_c: float = 20.0


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasureShrink:
    """One measure as read and as expected [mm]; its linear shrink and band [percent]."""

    which: Which
    mm: float
    expected_mm: float
    percent: float
    band_percent: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Shrinkage:
    """Linear shrink of one casting.

    `percent` is the mean of its measures weighted by their bands, None when only weighed;
    `agree` whether one shrink fits them all, None for fewer than two.
    """

    expected: Expected
    measures: tuple[MeasureShrink, ...]
    percent: float | None
    band_percent: float | None
    agree: bool | None
    words: tuple[str, ...]
    weight: WeightResidual | None


def shrinkage(expected: Expected, measured: Measured) -> Shrinkage:
    """Shrink of a casting, and what its measures and its weight point to.

    Raises
    ------
    InputError
        Every reading that cannot be: none, below zero, in inches, a radius, of another part.
    """
    if problems := list(_problems(expected, measured)):
        raise InputError(problems)
    measures = tuple(_measures(expected, measured))
    left = expected.cast_bore_mm / expected.wax_bore_mm / (1 - expected.pattern_percent / 100)
    counted_on = 100 * (1 - left)
    percent = band = agree = weight = None
    words: list[str] = []
    if measures:
        percent, band = _mean(measures)
        counted = f"its file counted on {counted_on:.2f} %"
        words.append(f"{expected.part} shrank {percent:.2f} +/- {band:.2f} %, {counted}")
    if len(measures) > 1:
        low = max(one.percent - one.band_percent for one in measures)
        high = min(one.percent + one.band_percent for one in measures)
        agree = low <= high
        words += [] if agree else [_disagreement(measures)]
    if measured.weight_g is not None:
        share, unsure = _volume_share(measures, left, measured.calliper_mm, agree)
        volume_mm3 = expected.cast_mm3 * share
        weight = weight_residual(
            weight_g=measured.weight_g,
            balance_g=measured.balance_g,
            volume_mm3=volume_mm3,
            volume_band_mm3=volume_mm3 * unsure,
            density_g_cm3=expected.density_g_cm3,
            density_uncertainty_g_cm3=expected.density_uncertainty_g_cm3,
            counted_on_percent=None if measures else counted_on,
            water_g=measured.water_g,
            temperature_c=measured.temperature_c,
        )
        words.append(weight.text)
    return Shrinkage(
        expected=expected,
        measures=measures,
        percent=percent,
        band_percent=band,
        agree=agree,
        words=tuple(words),
        weight=weight,
    )


def _measures(expected: Expected, measured: Measured) -> Iterator[MeasureShrink]:
    for which in POINTS_TO:
        mm = getattr(measured, f"{which}_mm")
        if mm is not None:
            pattern_mm = getattr(expected, f"wax_{which}_mm") * (1 - expected.pattern_percent / 100)
            yield MeasureShrink(
                which=which,
                mm=mm,
                expected_mm=getattr(expected, f"cast_{which}_mm"),
                percent=100 * (1 - mm / pattern_mm),
                band_percent=100 * measured.calliper_mm / pattern_mm,
            )


def _mean(measures: Sequence[MeasureShrink]) -> tuple[float, float]:
    """Mean weighted by 1 / band^2, and its band: all readings off the same way [percent]."""
    weights = [one.band_percent**-2 for one in measures]
    parts = [one.percent * weight for one, weight in zip(measures, weights, strict=True)]
    return sum(parts) / sum(weights), sum(1 / one.band_percent for one in measures) / sum(weights)


def _disagreement(measures: Sequence[MeasureShrink]) -> str:
    """Which measures stand apart, and what that points to; of two, either may be the odd one."""
    middle = median(one.percent for one in measures)
    apart = sorted(measures, key=lambda one: -abs(one.percent - middle) / one.band_percent)
    listed, points = [], []
    for one in measures:
        grew = " (it grew)" if one.percent < -one.band_percent else ""
        listed.append(f"{one.which} {one.percent:.2f} +/- {one.band_percent:.2f} %{grew}")
    for one in measures if len(measures) == 2 else apart[:1]:
        large = one.percent < middle
        size = "large" if large else "small"
        points.append(f"the {one.which} came out {size}: {POINTS_TO[one.which][large]}")
    return f"the measures disagree: {', '.join(listed)}; {'; or '.join(points)}"


def _volume_share(
    measures: Sequence[MeasureShrink], left: float, calliper_mm: float, agree: bool | None
) -> tuple[float, float]:
    """Volume by the measures against the one expected, and its band, both as shares."""
    if not measures:
        return 1.0, 0.0
    if agree is False and len(measures) == 3:
        # as a flat band: no one scale fits three that shrank differently
        bore, outside, width = ((one.mm, one.expected_mm) for one in measures)
        now, then = (width[i] * (outside[i] ** 2 - bore[i] ** 2) for i in (0, 1))
        return now / then, calliper_mm * (1 / width[0] + 2 / (outside[0] - bore[0]))
    percent, band = _mean(measures)
    if agree is False:
        band = max(abs(one.percent - percent) + one.band_percent for one in measures)
    return ((1 - percent / 100) / left) ** 3, 3 * band / (100 - percent)


def reading_slips(what: str, read_mm: float, true_mm: float) -> list[Problem]:
    """What a reading far from what it should be may be instead; at least that it is far."""
    if abs(read_mm / true_mm - 1) <= SAME_PART:
        return []
    found = _slips(what, read_mm, true_mm)
    return found or [
        Problem(
            text=f"{what} is not of this part",
            value=f"{read_mm:g} mm",
            allowed=f"about {true_mm:.2f} mm",
        )
    ]


def _slips(what: str, read_mm: float, true_mm: float, *, radius: bool = True) -> list[Problem]:
    """Other units and halves that a reading may have been meant in."""
    return [
        Problem(
            text=f"{what} looks like {meant}",
            value=f"{read_mm:g} mm",
            allowed=f"about {true_mm:.2f} mm",
            nearest=f"{read_mm * times:.2f} mm",
        )
        for meant, times, most in SLIPS
        if abs(times * read_mm / true_mm - 1) <= most and (radius or times != 2)
    ]


def _problems(expected: Expected, measured: Measured) -> Iterator[Problem]:
    """Readings that are no amounts; then those of another unit or another part."""
    cast = {which: getattr(expected, f"cast_{which}_mm") for which in POINTS_TO}
    given = ((which, getattr(measured, f"{which}_mm")) for which in POINTS_TO)
    read = {which: mm for which, mm in given if mm is not None}
    bad = list(amount_problems("what the calliper may be off", measured.calliper_mm, "mm"))
    bad += [one for which, mm in read.items() for one in amount_problems(f"the {which}", mm, "mm")]
    if measured.water_g is not None:
        bad += reading_problems(measured.weight_g or 0.0, measured.water_g, measured.balance_g)
    elif measured.weight_g is not None:
        bad += amount_problems("the weight", measured.weight_g, "g")
        bad += amount_problems("the step of the balance", measured.balance_g, "g")
    elif not read:
        bad.append(Problem(text=f"nothing was measured on {expected.part}"))
    if measured.part != expected.part:
        bad.append(Problem(text="another part", value=measured.part, allowed=expected.part))
    if bad or not read:
        yield from bad
        return
    far = [which for which, mm in read.items() if abs(mm / cast[which] - 1) > SAME_PART]
    slips = [
        slip
        for which in far
        for slip in _slips(f"the {which}", read[which], cast[which], radius=which != "width")
    ]
    yield from slips
    if len(far) == len(read) and not slips:
        yield Problem(
            text=f"no measure is within {SAME_PART:.0%} of {expected.part}: another part",
            value=", ".join(f"{which} {mm:g} mm" for which, mm in read.items()),
            allowed=", ".join(f"{which} about {cast[which]:.2f} mm" for which in read),
        )
    elif not slips and read.get("bore", 0.0) >= read.get("outside", MOST_AMOUNT):
        yield Problem(text="the bore is not below the outside", nearest="the two swapped")
