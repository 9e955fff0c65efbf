"""The shop's own settings. Every key has a default, and outputs print what was used.

Most defaults are common practice, no source: sources disagree, so each is a setting.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from ringgeom.asked import Asked
from ringgeom.shop.learnt import LossFrom, Shrink, ShrinkOfAlloy

Percent = Annotated[float, Field(ge=0, le=100)]
Allowance = Annotated[float, Field(ge=0, le=2)]
ColourPart = Annotated[float, Field(ge=-128, le=128)]
Limit = Annotated[float, Field(ge=0, le=100)]


class Casting(Asked):
    """Sprue, button and loss.

    The button is once per flask and alloy: `button_percent` of the castings, at least
    `button_min_g`. `sprue_count` 0 decides by width: two from `two_sprues_from_mm`.
    Up to `base_waxes` waxes stand on the button itself; more hang on a stem `stem_mm` thick,
    `wax_apart_mm` from each other and `flask_wall_mm` from the flask.
    `melt_loss_from` says which ledgers taught the loss; without it, it was typed by hand.
    """

    button_percent: Percent = 50.0
    button_min_g: Annotated[float, Field(ge=0, le=1000)] = 6.0
    melt_loss_percent: Annotated[float, Field(ge=0, le=20)] = 1.0
    melt_loss_from: LossFrom | None = None
    sprue_count: Annotated[int, Field(ge=0, le=6)] = 0
    two_sprues_from_mm: Limit = 7.0
    sprue_length_mm: Annotated[float, Field(gt=0, le=100)] = 12.0
    sprue_modulus_ratio: Annotated[float, Field(ge=0.5, le=3)] = 1.2
    sprue_section_percent: Annotated[float, Field(ge=0, le=300)] = 70.0
    sprue_fillet_mm: Allowance = 0.5
    sprue_on_wax: bool = False
    base_waxes: Annotated[int, Field(ge=1, le=100)] = 6
    stem_mm: Annotated[float, Field(gt=0, le=50)] = 6.0
    wax_apart_mm: Annotated[float, Field(ge=0, le=50)] = 3.0
    flask_wall_mm: Annotated[float, Field(ge=0, le=100)] = 12.7


class ShrinkSettings(Asked):
    """Linear shrink from pattern to casting, in percent, per metal or per alloy by name.

    An alloy's is a number, or a table with `percent`, `castings` and `date` where it was learnt.
    `pattern_percent` is the shrink of the printed or injected pattern itself.
    """

    gold: Shrink = 1.25
    silver: Shrink = 1.25
    platinum: Shrink | None = None
    palladium: Shrink | None = None
    base: Shrink = 1.25
    pattern_percent: Shrink = 0.0
    alloy: dict[str, ShrinkOfAlloy] = Field(default_factory=dict)

    def percent(self, *, alloy: str, metal: str) -> float | None:
        """Shrink of an alloy of a metal; None when the shop has no figure for it."""
        if alloy in self.alloy:
            return self.alloy[alloy].percent
        found: float | None = getattr(self, metal)
        return found


class StockSettings(Asked):
    """Metal left on for filing and polishing, per face [mm]; mating faces have none."""

    outside_mm: Allowance = 0.10
    bore_mm: Allowance = 0.10
    edge_mm: Allowance = 0.15


class Fit(Asked):
    """Allowances on the finger size, off unless asked for; one US size is 0.8128 mm across."""

    wide_band: bool = False
    wide_band_from_mm: Limit = 6.0
    wide_band_add_us: Annotated[float, Field(ge=0, le=2.5)] = 0.5
    comfort: bool = False
    comfort_less_us: Annotated[float, Field(ge=0, le=0.5)] = 0.25


class Limits(Asked):
    """From where a finding is given [mm]; below `_stop_` the ring is refused."""

    band_note_mm: Limit = 1.8
    band_warn_mm: Limit = 1.5
    band_platinum_warn_mm: Limit = 1.6
    floor_warn_mm: Limit = 0.8
    floor_stop_mm: Limit = 0.5
    rail_warn_mm: Limit = 0.8
    rail_stop_mm: Limit = 0.4
    inlay_width_warn_mm: Limit = 1.0
    inlay_depth_warn_mm: Limit = 0.5
    wall_warn_mm: Limit = 0.7
    wire_stop_mm: Limit = 0.3
    solid_note_mm: Limit = 4.0
    feather_mm: Limit = 0.15
    gap_least_mm: Limit = 0.025
    gap_warn_mm: Limit = 0.2
    press_stop_mm: Limit = 0.035
    letter_height_warn_mm: Limit = 0.8
    letter_line_warn_mm: Limit = 0.08
    letter_cast_warn_mm: Limit = 0.3
    letter_floor_warn_mm: Limit = 0.5
    letter_floor_stop_mm: Limit = 0.3
    finger_least_mm: Limit = 11.0
    finger_most_mm: Limit = 26.0
    width_most_mm: Limit = 15.0
    thickness_least_mm: Limit = 0.8
    thickness_most_mm: Limit = 4.0


class Joining(Asked):
    """How parts are joined: advice where sources disagree, so each is a setting.

    `tolerance_mm` is how far a joint's gap may come out otherwise, either way; `filler_factor`
    the solder taken for a gap, against its volume; `solder_margin_c` how far below the lowest
    part's solidus it must flow; `overfill` how many times a groove's section
    the wire has that is hammered into it;
    `laminate_percent` how far the skin of a laminated strip may stretch when it is bent round.
    A finished ring of several parts is stretched by `resize_stretch_us` and cut by
    `resize_cut_us` US sizes at most.
    """

    tolerance_mm: Annotated[float, Field(ge=0, le=0.5)] = 0.02
    filler_factor: Annotated[float, Field(ge=1, le=5)] = 1.5
    solder_most_mm: Limit = 0.125
    solder_margin_c: Annotated[float, Field(ge=0, le=200)] = 30.0
    stretch_percent: Percent = 5.0
    stretch_nickel_percent: Percent = 2.5
    overfill: Annotated[float, Field(ge=1, le=1.5)] = 1.10
    hammer_depth_mm: Limit = 0.8
    laminate_percent: Percent = 12.0
    resize_stretch_us: Annotated[float, Field(ge=0, le=5)] = 0.5
    resize_cut_us: Annotated[float, Field(ge=0, le=10)] = 2.0


class Fabricating(Asked):
    """What is left on blanks that are cut, rolled or turned (common practice, no source).

    `cleaning_mm` is filed off each end of a segment, `piece_off_mm` and `piece_off_deg` are how
    far one may come out otherwise, its arc and its angle; a laminated billet makes
    `billet_rings` rings and is rolled together by `billet_reduction_percent`.
    """

    ends_mm: Allowance = 0.5
    kerf_mm: Allowance = 0.3
    crop_percent: Percent = 10.0
    reduction_percent: Annotated[float, Field(ge=1, le=95)] = 50.0
    ingot_mm: Annotated[float, Field(gt=0, le=50)] = 5.0
    cleaning_mm: Allowance = 0.1
    piece_off_mm: Allowance = 0.02
    piece_off_deg: Annotated[float, Field(ge=0, le=10)] = 0.2
    billet_rings: Annotated[int, Field(ge=1, le=20)] = 2
    billet_reduction_percent: Annotated[float, Field(ge=0, le=95)] = 0.0
    turning_mm: Allowance = 0.5
    parting_mm: Annotated[float, Field(ge=0, le=10)] = 1.0


class SheetSettings(Asked):
    """On what the sheets are printed."""

    paper: Literal["A4", "Letter"] = "A4"


class MeshSettings(Asked):
    """How fine the printed files are: largest distance of a facet from the true surface [mm]."""

    chord_mm: Annotated[float, Field(ge=0.0005, le=0.5)] = 0.005


class Measured(Asked):
    """What the shop has measured of an alloy.

    Its density [g/cm3] with its band, its colour as CIELAB of a polished face under D65, 2
    degree observer, or both.
    """

    density_g_cm3: Annotated[float, Field(gt=0.5, lt=25)] | None = None
    uncertainty_g_cm3: Annotated[float, Field(gt=0, lt=2)] = 0.05
    lab: (
        Annotated[
            tuple[Annotated[float, Field(ge=0, le=100)], ColourPart, ColourPart],
            Field(strict=False),
        ]
        | None
    ) = None
