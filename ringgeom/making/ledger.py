"""Grams over or missing: in one casting against its volume, and in the ledger of an alloy.

    issued = in the ring + clean returns + filings + unexplained

Where missing grams usually are, and what a left-over weight points to: common practice, no source.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import cbrt, fsum, isfinite
from typing import Literal

from ringgeom.errors import InputError, Problem
from ringgeom.metal.alloy import LIGHTEST_FACTOR
from ringgeom.metal.amount import amount_problems
from ringgeom.metal.immersion import Immersion, weighed_in_water
from ringgeom.metal.immersion_refusals import too_coarse
from ringgeom.units import MM3_PER_CM3, mass_g

LIKELY_SHRINK_PERCENT = 3.0
"""Half as much again as the largest linear shrink in use, 2.0 (common practice, no source)."""

MOST_LOSS_PERCENT = 20.0
"""As in the shop file."""

ROUNDING_G = 1e-9
"""A difference of decimal readings is off by less than this in binary."""

Cause = Literal["pores", "misrun", "other alloy", "sprue stub", "shrink"]
Verdict = Literal["as predicted", "more than predicted", "less than predicted", "weighing slip"]


@dataclass(frozen=True, slots=True, kw_only=True)
class WeightResidual:
    """A weight against sound metal of a known volume.

    `band_g` is how far `expected_g` and the balance may be off together; `points_to` the likely
    causes, none when nothing is left over; `weighed` the density, if weighed in water.
    """

    weight_g: float
    expected_g: float
    residual_g: float
    residual_percent: float
    band_g: float
    points_to: tuple[Cause, ...]
    text: str
    weighed: Immersion | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Ledger:
    """Where the metal of one alloy went [g].

    `unexplained_g` closes the ledger, below 0 when more came back than went out; `band_g` is how
    far all its weighings may be off together. `predicted_g` is the loss the shop counts on.
    """

    alloy: str
    issued_g: float
    in_ring_g: float
    clean_returns_g: float
    filings_g: float
    unexplained_g: float
    unexplained_percent: float
    band_g: float
    predicted_g: float
    verdict: Verdict
    words: tuple[str, ...]


def ledger(
    *,
    alloy: str,
    issued_g: float,
    in_ring_g: float,
    clean_returns_g: float,
    filings_g: float,
    balance_g: float,
    melt_loss_percent: float = 1.0,
) -> Ledger:
    """The ledger of one alloy in one job, closing to 1e-9.

    Parameters
    ----------
    issued_g, in_ring_g, clean_returns_g, filings_g : float
        Weighed out; in the finished ring; sprue, button and offcuts; filings, mixed [g].
    balance_g : float
        Step of the balance; each weighing that is not 0 is sure to half of it [g].
    melt_loss_percent : float
        Loss that the shop counts on, of what is issued [percent].

    Raises
    ------
    InputError
        Everything that is no weighing: nothing issued, below zero, a step as large as the metal.
    """
    back = {"the ring": in_ring_g, "clean returns": clean_returns_g, "filings": filings_g}
    problems = [
        *(() if alloy.strip() else (Problem(text="a ledger needs the name of its alloy"),)),
        *amount_problems("the metal issued", issued_g, "g"),
        *amount_problems("the step of the balance", balance_g, "g"),
    ]
    if not problems:
        problems += too_coarse("the balance's step", balance_g, issued_g, "g")
    for what, grams in back.items():
        # an empty tray is no amount, and rightly so
        if grams != 0 or isinstance(grams, bool):
            problems += amount_problems(f"the weight of {what}", grams, "g")
    if not (isfinite(melt_loss_percent) and 0 <= melt_loss_percent <= MOST_LOSS_PERCENT):
        problems.append(
            Problem(
                text="no such melt loss",
                value=f"{melt_loss_percent:g} %",
                allowed=f"0 to {MOST_LOSS_PERCENT:g} %",
            )
        )
    if problems:
        raise InputError(problems)
    unexplained = fsum((issued_g, -in_ring_g, -clean_returns_g, -filings_g))
    percent = 100 * unexplained / issued_g
    band = balance_g / 2 * (1 + sum(grams != 0 for grams in back.values()))
    predicted = issued_g * melt_loss_percent / 100
    verdict, told = _verdict(unexplained, predicted, band)
    return Ledger(
        alloy=alloy,
        issued_g=issued_g,
        in_ring_g=in_ring_g,
        clean_returns_g=clean_returns_g,
        filings_g=filings_g,
        unexplained_g=unexplained,
        unexplained_percent=percent,
        band_g=band,
        predicted_g=predicted,
        verdict=verdict,
        words=(
            f"{alloy}: {unexplained:.3f} +/- {band:.3f} g of {issued_g:g} g unexplained "
            f"({percent:.2f} %); the shop counts on {predicted:.3f} g ({melt_loss_percent:g} %)",
            told,
            f"{clean_returns_g:g} g clean to the tray of {alloy}; {filings_g:g} g of filings to "
            "the mixed tray: what is in them is not known until they are refined",
        ),
    )


def weight_residual(
    *,
    weight_g: float,
    balance_g: float,
    volume_mm3: float,
    volume_band_mm3: float,
    density_g_cm3: float,
    density_uncertainty_g_cm3: float,
    counted_on_percent: float | None = None,
    water_g: float | None = None,
    temperature_c: float = 20.0,
) -> WeightResidual:
    """A casting's weight against its volume, and what the difference points to.

    Parameters
    ----------
    weight_g, balance_g : float
        As weighed; a weight is sure to half a step of the balance [g].
    volume_mm3, volume_band_mm3 : float
        What its measures leave, and how far that may be off [mm3].
    density_g_cm3, density_uncertainty_g_cm3 : float
        Of the sound alloy, and the half width of its band [g/cm3].
    counted_on_percent : float, optional
        Linear shrink in `volume_mm3` when nothing was measured: another shrink is then a cause.
    water_g, temperature_c : float, optional
        Its weight hanging in water [g], [C]: its density then decides before its weight does.
    """
    expected = mass_g(volume_mm3, density_g_cm3)
    unsure = volume_band_mm3 / volume_mm3 + density_uncertainty_g_cm3 / density_g_cm3
    band = expected * unsure + balance_g / 2
    residual = weight_g - expected
    over, off = residual, abs(residual) > band
    causes: tuple[Cause, ...] = ()
    said = f"{weight_g:g} g for {expected:.3f} +/- {band:.3f} g expected: "
    weighed = None
    if water_g is not None:
        weighed = weighed_in_water(
            weight_g, water_g, temperature_c=temperature_c, balance_g=balance_g
        )
        low, high = weighed.band_g_cm3
        rho, unsure_rho = density_g_cm3, density_uncertainty_g_cm3
        said += f"{low:.2f} to {high:.2f} g/cm3 in water for {rho:.2f} +/- {unsure_rho:.2f}: "
        if high < rho - unsure_rho and weighed.density_g_cm3 < LIGHTEST_FACTOR * rho:
            causes, said = ("other alloy",), said + "lighter than pores explain: another alloy"
        elif high < rho - unsure_rho:
            pores = 100 * (1 - weighed.density_g_cm3 / rho)
            causes, said = (
                ("pores",),
                f"{said}about {pores:.1f} % of pores: recast what is to be polished",
            )
        elif low > rho + unsure_rho:
            causes, said = ("other alloy",), said + "pores cannot do that: another alloy"
        else:
            # the alloy is right, so what is over or missing is volume, whatever its density
            over = mass_g(weighed.volume_cm3 * MM3_PER_CM3 - volume_mm3, rho)
            unsure = volume_band_mm3 / volume_mm3 + (high - low) / 2 / weighed.density_g_cm3
            off, said = abs(over) > expected * unsure, said + "sound metal; "
    if not causes and off:
        if over > 0:
            causes = ("sprue stub",) if weighed else ("sprue stub", "other alloy")
            what = f"{over:.3f} g of sprue stub or fins left on"
        elif weighed:
            causes, what = ("misrun",), f"{-over:.3f} g not filled: look for a misrun"
        else:
            causes = ("pores", "misrun", "other alloy")
            what = f"{-100 * over / expected:.1f} % of pores or a misrun"
            if weight_g < LIGHTEST_FACTOR * expected:
                causes, what = causes[1:], "a misrun: more is missing than pores make"
        if not weighed:
            what += f", or an alloy of {1000 * weight_g / volume_mm3:.2f} g/cm3; weigh it in water"
        if counted_on_percent is not None:
            # all the difference taken for size: mass goes with the cube of length
            size = cbrt((expected + over) / expected)
            shrink = 100 - (100 - counted_on_percent) * size
            if 0 <= shrink <= LIKELY_SHRINK_PERCENT:
                causes = ("shrink", *causes)
                what = f"a shrink of {shrink:.2f} %, {what}"
        said += what
    return WeightResidual(
        weight_g=weight_g,
        expected_g=expected,
        residual_g=residual,
        residual_percent=100 * residual / expected,
        band_g=band,
        points_to=causes,
        text=said if causes else said + "nothing left over",
        weighed=weighed,
    )


def _verdict(unexplained_g: float, predicted_g: float, band_g: float) -> tuple[Verdict, str]:
    over = unexplained_g - predicted_g
    if unexplained_g < -band_g - ROUNDING_G:
        return "weighing slip", (
            f"{-unexplained_g:.3f} g more came back than went out: a weighing slip, solder or "
            "stones weighed with the ring, or metal of another job in a tray"
        )
    if abs(over) <= band_g + ROUNDING_G:
        return "as predicted", "the loss is the one counted on"
    if over > 0:
        return "more than predicted", (
            f"{over:.3f} g more lost than counted on: look in the skin, the crucible, the flask, "
            "the polishing dust and the other tray"
        )
    return "less than predicted", f"{-over:.3f} g less lost than counted on"
