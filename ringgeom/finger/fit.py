"""From the finger to the bore that is made: allowances, each off unless asked for."""

from __future__ import annotations

import math
from dataclasses import dataclass

from ringgeom.errors import InputError, Problem
from ringgeom.finger.scales import scale_named
from ringgeom.finger.size import FingerSize

_MOST_WIDE_BAND_US = 2.5  # common practice ranges from nothing to this
_MOST_COMFORT_US = 0.5  # common practice: 0 to half a size

# ISO 8653 stick: 35 mm of circumference over a length of 160 mm.
_STICK_RISE = 35 / 160


@dataclass(frozen=True, slots=True, kw_only=True)
class FitSettings:
    """The shop's own allowances, in US sizes of 0.8128 mm across; common practice, no source.

    Attributes
    ----------
    wide_band : bool
        Make a wide band larger. Leave off when the finger was measured with a wide sizer.
    wide_band_from_mm : float
        Width from which a band counts as wide [mm].
    wide_band_add_us : float
        Added for a wide band [US sizes], 0 to 2.5.
    comfort : bool
        Make a ring with a domed bore smaller.
    comfort_less_us : float
        Taken off for a domed bore [US sizes], 0 to 0.5.
    """

    wide_band: bool = False
    wide_band_from_mm: float = 6.0
    wide_band_add_us: float = 0.5
    comfort: bool = False
    comfort_less_us: float = 0.25

    def __post_init__(self) -> None:
        _require("wide_band_from_mm", self.wide_band_from_mm, math.inf, "mm")
        _require("wide_band_add_us", self.wide_band_add_us, _MOST_WIDE_BAND_US, "US sizes")
        _require("comfort_less_us", self.comfort_less_us, _MOST_COMFORT_US, "US sizes")


@dataclass(frozen=True, slots=True, kw_only=True)
class Allowance:
    """One change from finger to bore: of the inside diameter [mm], signed, and why."""

    name: str
    diameter_mm: float
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MadeSize:
    """The bore to make, beside the finger it is for.

    Attributes
    ----------
    finger_diameter_mm : float
        Inside diameter that the finger asks for [mm].
    inside_diameter_mm : float
        Inside diameter to make [mm].
    allowances : tuple of Allowance
        What lies between the two; empty when they are the same.
    """

    finger_diameter_mm: float
    inside_diameter_mm: float
    allowances: tuple[Allowance, ...]

    @property
    def circumference_mm(self) -> float:
        """Inside circumference to make [mm]."""
        return math.pi * self.inside_diameter_mm


def made_size(
    finger: FingerSize, *, width_mm: float, comfort_bore: bool, fit: FitSettings
) -> MadeSize:
    """Inside diameter to make for a finger.

    Takes the finger, never a size already made, so that nothing is allowed for twice.

    Parameters
    ----------
    finger : FingerSize
        The finger, as it was read.
    width_mm : float
        Width of the band [mm], positive.
    comfort_bore : bool
        Whether the bore is domed; the size is then the bore at mid-width.
    fit : FitSettings
        Which allowances to make.

    Returns
    -------
    MadeSize
        The bore, and each allowance with its reason.

    Raises
    ------
    InputError
        The width is not positive and finite.

    Source
    ------
    Common practice, no source: half a US size for bands from 5 or 6 mm is typical.

    Examples
    --------
    >>> from ringgeom.finger import read_size
    >>> made = made_size(read_size("US 7"), width_mm=8, comfort_bore=False,
    ...                  fit=FitSettings(wide_band=True))
    >>> round(made.inside_diameter_mm, 4)
    17.7292
    """
    _require("width_mm", width_mm, math.inf, "mm", more_than=True)
    us_size_mm = float(scale_named("North America").per_size_mm)
    allowances = []
    if fit.wide_band and width_mm >= fit.wide_band_from_mm:
        allowances.append(
            Allowance(
                name="wide band",
                diameter_mm=fit.wide_band_add_us * us_size_mm,
                why=f"{width_mm:g} mm wide, from {fit.wide_band_from_mm:g} mm on "
                f"{fit.wide_band_add_us:g} US size larger",
            )
        )
    if fit.comfort and comfort_bore:
        allowances.append(
            Allowance(
                name="comfort bore",
                diameter_mm=-fit.comfort_less_us * us_size_mm,
                why=f"domed bore, {fit.comfort_less_us:g} US size smaller",
            )
        )
    return MadeSize(
        finger_diameter_mm=finger.inside_diameter_mm,
        inside_diameter_mm=finger.inside_diameter_mm + sum(a.diameter_mm for a in allowances),
        allowances=tuple(allowances),
    )


def stick_error_mm(width_mm: float) -> float:
    """How much too small a flat bore reads when the stick is read at mid-width.

    The bore touches a tapered stick with its edge towards the thick end, and the mark at
    that edge is right; mid-width lies half a width nearer to the thin end.

    Parameters
    ----------
    width_mm : float
        Width of the band [mm], 0 or more.

    Returns
    -------
    float
        Inside circumference [mm], 0.109 for each mm of width.

    Raises
    ------
    InputError
        The width is negative or not finite.

    Source
    ------
    Computed from the ISO 8653 stick, 35 mm of circumference over 160 mm.

    Examples
    --------
    >>> round(stick_error_mm(8), 3)
    0.875
    """
    _require("width_mm", width_mm, math.inf, "mm")
    return _STICK_RISE * width_mm / 2


def _require(name: str, value: float, most: float, unit: str, *, more_than: bool = False) -> None:
    fits = 0 <= value <= most and value < math.inf and not (more_than and value == 0)
    if not fits:
        least = "more than 0" if more_than else "0 or more"
        allowed = f"{least} {unit}" if most == math.inf else f"0 to {most:g} {unit}"
        raise InputError(
            Problem(text="out of range", where=name, value=f"{value}", allowed=allowed)
        )
